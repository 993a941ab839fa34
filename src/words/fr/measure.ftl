### French. Where each message stands, and how long it may be, is said in src/words/en/measure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

measure-find = Chercher
measure-inflate = Gonfler
measure-deflate = Dégonfler
measure-read = Lire
measure-now = ici : { $stage }
measure-stage = étape { $stage }
measure-stage-now = étape { $stage }, en cours
measure-stage-done = étape { $stage }, faite
measure-finish-change = Finir ou changer
measure-wait = Attendez { $seconds } s avant de regonfler sur ce membre.
measure-place-brachial = Côté interne du pli du coude. Gel, sonde à 45 à 60 degrés environ.
measure-place-dp = Dos du pied, près du tendon du gros orteil. Brassard juste au-dessus des malléoles.
measure-place-pt = Derrière la malléole interne. Brassard juste au-dessus des malléoles.
measure-place-peroneal = Devant la malléole externe. Brassard juste au-dessus des malléoles.
measure-gauge = Manomètre simulé : { $mmhg } mmHg
measure-sound =
    { $beats ->
        [one] Son Doppler. Toucher pour marquer. { $beats } battement entendu ici.
       *[other] Son Doppler. Toucher pour marquer. { $beats } battements entendus ici.
    }
measure-inflated-to = Gonflé jusqu'à (facultatif)
measure-needle = Aiguille à la marque
measure-typed = Saisi : { $text }
measure-tap = Marquer
measure-keep = Garder
measure-set = Fixer
measure-stop = Stop
measure-repeat = Répéter
measure-erase = Suppr
measure-no-signal = Pas de signal
measure-not-compressible = Non compressible
measure-not-measured = Non mesuré
measure-undo = Annuler
measure-at-10 = À 10
measure-inflated = Gonflé à
measure-finish = Finir
measure-next-stage = Étape suivante
measure-finish-why = Finir ici ? Dites pourquoi le reste n'a pas été mesuré.
measure-reason-wound = plaie ou pansement
measure-reason-pain = trop douloureux
measure-reason-declines = le patient refuse
measure-reason-cuff = pas de brassard adapté
measure-reason-time = pas le temps
measure-reason-amputation = amputation
measure-reason-bandage = bandage ou plâtre laissé
measure-reason-oedema = œdème
measure-reason-tremor = tremblement
measure-own = Avec vos mots
measure-record-reason = Noter cette raison
measure-moved = Patient a bougé : repos à refaire
measure-questions = Questions, brassards, pieds
measure-operator = Autre opérateur (code)
measure-hand-over = Passer la main
measure-kept = Gardé : { $outcome }
measure-no-return = Cuffnote n'a pas détecté le retour. La mesure est la vôtre.
measure-probe-moved = La sonde a bougé : cette mesure est douteuse. Répétez-la.
measure-next = Site suivant
measure-correct = Corriger
measure-absent = absent
measure-unclear = incertain
measure-locked = Verrouillé pour nettoyage
measure-locked-keys = Espace marque et Échap arrête toujours.
measure-unlock = Déverrouiller
measure-patients = patient
measure-side =
    { $side ->
        [left] gauche
       *[right] droite
    }
measure-row =
    { $artery ->
        [arm] bras
        [dp] dorsale du pied
        [pt] tibiale post.
       *[toe] orteil
    }
measure-cell-now = ici
measure-cell-not-compressible = non compr.
measure-cell-no-signal = sans signal
measure-cell-not-measured = non mesuré
measure-cell-conflict = conflit
measure-cell = { $site } : { $why }
measure-cell-here = { $site } : { $why }, en cours
measure-provisional = provisoire
measure-not-yet = pas encore
measure-pulse = Pouls { $rate }/min
measure-deflation = Dégonflage { $rate } mmHg/s, { $from }
measure-recording = ● ENREGISTRE
measure-not-recording = sans enregistrement
measure-saving = enregistrement...
