### French. Where each message stands, and how long it may be, is said in src/words/en/history.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

history-fault = Non calculé : { $day } : { $why }
history-since-first = Depuis la première visite : { $change }
history-changed = Changé. { $change }
history-toe = Pression à l'orteil { $mmhg } mmHg.
history-picture = { $leg } dans le temps : { $steps }
history-index = { $index } ({ $low } à { $high })
history-visits = Visites de ce dossier
history-choose = Choisissez-en deux pour les voir côte à côte.
history-beside = côte à côte
history-beside-name = côte à côte, { $day }
history-open = Ouvrir { $day }
history-both = droite { $right }, gauche { $left }
history-not-finished = non terminée
history-side-by-side = Côte à côte
history-leg = { $leg } : { $change }
history-no-value = aucune valeur qui compte
