### Spanish. Where each message stands, and how long it may be, is said in src/words/en/trend.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

trend-change =
    El índice { $direction ->
        [fell] bajó { $by }
        [rose] subió { $by }
       *[same] no ha cambiado
    }, de { $was } a { $is }: { $beyond ->
        [yes] más
       *[no] no más
    } que los { $limit } llamados significativos en el seguimiento (Giornale Italiano dell'Arteriosclerosi 2014, resumen de la AHA), y los dos intervalos de la medición { $apart ->
        [yes] quedan separados
       *[no] se solapan
    }.{ $unlike }
trend-no-change = No se indica ningún cambio: { $was } entonces, { $is } ahora.{ $unlike }
trend-unlike = {" "}No es igual con igual: { $list }.
trend-unlike-one =
    { $what ->
        [artery] arteria
        [arm] brazo
        [method] método
       *[posture] posición
    } { $before } entonces, { $now } ahora
trend-toe =
    La presión del dedo pasó de { $was } a { $is } mmHg, y los dos intervalos de la medición { $apart ->
        [yes] quedan separados
       *[no] se solapan
    }.{ $unlike }
trend-toe-no-change = No se indica ningún cambio de la presión del dedo: { $was } mmHg entonces ({ $before }), { $is } mmHg ahora ({ $now }).{ $unlike }
trend-toe-unlike =
    {" "}No es igual con igual: { $before ->
        [entered] de otro aparato
       *[ear] de oído y manómetro
    } entonces, { $now ->
        [entered] de otro aparato
       *[ear] de oído y manómetro
    } ahora.
