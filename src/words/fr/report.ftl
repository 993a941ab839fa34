### French. Where each message stands, and how long it may be, is said in src/words/en/report.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

report-title = Indice cheville-bras (IPS) : compte rendu d'une mesure
report-document = { $title }, dossier { $record }
report-record = Dossier { $record }
report-foot-page = Consigne une mesure. Ne pose pas de diagnostic.
report-page = Page { $page } sur { $pages }
report-hash-chain = Chaîne de hachage { $head }
report-label = Étiquette du patient
report-head-service = Service
report-head-record = Dossier
report-head-measured = Mesuré
report-head-operator = Opérateur
report-head-reason = Motif
report-head-ulcer = Ulcère
report-head-scope = Demande
report-on-paper = le { $on } ; repris du papier { $entered }
report-on-paper-by = le { $on } par { $by } ; repris du papier { $entered }
report-foot-purpose = Pour la formation et pour consigner ce qu'un clinicien a mesuré. Ne pose pas de diagnostic et n'est pas un dispositif médical autorisé.
report-foot-record = L'oreille et le manomètre du clinicien font foi ; la détection automatique ne fait qu'aider. Vérifier chaque valeur.
report-foot-guidance = Les recommandations sont citées ou données en substance avec leur source ; aucune n'est un conseil de ce programme. Les règles locales et le professionnel habilité décident.
report-foot-unreviewed = Ce compte rendu est notre propre traduction de l'anglais. Aucun clinicien n'a relu la traduction.
report-foot-confirmed = La traduction de l'anglais a été confirmée pour ce service par { $who }.
report-first = Signes d'alarme et points d'attention
report-red-flag = Signe d'alarme, avant tout chiffre
report-caution = Attention
report-not-finished = Non terminé
report-not-closed = Cette visite n'est pas close. Ce qui manque peut encore changer les chiffres.
report-short-rest = Le patient s'est reposé { $minutes } minutes sur { $wanted }. Au repos, les pressions baissent : après 5 minutes, la moitié de 199 patients étaient à moins de 5 mmHg de leur pression stable (Mahe 2017, Scientific Reports, PMC5635024).
report-asked-no = Demandé, réponse non : { $list }.{" "}
report-asked-open = Non demandé ou non connu : { $list }.{" "}
report-asked-outweighs = Un tel signe l'emporte sur tout chiffre, même s'il apparaît plus tard.
report-summary = En bref
report-indexes = Indice cheville-bras (IPS)
report-leg =
    Jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient
report-above = plus de { $lowest }
report-no-index = pas d'indice
report-interval = Intervalle à 95 % { $ends }
report-made = { $ankle } mmHg ({ $ankle_site }) sur { $arm } mmHg ({ $arm_site }).
report-made-ankle = { $ankle } mmHg ({ $ankle_site }) ; pas de pression au bras.
report-made-open = Une artère de cheville non compressible, sur { $arm } mmHg ({ $arm_site }).
report-made-arm = Pas de pression à la cheville ; pression au bras { $arm } mmHg ({ $arm_site }).
report-made-none = Ni pression à la cheville ni pression au bras.
report-crosses = L'intervalle franchit le seuil { $limits } de { $set } : cette mesure ne peut pas dire de quel côté est la jambe.
report-line-key = Sur chaque ligne, le losange est l'indice. La barre au-dessus est son intervalle à 95 %. Une place sur la ligne est un chiffre, pas un jugement sur la jambe.
report-line-key-limits = Sur chaque ligne, le losange est l'indice. La barre au-dessus est son intervalle à 95 %. Les seuils et leurs noms sont ceux de { $set } seulement. Une place sur la ligne est un chiffre, pas un jugement sur la jambe.
report-site =
    { $artery ->
        [arm] bras
        [dp] artère dorsale du pied
        [pt] artère tibiale postérieure
        [peroneal] artère fibulaire
       *[toe] gros orteil
    }, côté { $side ->
        [left] gauche
       *[right] droit
    }
report-readings = Ce qui entre dans les indices
report-pressures = Pressions en mmHg.
report-column-site = Site
report-column-right = Droite du patient
report-column-left = Gauche du patient
report-row =
    { $artery ->
        [arm] Bras
        [dp] Dorsale du pied
        [pt] Tibiale postérieure
        [peroneal] Fibulaire
       *[toe] Gros orteil
    }
