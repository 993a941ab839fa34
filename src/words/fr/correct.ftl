### French. Where each message stands, and how long it may be, is said in src/words/en/correct.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

correct-help = Corrigez ou retirez ce qui a été noté ici. La première valeur reste dans l'historique.
correct-attempt = Essai { $n } : { $outcome }
correct-not-ended = non achevé
correct-from-instrument = { $outcome }, saisi depuis un autre appareil
correct-from-paper = { $outcome }, repris du papier
correct-withdrawn = { $outcome }, retiré : { $why }
correct-reading = Mesure correcte, mmHg
correct-why = Pourquoi ?
correct-reason-typing = faute de frappe
correct-reason-gauge = manomètre mal lu
correct-reason-site = mauvaise artère ou mauvais côté
correct-reason-probe = la sonde a bougé
correct-reason-patient = le patient a bougé ou parlé
correct-reason-replay = déplacée à la réécoute
correct-reason-taken-over = le registre a été déplacé, copié ou restauré
correct-reason-own = Autre raison, avec vos mots
correct-who = Qui : initiales ou code
correct-withdraw = Retirer
correct-again = Mesurer à nouveau
correct-done = Corrigé. La première valeur reste dans l'historique.
correct-keep = { $why } Appuyez encore sur Corriger pour garder { $mmhg }.
correct-not-compressible = Le son était-il encore là à { $mmhg } mmHg ? Appuyez encore sur Corriger pour noter « non compressible à { $mmhg } ».
