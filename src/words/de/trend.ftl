### German. Where each message stands, and how long it may be, is said in src/words/en/trend.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

trend-change =
    Der Index { $direction ->
        [fell] fiel um { $by }
        [rose] stieg um { $by }
       *[same] ist unverändert
    }, von { $was } auf { $is }: { $beyond ->
        [yes] mehr
       *[no] nicht mehr
    } als die { $limit }, die in der Verlaufskontrolle als bedeutsam gelten (Giornale Italiano dell'Arteriosclerosi 2014, Zusammenfassung der AHA), und die beiden Intervalle der Messung { $apart ->
        [yes] liegen auseinander
       *[no] überschneiden sich
    }.{ $unlike }
trend-no-change = Keine Änderung wird angegeben: damals { $was }, jetzt { $is }.{ $unlike }
trend-unlike = {" "}Nicht Gleiches mit Gleichem: { $list }.
trend-unlike-one =
    { $what ->
        [artery] Arterie
        [arm] Arm
        [method] Methode
       *[posture] Lage
    } damals { $before }, jetzt { $now }
trend-toe =
    Der Zehendruck ging von { $was } auf { $is } mmHg, und die beiden Intervalle der Messung { $apart ->
        [yes] liegen auseinander
       *[no] überschneiden sich
    }.{ $unlike }
trend-toe-no-change = Keine Änderung des Zehendrucks wird angegeben: damals { $was } mmHg ({ $before }), jetzt { $is } mmHg ({ $now }).{ $unlike }
trend-toe-unlike =
    {" "}Nicht Gleiches mit Gleichem: damals { $before ->
        [entered] von einem anderen Gerät
       *[ear] mit Ohr und Manometer
    }, jetzt { $now ->
        [entered] von einem anderen Gerät
       *[ear] mit Ohr und Manometer
    }.
