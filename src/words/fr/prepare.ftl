### French. Where each message stands, and how long it may be, is said in src/words/en/prepare.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

prepare-rested =
    { $minutes ->
        [one] { $minutes } minute de repos faite.
       *[other] { $minutes } minutes de repos faites.
    }
prepare-rest =
    { $minutes ->
        [one] Repos, sans parler : { $minutes } minute.
       *[other] Repos, sans parler : { $minutes } minutes.
    }
prepare-start = Commencer la mesure
prepare-start-early = Commencer avant (repos incomplet)
prepare-leave = Quitter
prepare-skip = Passer : { $step }
prepare-step-cautions = signes d'alarme et précautions
prepare-step-cuffs = brassards
prepare-step-instruments = manomètre et sonde
prepare-step-feet = pieds
prepare-step-sound = son
prepare-step-rest = repos
prepare-left-out = passé
prepare-done = fait
prepare-asked-none = demandé : aucun présent
prepare-asked-some =
    { $n ->
        [one] demandé : { $n } présent
       *[other] demandé : { $n } présents
    }
prepare-cuff-on =
    { $limb ->
        [arm] bras
       *[ankle] cheville
    } { $side ->
        [left] gauche
       *[right] droite
    } { $width } x { $length } cm
prepare-needle-was =
    { $answer ->
        [yes] aiguille à zéro
        [no] aiguille PAS à zéro
       *[unknown] aiguille à zéro : inconnu
    }
prepare-probe = sonde { $mhz } MHz
prepare-foot =
    { $warmth ->
        [warm] chaud
        [cool] frais
       *[cold] froid
    }, { $pulse ->
        [yes] pouls perçu
        [no] pouls non perçu
       *[unknown] pouls non vérifié
    }
prepare-foot-line =
    { $side ->
        [left] gauche
       *[right] droit
    } { $found }
prepare-foot-name =
    pied { $side ->
        [left] gauche
       *[right] droit
    } : { $found }
prepare-foot-title =
    Pied { $side ->
        [left] gauche
       *[right] droit
    } du patient
prepare-questions =
    { $count ->
        [one] { $count } question. Touchez ce qui s'applique.
       *[other] { $count } questions. Touchez ce qui s'applique.
    }
prepare-yes-side =
    oui, { $side ->
        [left] gauche
       *[right] droite
    }
prepare-none = Rien de cela
prepare-none-others = Rien du reste
prepare-wound =
    Plaie sous le brassard, jambe { $side ->
        [left] gauche
       *[right] droite
    } du patient :
prepare-wound-name =
    jambe { $side ->
        [left] gauche
       *[right] droite
    } : { $care }
prepare-fit = Taille non vérifiée : mesurez la circonférence, saisissez-la et remettez le brassard.
prepare-as-last = Comme la dernière fois : bras { $arm_width } x { $arm_length } cm, cheville { $ankle_width } x { $ankle_length } cm, aiguille à zéro
prepare-cuff-rule = Poche : largeur d'au moins 40 %, longueur d'au moins 80 % de la circonférence. À la cheville, le brassard finit juste au-dessus des malléoles ; l'artère reste accessible.
prepare-around =
    Circonférence, { $limb ->
        [arm] bras
       *[ankle] chevilles
    }, cm
prepare-width =
    Largeur de poche, { $limb ->
        [arm] bras
       *[ankle] chevilles
    }, cm
prepare-length =
    Longueur de poche, { $limb ->
        [arm] bras
       *[ankle] chevilles
    }, cm
prepare-cuffs-on =
    Brassards posés : { $limb ->
        [arm] bras
       *[ankle] chevilles
    }
prepare-instruments = Manomètre { $gauge }, une graduation tous les { $lines } mmHg ; sonde { $probe }. À changer dans Réglages.
prepare-mhz = { $mhz } MHz
prepare-not-given = non indiquée
prepare-gauge-in-use = en usage
prepare-needle = Aiguille à zéro, brassard ouvert ?
prepare-volume = Volume de sortie { $percent } %
prepare-no-output = Aucun son n'est envoyé au casque ou au haut-parleur. Choisissez une sortie dans Réglages si le Doppler lui-même est muet.
prepare-softer = Moins fort
prepare-louder = Plus fort
prepare-sound-checked = Son vérifié
