### French. Where each message stands, and how long it may be, is said in src/words/en/key.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

key-enter = garder ce qui est saisi, puis passer au site suivant
key-stop = stop : ouvrir la valve à fond
key-undo = annuler la dernière action
key-inflated = le nombre saisi est la pression de gonflage
key-repeat = répéter ce site
key-needle = l'aiguille est au 10 suivant
key-stage-on = l'étape suivante
key-stage-back = l'étape précédente
key-no-signal = pas de signal ici
key-not-compressible = non compressible
key-not-measured = non mesuré
key-multiphasic = son multiphasique
key-monophasic = son monophasique
key-damped = son amorti
key-absent = aucun son audible
key-unclear = son incertain
key-correct = corriger la mesure qui vient d'être gardée
key-finish = finir ici : dire pourquoi le reste n'a pas été mesuré
key-lock = verrouiller l'écran pour le nettoyer
