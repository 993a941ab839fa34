### French. Where each message stands, and how long it may be, is said in src/words/en/visits.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

visits-none = Pas encore de visite terminée ici.
visits-open = Ouvrir { $record }, { $day }
visits-all = Toutes : { $record }
visits-next-test = prochaine mesure { $on }
visits-practise = S'exercer
visits-search = Chercher : dossier, opérateur ou raison
visits-begun = { $record }, commencée le { $day } à { $time }
visits-continue = Reprendre { $record }
visits-close = Clore { $record }
