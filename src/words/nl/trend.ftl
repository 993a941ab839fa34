### Dutch. Where each message stands, and how long it may be, is said in src/words/en/trend.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

trend-change =
    De index { $direction ->
        [fell] daalde met { $by }
        [rose] steeg met { $by }
       *[same] is onveranderd
    }, van { $was } naar { $is }: { $beyond ->
        [yes] meer
       *[no] niet meer
    } dan de { $limit } die bij vervolg van betekenis heet (Giornale Italiano dell'Arteriosclerosi 2014, samenvatting van de AHA), en de twee intervallen van de meting { $apart ->
        [yes] liggen uit elkaar
       *[no] overlappen
    }.{ $unlike }
trend-no-change = Er wordt geen verandering genoemd: { $was } toen, { $is } nu.{ $unlike }
trend-unlike = {" "}Niet gelijk met gelijk: { $list }.
trend-unlike-one =
    { $what ->
        [artery] slagader
        [arm] arm
        [method] methode
       *[posture] houding
    } { $before } toen, { $now } nu
trend-toe =
    De teendruk ging van { $was } naar { $is } mmHg, en de twee intervallen van de meting { $apart ->
        [yes] liggen uit elkaar
       *[no] overlappen
    }.{ $unlike }
trend-toe-no-change = Er wordt geen verandering van de teendruk genoemd: { $was } mmHg toen ({ $before }), { $is } mmHg nu ({ $now }).{ $unlike }
trend-toe-unlike =
    {" "}Niet gelijk met gelijk: { $before ->
        [entered] van een ander instrument
       *[ear] op oor en manometer
    } toen, { $now ->
        [entered] van een ander instrument
       *[ear] op oor en manometer
    } nu.