report-row-after =
    { $artery ->
        [arm] Bras
        [dp] Dorsale du pied
        [pt] Tibiale postérieure
        [peroneal] Fibulaire
       *[toe] Gros orteil
    } après effort
report-not-measured = non mesuré
report-mean-of = {" "}(moyenne de { $readings })
report-does-not-count =  ; { $outcome } ne compte pas, voir les essais
report-from-instrument = , d'un autre appareil
report-from-paper = , du papier
report-in-index = , dans l'indice
report-asked-for = Demandé par une règle ({ $why }) : { $sites }.
report-conditions = Position du patient : { $posture }. Repos avant la mesure : { $minutes } minutes. Manomètre { $gauge }, graduation { $lines } mmHg. Méthode : { $method }.
report-conditions-rest-unknown = Position du patient : { $posture }. Le repos avant la mesure n'a pas été noté. Manomètre { $gauge }, graduation { $lines } mmHg. Méthode : { $method }.
report-findings = Constats avant la mesure
report-foot-found =
    Pied { $side ->
        [left] gauche
       *[right] droit
    } du patient : { $temperature ->
        [warm] chaud
        [cool] frais
       *[cold] froid
    }, { $pulse ->
        [yes] pouls perçu
        [no] pouls non perçu
       *[unknown] pouls non vérifié
    }.
report-wound =
    Plaie sous le brassard, jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient : { $care }.
report-moved =
    Le patient a bougé { $moved ->
        [1] une fois
       *[other] { $moved } fois
    } et s'est reposé de nouveau, la dernière fois à partir du { $from } ; { $before ->
        [one] { $before } mesure date
       *[other] { $before } mesures datent
    } d'avant.
report-exercised = Effort terminé { $at }.
report-exercised-words = Effort terminé { $at } : { $words }.
report-cuffs-both =
    { $limb ->
        [arm] Brassards, deux bras
       *[ankle] Brassards, deux chevilles
    } : { $size }
report-cuff-one =
    Brassard, { $limb ->
        [arm] bras
       *[ankle] cheville
    }, côté { $side ->
        [left] gauche
       *[right] droit
    } du patient : { $size }
report-cuff-size = poche { $width } x { $length } cm, tour du membre { $around } cm.
report-cuff-size-unknown = poche { $width } x { $length } cm, tour du membre non mesuré, taille non vérifiée.
report-diseases =
    Diabète : { $diabetes ->
        [yes] oui
        [no] non
       *[unknown] non connu
    }, maladie rénale : { $kidney ->
        [yes] oui
        [no] non
       *[unknown] non connu
    }.
