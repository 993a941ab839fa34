### French. Where each message stands, and how long it may be, is said in src/words/en/clinical.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

clinical-side-right = droite du patient
clinical-side-left = gauche du patient
clinical-artery-brachial = artère brachiale
clinical-artery-dp = artère dorsale du pied
clinical-artery-pt = artère tibiale postérieure
clinical-artery-peroneal = artère fibulaire
clinical-artery-toe = gros orteil
clinical-site =
    { $artery ->
        [arm] artère brachiale
        [dp] artère dorsale du pied
        [pt] artère tibiale postérieure
        [peroneal] artère fibulaire
       *[toe] gros orteil
    }, { $side ->
        [left] gauche du patient
       *[right] droite du patient
    }
clinical-status-verified = vérifié
clinical-status-secondary = source secondaire, non vérifiée
clinical-status-from-memory = de mémoire, non vérifié
clinical-status-own = règle propre du service
clinical-from-memory = de mémoire
clinical-method-higher = pression de cheville la plus haute sur bras le plus haut
clinical-method-lower = pression de cheville la plus basse sur bras le plus haut
clinical-method-mean = moyenne des deux artères de cheville sur bras le plus haut
clinical-method-pt-only = tibiale postérieure sur moyenne des deux bras
clinical-method-same-side-arm = pression de cheville la plus haute sur bras du même côté
clinical-posture-supine = en décubitus dorsal
clinical-posture-head-raised = buste relevé
clinical-posture-sitting = assis
clinical-posture-other = autre position
clinical-quantity-index = indice
clinical-quantity-ankle = pression à la cheville
clinical-quantity-toe = pression à l'orteil
clinical-quantity-toe-index = indice orteil-bras
clinical-waveform-multiphasic = multiphasique
clinical-waveform-triphasic = triphasique
clinical-waveform-biphasic = biphasique
clinical-waveform-damped = amorti
clinical-waveform-monophasic = monophasique
clinical-waveform-absent = aucun son entendu
clinical-waveform-unclear = onde incertaine
clinical-wound-covered = couverte d'un film, puis mesure
clinical-wound-cuff-elsewhere = brassard ailleurs sur le membre
clinical-wound-left-out = non mesuré
clinical-kind-full = les deux jambes
clinical-kind-one-leg =
    jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient seulement
clinical-kind-one-artery = { $site } seulement
clinical-kind-toes = orteils seulement
clinical-kind-without-index = aucune pression
clinical-kind-exercise = au repos, puis après effort
clinical-kind-paper = repris du papier, mesuré le { $on }
clinical-kind-paper-by = repris du papier, mesuré le { $on } par { $by }
clinical-ulcer =
    jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient
clinical-ulcer-at =
    jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient, { $place }
clinical-mmhg = { $n } mmHg
clinical-not-yet = pas encore mesuré
clinical-not-compressible-at = non compressible à { $limit } mmHg
clinical-no-signal = aucun signal trouvé
clinical-not-measured = non mesuré : { $reason }
clinical-not-finished = non terminé
clinical-conflict-open = une mesure et « non compressible » se contredisent
clinical-conflict-apart = les mesures { $low } et { $high } mmHg se contredisent
clinical-left-out-withdrawn = retiré : { $why }
clinical-left-out-reading = { $what } ; un autre essai a donné une mesure
clinical-left-out-first-above = première mesure du premier bras, plus de 10 mmHg au-dessus de l'autre bras
clinical-left-out-first-apart = première mesure du premier bras, à plus de 10 mmHg de sa répétition
clinical-wanted-arms = les bras diffèrent de plus de 15 mmHg : répéter ; si cela persiste, mesurer désormais au bras le plus haut (NICE NG136 1.2.1)
clinical-wanted-first-arm = le premier bras dépasse l'autre de plus de 10 mmHg : le répéter à la fin (AHA 2012, non vérifié)
clinical-wanted-conflict = { $conflict } : mesurer de nouveau, puis retirer la valeur fausse
clinical-wanted-irregular = le rythme est irrégulier : au moins { $needed } mesures, en moyenne (BIHS 2019)
clinical-wanted-second = la deuxième mesure dépasse la première de plus de { $limit } mmHg : répéter (règle d'un manuel d'étude publié, nsrr/cfs-documentation)
clinical-first-arm-all = premier bras : toutes les mesures acceptées sont moyennées
clinical-first-arm-discard = premier bras : une première mesure plus de 10 mmHg au-dessus de l'autre bras est remplacée par sa répétition (AHA 2012, d'après une page secondaire ; non vérifié)
clinical-first-arm-average = premier bras : la première mesure et sa répétition sont moyennées ; si elles diffèrent de plus de 10 mmHg, la première est écartée (AHA 2012, de mémoire ; non vérifié)
clinical-missing = { $site } : { $why }
clinical-one-artery = La pression à la cheville repose sur une seule artère, { $used } ({ $missing }).
clinical-no-ankle = Pas d'indice : pas de pression à la cheville ({ $missing }).
clinical-no-signal-at-all =
    Pas d'indice : côté { $side ->
        [left] gauche
       *[right] droit
    } du patient, aucun signal trouvé, ni à l'artère dorsale du pied ni à la tibiale postérieure. Cela ne veut pas dire que l'indice est zéro.
