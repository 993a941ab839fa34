### Spanish. Where each message stands, and how long it may be, is said in src/words/en/clinical.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

clinical-side-right = derecha del paciente
clinical-side-left = izquierda del paciente
clinical-artery-brachial = arteria braquial
clinical-artery-dp = arteria pedia
clinical-artery-pt = arteria tibial posterior
clinical-artery-peroneal = arteria peronea
clinical-artery-toe = dedo gordo del pie
clinical-site =
    { $artery ->
        [arm] arteria braquial
        [dp] arteria pedia
        [pt] arteria tibial posterior
        [peroneal] arteria peronea
       *[toe] dedo gordo del pie
    }, { $side ->
        [left] izquierda del paciente
       *[right] derecha del paciente
    }
clinical-status-verified = verificado
clinical-status-secondary = fuente secundaria, sin verificar
clinical-status-from-memory = de memoria, sin verificar
clinical-status-own = regla propia del servicio
clinical-from-memory = de memoria
clinical-method-higher = presión de tobillo más alta entre brazo más alto
clinical-method-lower = presión de tobillo más baja entre brazo más alto
clinical-method-mean = media de las dos arterias del tobillo entre brazo más alto
clinical-method-pt-only = tibial posterior entre media de ambos brazos
clinical-method-same-side-arm = presión de tobillo más alta entre brazo del mismo lado
clinical-posture-supine = en decúbito supino
clinical-posture-head-raised = semiincorporado
clinical-posture-sitting = sentado
clinical-posture-other = otra posición
clinical-quantity-index = índice
clinical-quantity-ankle = presión de tobillo
clinical-quantity-toe = presión del dedo
clinical-quantity-toe-index = índice dedo-brazo
clinical-waveform-multiphasic = multifásica
clinical-waveform-triphasic = trifásica
clinical-waveform-biphasic = bifásica
clinical-waveform-damped = amortiguada
clinical-waveform-monophasic = monofásica
clinical-waveform-absent = no se oye sonido
clinical-waveform-unclear = onda dudosa
clinical-wound-covered = cubierta con película y medida
clinical-wound-cuff-elsewhere = manguito en otro punto del miembro
clinical-wound-left-out = omitida
clinical-kind-full = ambas piernas
clinical-kind-one-leg =
    solo pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente
clinical-kind-one-artery = solo { $site }
clinical-kind-toes = solo dedos del pie
clinical-kind-without-index = sin presiones
clinical-kind-exercise = en reposo, luego tras ejercicio
clinical-kind-paper = del papel, medido el { $on }
clinical-kind-paper-by = del papel, medido el { $on } por { $by }
clinical-ulcer =
    pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente
clinical-ulcer-at =
    pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente, { $place }
