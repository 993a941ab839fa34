### French. Where each message stands, and how long it may be, is said in src/words/en/replay.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

replay-back = Retour au résultat
replay-none = Aucune mesure de cette visite n'a à la fois une marque et un enregistrement.
replay-reading = { $site }, { $reading }
replay-beat = le battement moyen, sans battements perturbés
replay-sound =
    { $beats ->
        [one] Le son vers { $at } s, avec { $beats } battement
       *[other] Le son vers { $at } s, avec { $beats } battements
    }
replay-no-waveform = Vous n'avez noté aucune forme d'onde.
replay-waveform = Vous avez noté : { $word }.
replay-comparison = Pour comparaison seulement : { $words }
replay-mean = moyenne de { $beats } battements ; { $phases } ; montée (10 à 90 %) { $upstroke } ; pulsatilité { $pulsatility }.
replay-phases =
    { $count ->
        [one] { $count } phase vue, flux direct dans le premier canal
       *[other] { $count } phases vues, flux direct dans le premier canal
    }
replay-unsigned = sans signe : un seul canal ne distingue pas le flux direct du flux inverse
replay-number-unsigned = { $n } (sans signe)
replay-seconds = { $n } s
replay-too-few =
    { $beats ->
        [one] Pas de battement moyen : { $beats } battement entier, il en faut au moins 3.
       *[other] Pas de battement moyen : { $beats } battements entiers, il en faut au moins 3.
    }
replay-silent = Pas de battement moyen : aucun flux ne sort du bruit de fond.
replay-play = Écouter
replay-stop = Arrêter
replay-before = Battement avant
replay-after = Battement après
replay-to-tap = À la marque
replay-half = demi-vitesse (H)
replay-loop = un battement en boucle (L)
replay-move = Mettre la marque ici (M)
replay-move-again = Appuyez encore pour la déplacer
replay-move-help = La première marque reste dans l'historique. La mesure ne change pas.
replay-moved = Marque déplacée. La première reste dans l'historique.
replay-here = Votre marque est ici.
replay-before-tap = { $seconds } s avant la marque.
replay-after-tap = { $seconds } s après la marque.
replay-was-moved = La marque a été déplacée à { $to } s ; elle était à { $at } s.
replay-unknown = La pression en ce point n'est pas connue.
replay-needle = À ce moment l'aiguille était à environ { $mmhg } mmHg, si elle baissait de { $rate } mmHg/s comme marqué. La mesure est { $read } mmHg et le reste.
replay-needle-assumed = À ce moment l'aiguille était à environ { $mmhg } mmHg, si elle baissait de { $rate } mmHg/s comme supposé. La mesure est { $read } mmHg et le reste.
replay-leg =
    Avec elle, la jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient aurait { $would } au lieu de { $is }.
replay-no-change = Aucun indice ne changerait.
replay-marks = Les marques de la détection automatique sont en pointillé, celles du clinicien en trait plein. L'oreille et le manomètre font foi.
replay-lesson = Dans une leçon : { $line }
replay-start = Depuis le début
replay-to-truth = Au premier pouls
replay-to-your-tap = À votre marque
replay-half-s = demi-vitesse (S)
replay-if-tapped = Si vous aviez marqué ici
replay-gauge = manomètre à ce moment : { $mmhg } mmHg
replay-needle-here = L'aiguille est ici à { $mmhg } mmHg.