clinical-not-compressible = Non compressible : le signal était encore là à { $limit } mmHg ({ $sites }).
clinical-conflict = Pas d'indice : { $site } : { $conflict }. Mesurer de nouveau, ou retirer une valeur avec son motif ; tant que les deux restent, il n'y a pas d'indice.
clinical-one-arm = Un seul bras a pu servir, { $used } ({ $other } : { $why }) : l'indice peut être faussement haut, car l'autre bras pourrait être plus haut.
clinical-arm-open = Le bras non compressible ({ $arm }) est le plus haut : un indice sur l'autre bras est faussement haut. Pas de catégorie.
clinical-provisional = Provisoire, sans catégorie : l'autre bras n'est pas encore mesuré ({ $other }). S'il ne peut pas l'être, l'indiquer.
clinical-no-arm = Pas d'indice : pas de pression utilisable au bras ({ $missing }) ; pressions de cheville seulement.
clinical-more-than = L'indice dépasse { $lowest } ; de combien, on ne sait pas.
clinical-headline =
    Jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient : indice cheville-bras { $index } ({ $low } à { $high }), { $method }.
clinical-headline-bare =
    Jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient : indice cheville-bras { $index }, { $method }.
clinical-headline-none =
    Jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient : pas d'indice cheville-bras.
clinical-withheld = Aucune recommandation n'est montrée. Position du patient : { $posture }. Les seuils publiés valent pour un patient en décubitus dorsal (assis, l'indice est en moyenne plus haut d'environ 0,35, BMC Prim Care 2014;15:69).
clinical-red-flag = Signe d'alarme, avant tout chiffre : { $flag }.
clinical-caution = Attention : { $flag }.
clinical-toe =
    Gros orteil { $side ->
        [left] gauche
       *[right] droit
    } du patient : { $pressure }, indice orteil-bras { $index } ({ $low } à { $high }).
clinical-toe-entered =
    Gros orteil { $side ->
        [left] gauche
       *[right] droit
    } du patient : { $pressure }, repris d'un autre appareil, indice orteil-bras { $index } ({ $low } à { $high }).
clinical-toe-bare =
    Gros orteil { $side ->
        [left] gauche
       *[right] droit
    } du patient : { $pressure }, pas d'indice orteil-bras.
clinical-toe-bare-entered =
    Gros orteil { $side ->
        [left] gauche
       *[right] droit
    } du patient : { $pressure }, repris d'un autre appareil, pas d'indice orteil-bras.
clinical-toe-none =
    Gros orteil { $side ->
        [left] gauche
       *[right] droit
    } du patient : { $why } ; pas d'indice orteil-bras.
