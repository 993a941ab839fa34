### French. Where each message stands, and how long it may be, is said in src/words/en/figure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

figure-line = { $leg } : place sur la ligne
figure-above = plus de { $lowest }, de combien on ne sait pas
figure-beyond = au-delà de cette ligne
figure-line-bare = Une ligne de 0,0 à 1,6. { $number } Aucun seuil n'est dessiné.
figure-line-limits = Une ligne de 0,0 à 1,6. { $number } Seuils de { $set } : { $bands }.
figure-lies-above = L'indice dépasse { $lowest }.
figure-index-interval = L'indice est { $index }, son intervalle { $low } à { $high }.
figure-index-bare = L'indice est { $index }, sans intervalle.
figure-no-index = Pas d'indice.
figure-sonogram = Sonogramme, { $name }
figure-seen = { $seconds } secondes de son : { $events }.
figure-seen-nothing = rien de marqué
figure-seen-lost = pouls perdu à { $at } s
figure-seen-return = premier pouls entendu à { $at } s
figure-seen-tap = marque à { $at } s
figure-lost = pouls perdu
figure-return = premier pouls entendu
figure-tap = marque
figure-pulses = { $count } pouls (traits) ; { $heard }
figure-heard-sure = premier pouls entendu à { $at } s, confiance { $percent } %
figure-heard-none = aucun retour entendu
