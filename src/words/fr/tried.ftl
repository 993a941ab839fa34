### French. Where each message stands, and how long it may be, is said in src/words/en/tried.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

tried-what = Donnez un fichier WAV d'un son Doppler : déposez-le ici, ou ouvrez-le. Vous voyez son image et ce que trouve la détection automatique. Le fichier reste sur cet ordinateur.
tried-learning = Pour apprendre seulement : rien ici n'est à utiliser sur un patient.
tried-file = Fichier son (WAV)
tried-hear = Écouter ce fichier
tried-open = Ouvrir un son
tried-share = La détection automatique écoute { $name } : { $percent } %.
tried-picture = votre son avec ce que la détection a trouvé
tried-return = retour selon la détection
tried-fault = { $name } : { $said }.
tried-pulses =
    { $count ->
        [0] La détection automatique n'a trouvé aucun pouls en { $seconds } s.
        [1] La détection automatique a trouvé un seul pouls en { $seconds } s.
       *[other] La détection automatique a trouvé { $count } pouls en { $seconds } s.
    }
tried-both = Elle a entendu le pouls disparaître à { $gone } s et revenir à { $back } s.
tried-gone = Elle a entendu le pouls disparaître à { $gone } s, et aucun retour ensuite.
tried-back = Elle a entendu un pouls revenir à { $back } s.
tried-neither = Elle n'a entendu aucun pouls disparaître et revenir.
tried-wrong = Elle peut se tromper : écoutez vous-même, battement par battement.