clinical-mmhg = { $n } mmHg
clinical-not-yet = aún sin medir
clinical-not-compressible-at = no compresible a { $limit } mmHg
clinical-no-signal = no se halló señal
clinical-not-measured = no medido: { $reason }
clinical-not-finished = sin terminar
clinical-conflict-open = una lectura y «no compresible» se contradicen
clinical-conflict-apart = las lecturas { $low } y { $high } mmHg se contradicen
clinical-left-out-withdrawn = retirado: { $why }
clinical-left-out-reading = { $what }; otro intento dio una lectura
clinical-left-out-first-above = primera lectura del primer brazo, más de 10 mmHg por encima del otro brazo
clinical-left-out-first-apart = primera lectura del primer brazo, a más de 10 mmHg de su repetición
clinical-wanted-arms = los brazos difieren en más de 15 mmHg: repetir; si persiste, medir desde ahora en el brazo más alto (NICE NG136 1.2.1)
clinical-wanted-first-arm = el primer brazo supera al otro en más de 10 mmHg: repetirlo al final (AHA 2012, sin verificar)
clinical-wanted-conflict = { $conflict }: medir de nuevo y retirar el valor erróneo
clinical-wanted-irregular = el ritmo es irregular: al menos { $needed } lecturas, promediadas (BIHS 2019)
clinical-wanted-second = la segunda lectura supera a la primera en más de { $limit } mmHg: repetir (regla de un manual de estudio publicado, nsrr/cfs-documentation)
clinical-first-arm-all = primer brazo: se promedian todas las lecturas aceptadas
clinical-first-arm-discard = primer brazo: una primera lectura más de 10 mmHg por encima del otro brazo se sustituye por su repetición (AHA 2012, según una página secundaria; sin verificar)
clinical-first-arm-average = primer brazo: la primera lectura y su repetición se promedian; si difieren en más de 10 mmHg, se descarta la primera (AHA 2012, de memoria; sin verificar)
clinical-missing = { $site }: { $why }
clinical-one-artery = La presión de tobillo se basa en una sola arteria, { $used } ({ $missing }).
clinical-no-ankle = Sin índice: no hay presión de tobillo ({ $missing }).
clinical-no-signal-at-all =
    Sin índice: en el lado { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente no se halló señal en la arteria pedia ni en la tibial posterior. Esto no significa un índice de cero.
clinical-not-compressible = No compresible: la señal seguía presente a { $limit } mmHg ({ $sites }).
clinical-conflict = Sin índice: { $site }: { $conflict }. Medir de nuevo, o retirar un valor con su motivo; mientras ambos sigan, no hay índice.
clinical-one-arm = Solo se pudo usar un brazo, { $used } ({ $other }: { $why }): el índice puede ser falsamente alto, pues el otro brazo podría ser más alto.
clinical-arm-open = El brazo no compresible ({ $arm }) es el más alto: un índice con el otro brazo es falsamente alto. Sin categoría.
clinical-provisional = Provisional, sin categoría: el otro brazo aún no se ha medido ({ $other }). Si no se puede, indicarlo.
clinical-no-arm = Sin índice: no hay presión de brazo utilizable ({ $missing }); solo presiones de tobillo.
clinical-more-than = El índice está por encima de { $lowest }; no se sabe cuánto.
clinical-headline =
    Pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente: índice tobillo-brazo { $index } ({ $low } a { $high }), { $method }.
clinical-headline-bare =
    Pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente: índice tobillo-brazo { $index }, { $method }.
clinical-headline-none =
    Pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente: sin índice tobillo-brazo.
clinical-withheld = No se muestra ninguna recomendación. Posición del paciente: { $posture }. Los límites publicados valen para un paciente en decúbito supino (sentado, el índice es de media unos 0,35 más alto, BMC Prim Care 2014;15:69).
clinical-red-flag = Signo de alarma, por encima de cualquier cifra: { $flag }.
clinical-caution = Precaución: { $flag }.
clinical-toe =
    Dedo gordo { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente: { $pressure }, índice dedo-brazo { $index } ({ $low } a { $high }).
clinical-toe-entered =
    Dedo gordo { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente: { $pressure }, tomado de otro aparato, índice dedo-brazo { $index } ({ $low } a { $high }).
clinical-toe-bare =
    Dedo gordo { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente: { $pressure }, sin índice dedo-brazo.
clinical-toe-bare-entered =
    Dedo gordo { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente: { $pressure }, tomado de otro aparato, sin índice dedo-brazo.
clinical-toe-none =
    Dedo gordo { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente: { $why }; sin índice dedo-brazo.
clinical-because = { $quantity } { $value }
clinical-because-open = arterias no compresibles
clinical-limits-open = no compresible
clinical-range-any = cualquier valor
clinical-range-between = { $above } y { $below }
clinical-ends = { $low } a { $high }
clinical-ends-mmhg = { $low } a { $high } mmHg
clinical-guidance-quoted = { $set } para { $because } [{ $when }]: { $words }{ $more }.
clinical-guidance-sense = { $set } para { $because } [{ $when }]: en su sentido: { $words }{ $more }.
clinical-guidance-more = ; en su sentido: { $more }
clinical-quote = "{ $words }"
clinical-quote-ours = "{ $words }" (traducción nuestra: "{ $ours }")
clinical-sense-ours = { $ours } (traducción nuestra)
clinical-several = { $set }: varias categorías valen a la vez, cada una tal como está impresa.
clinical-no-band = { $set } no tiene categoría para { $quantity } { $value }.
clinical-rounded = El redondeo llevó el valor ({ $quantity }) al otro lado de un límite de { $set } ({ $range }): { $exact } antes de redondear, { $rounded } después, a dos decimales.
clinical-crossing-one = { $set }: el límite { $limits } ({ $quantity }) está dentro de la incertidumbre de medida ({ $inside }). { $holds }{ $settle }
clinical-crossing-many = { $set }: los límites { $limits } ({ $quantity }) están dentro de la incertidumbre de medida ({ $inside }). { $holds }{ $settle }
clinical-crossing-own = El valor conserva su categoría, { $own }: el lado más prudente.
clinical-crossing-meanwhile = El valor conserva su categoría, { $own }; hasta aclararlo vale el lado más prudente: { $meanwhile }.
clinical-crossing-settle = {" "}Repetir una presión podría aclararlo: { $site }.
clinical-crossing-none = ninguna de esta guía
clinical-short =
    Pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente: { $number }{ $toe }. { $says }
clinical-short-above = ITB por encima de { $lowest }
clinical-short-interval = ITB { $index } ({ $low } a { $high })
clinical-short-index = ITB { $index }
clinical-short-none = sin ITB, lo que no significa cero
clinical-short-toe = , índice dedo-brazo { $index }
clinical-short-provisional = Provisional: falta medir el otro brazo.
clinical-short-no-set = No hay ninguna guía activada.
clinical-short-from-memory = { $set } (de memoria)
clinical-short-says = { $set }: { $says }.
clinical-short-nothing = { $set } no tiene recomendación aquí.
clinical-short-crossing = {" "}El intervalo cruza { $limits }.
clinical-arms-differ =
    Los brazos difieren en { $apart }; el más alto es el brazo { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente. NICE NG136 1.2.1 para más de 15 mmHg: repetir; si persiste, medir desde ahora en el brazo más alto. AHA 2012 según una página secundaria: por encima de 15 mmHg se sospecha una estenosis subclavia.
clinical-rule-in-use = Regla aplicada, { $rule }.
clinical-arteries-differ = Arteria pedia ({ $dp } mmHg) y tibial posterior ({ $pt } mmHg) difieren en { $apart }: más de { $limit } mmHg se señala aquí para revisar sonda y punto (no se halló un límite en guías).
clinical-exercise =
    Tras el ejercicio, la presión de tobillo de la pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente es de { $after } mmHg ({ $change }).
clinical-exercise-since =
    Tras el ejercicio, { $minutes } min después de acabar, la presión de tobillo de la pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente es de { $after } mmHg ({ $change }).
clinical-exercise-fall = descenso de { $by }
clinical-exercise-rise = aumento de { $by }
clinical-exercise-late = Los criterios publicados valen para presiones tomadas 1 minuto tras el ejercicio (Mahe 2015, Medicine): esta es más tardía, y un descenso puede haber pasado.
clinical-exercise-pressure = La presión de tobillo bajó más de 30 mmHg: un criterio publicado tras ejercicio (Mahe 2015, Medicine; Kyte 2023).
clinical-exercise-index = El índice bajó más de un 20 %: un criterio publicado tras ejercicio (Mahe 2015, Medicine); el 60 % de los adultos jóvenes sanos también lo muestran (Kyte 2023).
clinical-note-method = Método: { $method }.
clinical-note-other-method = No es el método estándar: los límites de las guías publicadas valen para la presión de tobillo más alta entre el brazo más alto.
clinical-note-measurement-only = El intervalo es solo de la medición: dos personas o dos visitas difieren más (límites de concordancia de unos 0,16 en un estudio, Casey 2020, J Foot Ankle Res).
clinical-note-lower = Si la pregunta es por una pierna, cada pierna vale por sí misma; si es por el riesgo cardiovascular, cuenta la más baja, { $lower } (AHA 2012, de memoria).
clinical-note-rate-assumed = Supuesto para el intervalo: desinflado a { $rate } mmHg/s (velocidad medida en { $measured } de { $all } lecturas).
clinical-note-rate-measured = La velocidad de desinflado de cada lectura se midió en la aguja.
clinical-note-beat-heard = El intervalo entre latidos es el del pulso oído.
clinical-note-beat-assumed = Supuesto para el intervalo: frecuencia cardíaca de { $rate } por minuto.
clinical-note-own-pressure = Se supone que la presión propia del paciente varía { $own } mmHg (desviación típica) de latido a latido.
clinical-note-untapped = { $untapped } de { $all } lecturas no tienen marca en el sonido; por ello se admiten hasta { $without } s del sonido al manómetro (supuesto propio; { $with } s con marca).
clinical-note-other-chain =
    { $events ->
        [one] { $events } evento procede
       *[other] { $events } eventos proceden
    } de otra cadena, { $chain }.
clinical-aside = Apartado y sin contar: evento { $n } ({ $kind }{ $whose }): { $why }.
clinical-of-chain = , de la cadena { $chain }
clinical-disagree = Dos ordenadores se contradicen en { $what }: { $said }. «{ $stands }» vale hasta que alguien lo aclare con otra corrección.
clinical-disagree-said = { $value } por { $who } el { $at }{ $whose }
clinical-cuff-narrow = El manguito es demasiado estrecho para { $around } cm: su cámara debe tener al menos el { $percent } % de esa anchura. Un manguito estrecho da valores demasiado altos.
clinical-cuff-short = El manguito es demasiado corto para { $around } cm: su cámara debe rodear al menos el { $percent } % del contorno.
clinical-about-outcome = el resultado del intento { $n }
clinical-about-mark = la marca del intento { $n }
clinical-about-site = el sitio del intento { $n }
clinical-about-opening = los datos con que se abrió la visita
clinical-about-next-test = el día de la próxima medición
clinical-about-other = un suceso del tipo { $kind }
clinical-value-mark = una marca en { $seconds } s
clinical-value-record = historia { $record }
clinical-aside-closed = la visita ya estaba cerrada
clinical-aside-opened-twice = la visita se abrió dos veces
clinical-aside-number-used = el número de este intento ya se usó
clinical-aside-no-attempt = nombra un intento que nunca empezó
clinical-aside-no-mark = no hay marca que deshacer
clinical-aside-ended = el intento ya había acabado: corrija el resultado o empiece un intento nuevo
clinical-aside-zero = 0 mmHg no es una lectura: el resultado es «sin señal»
clinical-aside-undo = deshace un suceso que no está antes, o que no se puede deshacer
clinical-aside-no-amendment = no es una corrección
clinical-aside-not-before = corrige un suceso que no está antes
clinical-aside-of-aside = corrige un suceso apartado
clinical-aside-old-value = el valor antiguo que nombra nunca estuvo ahí
clinical-aside-other-kind = haría de un suceso otro tipo u otro intento
clinical-aside-opened-elsewhere = la visita ya se había abierto en otra cadena
clinical-aside-without-visit = lo escribió una cadena que no tenía esta visita
clinical-aside-closed-elsewhere = la visita se cerró, o la tomó otro ordenador, al mismo tiempo
