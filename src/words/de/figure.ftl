### German. Where each message stands, and how long it may be, is said in src/words/en/figure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

figure-line = { $leg }: Platz auf der Linie
figure-above = über { $lowest }, um wie viel ist nicht bekannt
figure-beyond = jenseits dieser Linie
figure-line-bare = Eine Linie von 0,0 bis 1,6. { $number } Es sind keine Grenzwerte eingezeichnet.
figure-line-limits = Eine Linie von 0,0 bis 1,6. { $number } Grenzwerte von { $set }: { $bands }.
figure-lies-above = Der Index liegt über { $lowest }.
figure-index-interval = Der Index ist { $index }, sein Intervall { $low } bis { $high }.
figure-index-bare = Der Index ist { $index }, ohne Intervall.
figure-no-index = Kein Index.
figure-sonogram = Sonogramm, { $name }
figure-seen = { $seconds } Sekunden Ton: { $events }.
figure-seen-nothing = nichts markiert
figure-seen-lost = Puls verloren bei { $at } s
figure-seen-return = erster Puls gehört bei { $at } s
figure-seen-tap = Markierung bei { $at } s
figure-lost = Puls verloren
figure-return = erster Puls gehört
figure-tap = Markierung
figure-pulses = { $count } Pulse (Striche); { $heard }
figure-heard-sure = erster Puls gehört bei { $at } s, Konfidenz { $percent } %
figure-heard-none = keine Rückkehr gehört