clinical-because = { $quantity } { $value }
clinical-because-open = artères non compressibles
clinical-limits-open = non compressible
clinical-range-any = toute valeur
clinical-range-between = { $above } et { $below }
clinical-ends = { $low } à { $high }
clinical-ends-mmhg = { $low } à { $high } mmHg
clinical-guidance-quoted = { $set } pour { $because } [{ $when }] : { $words }{ $more }.
clinical-guidance-sense = { $set } pour { $because } [{ $when }] : en substance : { $words }{ $more }.
clinical-guidance-more =  ; en substance : { $more }
clinical-quote = "{ $words }"
clinical-quote-ours = "{ $words }" (notre traduction : "{ $ours }")
clinical-sense-ours = { $ours } (notre traduction)
clinical-several = { $set } : plusieurs catégories valent à la fois, chacune telle qu'imprimée.
clinical-no-band = { $set } n'a pas de catégorie pour { $quantity } { $value }.
clinical-rounded = L'arrondi a fait passer la valeur ({ $quantity }) au-delà d'un seuil de { $set } ({ $range }) : { $exact } avant l'arrondi, { $rounded } après, au plus proche à deux décimales.
clinical-crossing-one = { $set } : le seuil { $limits } ({ $quantity }) est dans l'incertitude de mesure ({ $inside }). { $holds }{ $settle }
clinical-crossing-many = { $set } : les seuils { $limits } ({ $quantity }) sont dans l'incertitude de mesure ({ $inside }). { $holds }{ $settle }
clinical-crossing-own = La valeur garde sa catégorie, { $own } : le côté le plus prudent.
clinical-crossing-meanwhile = La valeur garde sa catégorie, { $own } ; en attendant, le côté le plus prudent vaut : { $meanwhile }.
clinical-crossing-settle = {" "}Répéter une pression pourrait trancher : { $site }.
clinical-crossing-none = aucune de ce référentiel
clinical-short =
    Jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient : { $number }{ $toe }. { $says }
clinical-short-above = IPS au-dessus de { $lowest }
clinical-short-interval = IPS { $index } ({ $low } à { $high })
clinical-short-index = IPS { $index }
clinical-short-none = pas d'IPS, ce qui ne veut pas dire zéro
clinical-short-toe = , indice orteil-bras { $index }
clinical-short-provisional = Provisoire : l'autre bras reste à mesurer.
clinical-short-no-set = Aucun référentiel n'est activé.
clinical-short-from-memory = { $set } (de mémoire)
clinical-short-says = { $set } : { $says }.
clinical-short-nothing = { $set } n'a pas de recommandation ici.
clinical-short-crossing = {" "}L'intervalle franchit { $limits }.
clinical-arms-differ =
    Les bras diffèrent de { $apart } ; le plus haut est le bras { $side ->
        [left] gauche
       *[right] droit
    } du patient. NICE NG136 1.2.1 pour plus de 15 mmHg : répéter ; si cela persiste, mesurer désormais au bras le plus haut. AHA 2012 d'après une page secondaire : au-delà de 15 mmHg, une sténose sous-clavière est suspectée.
clinical-rule-in-use = Règle appliquée, { $rule }.
clinical-arteries-differ = Artère dorsale du pied ({ $dp } mmHg) et tibiale postérieure ({ $pt } mmHg) diffèrent de { $apart } : au-delà de { $limit } mmHg, c'est signalé pour revoir la sonde et le site (aucun seuil de recommandation trouvé).
clinical-exercise =
    Après effort, la pression à la cheville de la jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient est de { $after } mmHg ({ $change }).
clinical-exercise-since =
    Après effort, { $minutes } min après la fin, la pression à la cheville de la jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient est de { $after } mmHg ({ $change }).
