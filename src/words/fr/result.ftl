### French. Where each message stands, and how long it may be, is said in src/words/en/result.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

result-cannot-tell = Un nombre seul n'exclut pas une maladie artérielle, surtout en cas de diabète ou de maladie rénale. Vérifiez à l'oreille et au manomètre. La règle locale et un praticien habilité décident.
result-wanted = Encore à faire, { $site } : { $why }
result-write = Écrire le rapport
result-open = Ouvrir le rapport
result-print = Imprimer le rapport
result-close = Clore la visite
result-replay = Réécouter
result-history = Toutes les visites de ce dossier
result-made = { $ankle } ({ $ankle_site }) sur { $arm } ({ $arm_site })
result-line = { $leg } : IPS sur une ligne de 0.0 à 1.6
result-limits = Seuils sur la ligne, { $set } : { $limits }.
result-numbers-only = Nombres seuls : aucun clinicien de ce service n'a activé de référentiel (Réglages).
result-no-band = Ce référentiel n'a pas de recommandation ici.
result-readings = Mesures utilisées
result-counts = { $outcome } (compte)
result-counts-not = { $outcome } (ne compte pas : { $why })
result-correct = Corriger : { $site }
result-plan = Plan, avec vos mots
result-keep-plan = Garder le plan
result-planned = Plan : { $words } ({ $who })
result-exercise = Effort : quoi et combien de temps
result-exercised = Effort terminé : mesurer à nouveau
result-supervisor = Superviseur, pour contresigner
result-countersign = Contresigner
result-countersigned = Contresigné : { $who }
result-due = Prochaine mesure, comme 2027-02-25
result-set-date = Fixer la date
