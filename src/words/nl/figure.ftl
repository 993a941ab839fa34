### Dutch. Where each message stands, and how long it may be, is said in src/words/en/figure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

figure-line = { $leg }: plaats op de lijn
figure-above = boven { $lowest }, hoeveel is niet bekend
figure-beyond = voorbij het einde van deze lijn
figure-line-bare = Een lijn van 0,0 tot 1,6. { $number } Er zijn geen grenzen getekend.
figure-line-limits = Een lijn van 0,0 tot 1,6. { $number } Grenzen van { $set }: { $bands }.
figure-lies-above = De index ligt boven { $lowest }.
figure-index-interval = De index is { $index }, het interval { $low } tot { $high }.
figure-index-bare = De index is { $index }, zonder interval.
figure-no-index = Geen index.
figure-sonogram = Sonogram, { $name }
figure-seen = { $seconds } seconden geluid: { $events }.
figure-seen-nothing = niets gemarkeerd
figure-seen-lost = pols weg bij { $at } s
figure-seen-return = eerste polsslag gehoord bij { $at } s
figure-seen-tap = markering bij { $at } s
figure-lost = pols weg
figure-return = eerste polsslag gehoord
figure-tap = markering
figure-pulses = { $count } polsslagen (streepjes); { $heard }
figure-heard-sure = eerste polsslag gehoord bij { $at } s, zekerheid { $percent } %
figure-heard-none = geen terugkeer gehoord