clinical-exercise-fall = baisse de { $by }
clinical-exercise-rise = hausse de { $by }
clinical-exercise-late = Les critères publiés valent pour des pressions prises 1 minute après l'effort (Mahe 2015, Medicine) : celle-ci est plus tardive, une baisse a pu passer.
clinical-exercise-pressure = La pression à la cheville a baissé de plus de 30 mmHg : un critère publié après effort (Mahe 2015, Medicine ; Kyte 2023).
clinical-exercise-index = L'indice a baissé de plus de 20 % : un critère publié après effort (Mahe 2015, Medicine) ; 60 % des jeunes adultes en bonne santé le montrent aussi (Kyte 2023).
clinical-note-method = Méthode : { $method }.
clinical-note-other-method = Ce n'est pas la méthode standard : les seuils publiés valent pour la pression de cheville la plus haute sur le bras le plus haut.
clinical-note-measurement-only = L'intervalle ne concerne que la mesure : deux personnes ou deux visites diffèrent davantage (limites d'agrément d'environ 0,16 dans une étude, Casey 2020, J Foot Ankle Res).
clinical-note-lower = Pour une question sur une jambe, chaque jambe compte pour elle-même ; pour le risque cardiovasculaire, c'est le plus bas des deux, { $lower } (AHA 2012, de mémoire).
clinical-note-rate-assumed = Supposé pour l'intervalle : dégonflage à { $rate } mmHg/s (vitesse mesurée pour { $measured } mesures sur { $all }).
clinical-note-rate-measured = La vitesse de dégonflage de chaque mesure a été relevée à l'aiguille.
clinical-note-beat-heard = L'intervalle entre battements est celui du pouls entendu.
clinical-note-beat-assumed = Supposé pour l'intervalle : une fréquence cardiaque de { $rate } par minute.
clinical-note-own-pressure = La pression propre du patient est supposée varier de { $own } mmHg (écart type) d'un battement à l'autre.
clinical-note-untapped = { $untapped } mesures sur { $all } n'ont pas de marque dans le son ; jusqu'à { $without } s entre le son et la lecture sont donc prises en compte (hypothèse propre ; { $with } s avec une marque).
clinical-note-other-chain =
    { $events ->
        [one] { $events } événement vient
       *[other] { $events } événements viennent
    } d'une autre chaîne, { $chain }.
clinical-aside = Mis de côté et non compté : événement { $n } ({ $kind }{ $whose }) : { $why }.
clinical-of-chain = , de la chaîne { $chain }
clinical-disagree = Deux ordinateurs se contredisent sur { $what } : { $said }. « { $stands } » vaut jusqu'à ce que quelqu'un tranche par une nouvelle correction.
clinical-disagree-said = { $value } par { $who } le { $at }{ $whose }
clinical-cuff-narrow = Le brassard est trop étroit pour { $around } cm : sa poche doit faire au moins { $percent } % de cette largeur. Un brassard étroit mesure trop haut.
clinical-cuff-short = Le brassard est trop court pour { $around } cm : sa poche doit couvrir au moins { $percent } % du tour.
clinical-about-outcome = le résultat de l'essai { $n }
clinical-about-mark = la marque de l'essai { $n }
clinical-about-site = le site de l'essai { $n }
clinical-about-opening = ce avec quoi la visite s'est ouverte
clinical-about-next-test = le jour de la prochaine mesure
clinical-about-other = un événement du genre { $kind }
clinical-value-mark = une marque à { $seconds } s
clinical-value-record = dossier { $record }
clinical-aside-closed = la visite était déjà close
clinical-aside-opened-twice = la visite a été ouverte deux fois
clinical-aside-number-used = le numéro de cet essai a déjà servi
clinical-aside-no-attempt = il nomme un essai qui n'a jamais commencé
clinical-aside-no-mark = il n'y a pas de marque à reprendre
clinical-aside-ended = l'essai était déjà fini : corrigez le résultat, ou commencez un nouvel essai
clinical-aside-zero = 0 mmHg n'est pas une mesure : le résultat est « pas de signal »
clinical-aside-undo = il annule un événement qui n'est pas avant lui, ou qui ne peut pas être annulé
clinical-aside-no-amendment = ce n'est pas une correction
clinical-aside-not-before = il corrige un événement qui n'est pas avant lui
clinical-aside-of-aside = il corrige un événement mis de côté
clinical-aside-old-value = l'ancienne valeur qu'il nomme n'y a jamais été
clinical-aside-other-kind = il ferait d'un événement un autre genre ou un autre essai
clinical-aside-opened-elsewhere = la visite avait été ouverte avant, dans une autre chaîne
clinical-aside-without-visit = il vient d'une chaîne qui n'avait pas cette visite
clinical-aside-closed-elsewhere = la visite a été close, ou reprise par un autre ordinateur, en même temps
