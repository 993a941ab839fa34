### French. Where each message stands, and how long it may be, is said in src/words/en/drill.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

drill-number = Exercice { $number } sur { $count }
drill-title = { $lesson }, exercice { $number } sur { $count }
drill-title-open = { $lesson }, exercice { $number }
drill-silence = Silence
drill-end = Finir ici
drill-kept = Gardé.
drill-next = Suivant
drill-gauge = manomètre
drill-squeeze = Presser
drill-let-go = Lâcher
drill-shut = Fermer
drill-open-more = Ouvrir plus
drill-close-little = Fermer un peu
drill-valve = Valve, Haut et Bas
drill-key-up = Haut
drill-key-down = Bas
drill-keep = Garder
drill-erase = Effacer
drill-tap = Marquer
drill-teacher-taps = Marque enseignant
drill-no-pulse = Aucun pouls revenu
drill-tapped = Marqué. La dernière marque compte.
drill-teacher-tapped = L'enseignant a marqué.
drill-asks = Pression à la marque, puis Entrée
drill-asks-student = Mesure de l'étudiant, puis Entrée
drill-asks-teacher = Mesure de l'enseignant, puis Entrée
drill-asks-nothing = Cet enregistrement n'a pas de pression : Entrée le termine
drill-picture = le son en image
drill-in-place = les 12 dernières s, au lieu du son
drill-truth-and-tap = le son avec la vérité et votre marque
drill-to-hear = le son, à réécouter
drill-both-taps = le son avec les deux marques
drill-teachers-tap = marque de l'enseignant
drill-task-recording = Un enregistrement : quelqu'un d'autre maniait le brassard. Marquez au premier de deux pouls revenus en rythme.
drill-task-live = Gonflez jusqu'à ce que le son s'arrête, puis dégonflez lentement. Chacun marque au premier pouls revenu. Tapez ensuite les deux mesures.
drill-silent = Aucun son n'est joué : l'image et l'horloge continuent.
drill-opening = Ouverture du haut-parleur.
drill-live = Son réel : le vrai moment n'est pas connu. Utilisez le brassard du patient lui-même.
drill-silenced = Muet. L'image et l'horloge continuent.
drill-playing = Sortie : { $to }, jamais au-dessus du quart de la pleine échelle.
drill-truth-simulated = simulé : la vérité est connue
drill-truth-recording = enregistrement : la vérité est { $who }
drill-truth-live = son réel : le vrai moment est inconnu
drill-confirmed-tap = la marque du clinicien d'une mesure gardée
drill-confirmed-mark = la marque d'un second auditeur
drill-missing-word = Choisissez un mot
drill-missing-tap = Marquez d'abord au premier pouls revenu, ou dites qu'aucun n'est revenu
drill-missing-reading = Tapez la pression
drill-missing-pressure = Une pression va de 0 à 300 mmHg : relisez le manomètre
drill-patient-enough = « Relâchez maintenant. » Ouvrez la valve.
drill-patient-hurts = « Ça fait mal ! » Plus haut que nécessaire : ouvrez la valve.
drill-patient-numb = « Ça s'engourdit. »
drill-patient-tight = « C'est très serré. »
drill-ms = { $n } ms
drill-tap-right = Vous avez marqué { $time } après le premier pouls, avant le suivant.
drill-tap-before = Vous avez marqué { $time } avant le premier pouls.
drill-tap-late =
    Vous avez marqué { $beats ->
        [1] un battement
        [2] deux battements
        [3] trois battements
       *[other] { $beats } battements
    } trop tard : { $time } après le premier pouls.
drill-tap-early =
    Vous avez marqué { $beats ->
        [1] un battement
        [2] deux battements
        [3] trois battements
       *[other] { $beats } battements
    } trop tôt : { $time } avant le premier pouls.
drill-needle = L'aiguille était à { $truth } au premier pouls, à { $tap } quand vous avez marqué : { $off }.
drill-needle-read = L'aiguille était à { $truth } au premier pouls, à { $tap } quand vous avez marqué ; vous avez lu { $read } : { $off }.
drill-off-none = aucune différence
drill-off-low = { $n } trop bas
drill-off-high = { $n } trop haut
drill-fall-fast = Le brassard baissait de { $rate } mmHg par seconde : trop vite. La pression est un battement trop basse avant que vous l'entendiez.
drill-fall-slow = Le brassard baissait de { $rate } mmHg par seconde : plus lent que nécessaire. Le membre se remplit, et le patient attend.
drill-fall-right = Le brassard baissait de { $rate } mmHg par seconde : à peu près juste (2 à 3).
drill-effect = Avec { $arm } mmHg au bras, l'indice serait { $read } selon votre mesure et { $truth } selon la vraie pression.
drill-effect-same = { $set } dit la même chose des deux.
drill-effect-other = { $set } dit « { $read } » de l'un et « { $truth } » de l'autre.
drill-no-closed = le signal n'a jamais cessé : gonflez au moins 20 au-dessus de la pression où il cesse
drill-no-back = aucun pouls audible n'est revenu : dégonflez davantage avant d'arrêter
drill-no-occluded = vous avez marqué quand l'artère était occluse : aucun pouls n'était revenu
drill-no-tap = le pouls est revenu et vous n'avez pas marqué
drill-no-return = aucun pouls n'est revenu pendant ce dégonflage
drill-no-score-here = Ici, aucune marque ne compte : { $why }.
drill-word-right = { $word } : juste.
drill-word-wrong = Vous avez dit { $answer } ; c'était { $right }.
drill-between = Étudiant moins enseignant : { $all }.
drill-between-beats = { $beats } battements ({ $ms } ms)
drill-between-unknown = battements inconnus ({ $ms } ms)
drill-between-read = { $mmhg } mmHg selon les mesures
drill-between-needle = { $mmhg } selon l'aiguille
drill-compared = Les battements sont ceux de la détection automatique. Aucune marque n'est la vérité.
drill-ended-early = Terminé : une mesure ou les deux manquent.
drill-index =
    Jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient : indice { $read } selon vos mesures, { $truth } selon les vraies pressions.
drill-index-other = Le référentiel conseillerait autre chose.
drill-not-formed = non formé
drill-over = { $lesson } : fin
drill-over-sealed = Un examen, scellé : seul le mot de l'enseignant l'ouvre.
drill-again = Cas { $number } encore
drill-again-sound = le son de ce cas, à réécouter
drill-hear-again = Réécouter le cas { $number }
drill-done = Terminé
drill-threshold = Dans le bruit, vous trouvez le retour dans 70,7 % des essais à { $db } dB de signal sur bruit ({ $trials } essais ; deux en bas, un en haut : Levitt 1971).
drill-sum-passed = { $passed } sur { $count } réussis
drill-sum-taps = marques { $mean } ms tard, dispersion { $spread }
drill-sum-taps-early = marques { $mean } ms trop tôt, dispersion { $spread }
drill-sum-readings = mesures { $bias } mmHg (limites { $low } à { $high })
drill-sum-zero = { $percent } % des mesures finissent par 0