report-plan = Suite et prochain test
report-next-test = Prochain test le { $on } ({ $who }).
report-signature = Signature
report-countersigned = Contresigné dans le dossier par { $who }.
report-blank-by = Mesuré par
report-blank-signature = Signature
report-blank-date = Date
report-blank-checked = Vérifié par
report-guidance = Recommandations publiées
report-source = Source : { $source }
report-says-nothing = Ce référentiel n'a pas de recommandation pour la jambe telle que mesurée.
report-cannot-tell = Ce que le chiffre ne peut pas dire
report-cannot-rule-out = Un chiffre n'exclut pas une artériopathie, surtout en cas de diabète ou de maladie rénale (NICE CKS, d'après une page secondaire).
report-cannot-stiff = Des artères rigides résistent au brassard. L'indice est alors faussement haut (ACC/AHA 2016 et 2024 nomment un indice au-dessus de 1,40 « non-compressible », non compressible).
report-cannot-where = Le chiffre ne dit ni où une artère est rétrécie, ni si une plaie guérira bien (pratique courante).
report-cannot-cover = L'intervalle couvre le manomètre, la pression d'un battement à l'autre et le temps de réaction. Il ne couvre ni un brassard de mauvaise taille, ni un patient agité, ni un repos trop court.
report-cannot-urgent = Une douleur de repos, une perte de tissu, une infection qui s'étend ou un pied froid, pâle ou insensible est urgent quel que soit le chiffre (pratique courante).
report-cannot-zero = { $leg } : aucun indice obtenu ; cela ne veut pas dire que l'indice est zéro.
report-notes = Notes et hypothèses
report-note-by = Note de { $who } : { $words }
report-amended = L'événement { $of } a été corrigé par { $who } le { $at } : { $why }.
report-amended-apart = {" "}La correction a été faite sur un autre ordinateur sans connaître la précédente : les deux sont gardées, celle-ci compte, et quelqu'un doit trancher.
report-attempts = Tous les essais
report-attempts-caption = Tous les essais dans leur ordre. Les lignes en gras avec une barre font partie d'un indice.
report-column-outcome = Résultat
report-column-tap = Marque et détection
report-column-deflation = Dégonflage
report-column-counts = Pour quoi il compte
report-attempt-after = { $site } après effort
report-attempt-which = , { $n } sur { $all }
report-attempt-entered = {" "}(repris d'un autre appareil)
report-attempt-paper = {" "}(repris du papier)
report-counts-not = Ne compte pas : { $why }.
report-counts-as = Compte comme { $parts }.
report-counts-as-mean = Compte comme { $parts }, en moyenne { $mean } avec les autres de ce site.
report-counts-site = Compte pour son site ; ne fait pas partie d'un indice.
report-counts-site-mean = Compte pour son site, en moyenne { $mean } avec les autres de ce site ; ne fait pas partie d'un indice.
report-counts-no-pressure = Pas de pression.
report-part-ankle =
    pression à la cheville de la jambe { $side ->
        [left] gauche
       *[right] droite
    }
report-part-arm =
    pression au bras de la jambe { $side ->
        [left] gauche
       *[right] droite
    }
report-part-arm-both = pression au bras des deux jambes
report-rate = { $rate } mmHg/s
report-rate-unknown = non noté
report-tap-heard = Marque à { $mark } s, { $lateness }
report-tap-unheard = Marque à { $mark } s ; { $lateness }
report-no-tap-heard = Pas de marque ; premier pouls entendu à { $back } s
report-no-tap = Pas de marque, { $lateness }
report-tap-moved =  ; marque déplacée ensuite à { $to } s
report-late-before = { $by } s avant le premier pouls entendu
report-late-after = { $by } s après le premier pouls entendu
report-late-no-listener = pas de détection automatique
report-late-no-tap = pas de marque
report-late-no-return = la détection n'a pas entendu de retour
report-sounds = Le son à chaque site
report-sounds-key = Le temps va vers la droite, la hauteur du son vers le haut ; plus c'est foncé, plus c'est fort par rapport au fond. Les lignes pointillées montrent ce que la détection automatique a entendu. La ligne pleine est la marque du clinicien. L'oreille et le manomètre font foi ; la détection ne fait qu'aider.
report-caption-tap = Marque : { $late }
report-caption-confidence = {" "}Confiance { $percent } %.
report-caption-confident = {" "}Confiance supérieure à 99 %.
report-caption-pulse = {" "}Pouls { $rate }/min.
report-caption-rhythm = {" "}Pouls { $rate }/min, { $rhythm }.
report-caption-hard = {" "}Difficile à entendre : { $why }.
report-heard-regular = régulier
report-heard-irregular = irrégulier
report-heard-too-quiet = trop faible
report-heard-clipped = saturé
report-heard-hum = ronflement du secteur
report-heard-talk = parole sur le signal
report-heard-no-pulse = pas encore de pouls
report-heard-broken = échantillons défectueux
report-heard-moved = sonde déplacée
report-versions = Règles, versions et sources
report-program = Programme cuffnote { $program }, détection { $listener }.
report-program-alone = Programme cuffnote { $program }. Aucune détection automatique n'était active.
report-set = {" "}{ $set }, copie { $version }, à revoir avant le { $on }.
report-chain = {" "}Tête d'une chaîne de hachage, telle que donnée et non vérifiée : { $head }.
report-kept = Registre : visite { $visit }, tête { $head }.
report-from-file = Fait à partir d'un fichier, que chacun peut modifier : ce n'est pas un dossier. Le registre peut confirmer le fichier (cuffnote book confirm).
report-table = Tableau des mesures
