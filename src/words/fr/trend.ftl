### French. Where each message stands, and how long it may be, is said in src/words/en/trend.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

trend-change =
    L'indice { $direction ->
        [fell] a baissé de { $by }
        [rose] a monté de { $by }
       *[same] est inchangé
    }, de { $was } à { $is } : { $beyond ->
        [yes] plus
       *[no] pas plus
    } que les { $limit } dits significatifs dans le suivi (Giornale Italiano dell'Arteriosclerosi 2014, résumé de l'AHA), et les deux intervalles de la mesure { $apart ->
        [yes] sont disjoints
       *[no] se recouvrent
    }.{ $unlike }
trend-no-change = Aucun changement n'est énoncé : { $was } alors, { $is } maintenant.{ $unlike }
trend-unlike = {" "}Pas à conditions égales : { $list }.
trend-unlike-one =
    { $what ->
        [artery] artère
        [arm] bras
        [method] méthode
       *[posture] position
    } { $before } alors, { $now } maintenant
trend-toe =
    La pression à l'orteil est passée de { $was } à { $is } mmHg, et les deux intervalles de la mesure { $apart ->
        [yes] sont disjoints
       *[no] se recouvrent
    }.{ $unlike }
trend-toe-no-change = Aucun changement de la pression à l'orteil n'est énoncé : { $was } mmHg alors ({ $before }), { $is } mmHg maintenant ({ $now }).{ $unlike }
trend-toe-unlike =
    {" "}Pas à conditions égales : { $before ->
        [entered] depuis un autre appareil
       *[ear] à l'oreille et au manomètre
    } alors, { $now ->
        [entered] depuis un autre appareil
       *[ear] à l'oreille et au manomètre
    } maintenant.
