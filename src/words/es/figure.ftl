### Spanish. Where each message stands, and how long it may be, is said in src/words/en/figure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

figure-line = { $leg }: lugar en la línea
figure-above = más de { $lowest }, no se sabe cuánto
figure-beyond = más allá de esta línea
figure-line-bare = Una línea de 0,0 a 1,6. { $number } No se dibujan límites.
figure-line-limits = Una línea de 0,0 a 1,6. { $number } Límites de { $set }: { $bands }.
figure-lies-above = El índice está por encima de { $lowest }.
figure-index-interval = El índice es { $index }, su intervalo { $low } a { $high }.
figure-index-bare = El índice es { $index }, sin intervalo.
figure-no-index = Sin índice.
figure-sonogram = Sonograma, { $name }
figure-seen = { $seconds } segundos de sonido: { $events }.
figure-seen-nothing = nada marcado
figure-seen-lost = pulso perdido a los { $at } s
figure-seen-return = primer pulso oído a los { $at } s
figure-seen-tap = marca a los { $at } s
figure-lost = pulso perdido
figure-return = primer pulso oído
figure-tap = marca
figure-pulses = { $count } pulsos (trazos); { $heard }
figure-heard-sure = primer pulso oído a los { $at } s, confianza { $percent } %
figure-heard-none = no se oyó retorno
