### Spanish. Where each message stands, and how long it may be, is said in src/words/en/report.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

report-title = Índice tobillo-brazo (ITB): registro de una medición
report-document = { $title }, historia { $record }
report-record = Historia { $record }
report-foot-page = Registra una medición. No diagnostica.
report-page = Página { $page } de { $pages }
report-hash-chain = Cadena hash { $head }
report-label = Etiqueta del paciente
report-head-service = Servicio
report-head-record = Historia
report-head-measured = Medido
report-head-operator = Operador
report-head-reason = Motivo
report-head-ulcer = Úlcera
report-head-scope = Solicitud
report-on-paper = el { $on }; tomado del papel { $entered }
report-on-paper-by = el { $on } por { $by }; tomado del papel { $entered }
report-foot-purpose = Para formación y para registrar lo que midió un clínico. No diagnostica y no es un producto sanitario autorizado.
report-foot-record = El oído y el manómetro del clínico son el registro; la detección automática solo ayuda. Compruebe cada valor.
report-foot-guidance = Las guías se citan o se dan en su sentido con su fuente; nada es consejo de este programa. Deciden las normas locales y el profesional habilitado.
report-foot-unreviewed = Este informe es traducción nuestra del inglés. Ningún clínico ha revisado la traducción.
report-foot-confirmed = La traducción del inglés fue confirmada para este servicio por { $who }.
report-first = Signos de alarma y precauciones
report-red-flag = Signo de alarma, por encima de cualquier cifra
report-caution = Precaución
report-not-finished = Sin terminar
report-not-closed = Esta visita no está cerrada. Lo que falta aún puede cambiar las cifras.
report-short-rest = El paciente reposó { $minutes } de { $wanted } minutos. En reposo las presiones bajan: tras 5 minutos, la mitad de 199 pacientes estaban a menos de 5 mmHg de su presión estable (Mahe 2017, Scientific Reports, PMC5635024).
report-asked-no = Preguntado y negado: { $list }.{" "}
report-asked-open = No preguntado o no conocido: { $list }.{" "}
report-asked-outweighs = Un signo así pesa más que cualquier cifra, también si aparece después.
report-summary = En breve
report-indexes = Índice tobillo-brazo (ITB)
report-leg =
    Pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente
report-above = más de { $lowest }
report-no-index = sin índice
report-interval = Intervalo del 95 % { $ends }
report-made = { $ankle } mmHg ({ $ankle_site }) entre { $arm } mmHg ({ $arm_site }).
report-made-ankle = { $ankle } mmHg ({ $ankle_site }); sin presión de brazo.
report-made-open = Una arteria del tobillo no compresible, entre { $arm } mmHg ({ $arm_site }).
report-made-arm = Sin presión de tobillo; presión de brazo { $arm } mmHg ({ $arm_site }).
report-made-none = Sin presión de tobillo ni de brazo.
report-crosses = El intervalo cruza el límite { $limits } de { $set }: esta medición no puede decir a qué lado está la pierna.
report-line-key = En cada línea el rombo es el índice. La barra de encima es su intervalo del 95 %. Un lugar en la línea es una cifra, no un juicio sobre la pierna.
report-line-key-limits = En cada línea el rombo es el índice. La barra de encima es su intervalo del 95 %. Los límites y sus nombres son solo los de { $set }. Un lugar en la línea es una cifra, no un juicio sobre la pierna.
report-site =
    { $artery ->
        [arm] brazo, lado
        [dp] arteria pedia, lado
        [pt] arteria tibial posterior, lado
        [peroneal] arteria peronea, lado
       *[toe] dedo gordo, lado
    } { $side ->
        [left] izquierdo
       *[right] derecho
    }
report-readings = De qué constan los índices
report-pressures = Presiones en mmHg.
report-column-site = Punto
report-column-right = Derecha del paciente
report-column-left = Izquierda del paciente
report-row =
    { $artery ->
        [arm] Brazo
        [dp] Pedia
        [pt] Tibial posterior
        [peroneal] Peronea
       *[toe] Dedo gordo
    }
report-row-after =
    { $artery ->
        [arm] Brazo
        [dp] Pedia
        [pt] Tibial posterior
        [peroneal] Peronea
       *[toe] Dedo gordo
    } tras ejercicio
report-not-measured = no medido
report-mean-of = {" "}(media de { $readings })
report-does-not-count = ; { $outcome } no cuenta, véanse los intentos
report-from-instrument = , de otro aparato
report-from-paper = , del papel
report-in-index = , en el índice
report-asked-for = Lo pide una regla ({ $why }): { $sites }.
report-conditions = Posición del paciente: { $posture }. Reposo antes de medir: { $minutes } minutos. Manómetro { $gauge }, escala de { $lines } mmHg. Método: { $method }.
report-conditions-rest-unknown = Posición del paciente: { $posture }. No se anotó el reposo antes de medir. Manómetro { $gauge }, escala de { $lines } mmHg. Método: { $method }.
report-findings = Hallazgos antes de medir
report-foot-found =
    Pie { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente: { $temperature ->
        [warm] caliente
        [cool] fresco
       *[cold] frío
    }, { $pulse ->
        [yes] pulso palpado
        [no] pulso no palpado
       *[unknown] pulso no comprobado
    }.
report-wound =
    Herida bajo el manguito, pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente: { $care }.
report-moved =
    El paciente se movió { $moved ->
        [1] una vez
       *[other] { $moved } veces
    } y reposó de nuevo, la última vez desde { $from }; { $before ->
        [one] { $before } lectura es
       *[other] { $before } lecturas son
    } de antes.
report-exercised = Ejercicio terminado { $at }.
report-exercised-words = Ejercicio terminado { $at }: { $words }.
report-cuffs-both =
    { $limb ->
        [arm] Manguitos, ambos brazos
       *[ankle] Manguitos, ambos tobillos
    }: { $size }
report-cuff-one =
    Manguito, { $limb ->
        [arm] brazo
       *[ankle] tobillo
    } { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente: { $size }
report-cuff-size = cámara { $width } x { $length } cm, contorno { $around } cm.
report-cuff-size-unknown = cámara { $width } x { $length } cm, contorno no medido, tamaño sin comprobar.
report-diseases =
    Diabetes: { $diabetes ->
        [yes] sí
        [no] no
       *[unknown] no se sabe
    }, enfermedad renal: { $kidney ->
        [yes] sí
        [no] no
       *[unknown] no se sabe
    }.
report-plan = Plan y próxima prueba
report-next-test = Próxima prueba el { $on } ({ $who }).
report-signature = Firma
report-countersigned = Refrendado en la historia por { $who }.
report-blank-by = Medido por
report-blank-signature = Firma
report-blank-date = Fecha
report-blank-checked = Revisado por
report-guidance = Guías publicadas
report-source = Fuente: { $source }
report-says-nothing = Esta guía no tiene recomendación para la pierna tal como se midió.
report-cannot-tell = Lo que la cifra no puede decir
report-cannot-rule-out = Una cifra no descarta enfermedad arterial, menos aún con diabetes o enfermedad renal (NICE CKS, según una página secundaria).
report-cannot-stiff = Las arterias rígidas resisten al manguito. El índice es entonces falsamente alto (ACC/AHA 2016 y 2024 llaman a un índice mayor de 1,40 «non-compressible», no compresible).
report-cannot-where = La cifra no dice dónde se estrecha una arteria, ni si una herida curará bien (práctica habitual).
report-cannot-cover = El intervalo abarca el manómetro, la presión de latido a latido y el tiempo de reacción. No abarca un manguito de tamaño erróneo, un paciente inquieto ni un reposo demasiado corto.
report-cannot-urgent = Dolor en reposo, pérdida de tejido, una infección que se extiende o un pie frío, pálido o dormido es urgente sea cual sea la cifra (práctica habitual).
report-cannot-zero = { $leg }: no se obtuvo índice; esto no significa un índice de cero.
report-notes = Notas y supuestos
report-note-by = Nota de { $who }: { $words }
report-amended = El evento { $of } fue corregido por { $who } el { $at }: { $why }.
report-amended-apart = {" "}Se hizo en otro ordenador sin conocer la corrección anterior: ambas se guardan, vale esta, y alguien debe aclararlo.
report-attempts = Todos los intentos
report-attempts-caption = Todos los intentos en su orden. Las filas en negrita con barra son parte de un índice.
report-column-outcome = Resultado
report-column-tap = Marca y detección
report-column-deflation = Desinflado
report-column-counts = Para qué cuenta
report-attempt-after = { $site } tras ejercicio
report-attempt-which = , { $n } de { $all }
report-attempt-entered = {" "}(tomado de otro aparato)
report-attempt-paper = {" "}(tomado del papel)
report-counts-not = No cuenta: { $why }.
report-counts-as = Cuenta como { $parts }.
report-counts-as-mean = Cuenta como { $parts }, con media { $mean } junto a los demás de este punto.
report-counts-site = Cuenta para su punto; no es parte de un índice.
report-counts-site-mean = Cuenta para su punto, con media { $mean } junto a los demás de este punto; no es parte de un índice.
report-counts-no-pressure = Sin presión.
report-part-ankle =
    presión de tobillo de la pierna { $side ->
        [left] izquierda
       *[right] derecha
    }
report-part-arm =
    presión de brazo de la pierna { $side ->
        [left] izquierda
       *[right] derecha
    }
report-part-arm-both = presión de brazo de ambas piernas
report-rate = { $rate } mmHg/s
report-rate-unknown = no registrado
report-tap-heard = Marca a los { $mark } s, { $lateness }
report-tap-unheard = Marca a los { $mark } s; { $lateness }
report-no-tap-heard = Sin marca; primer pulso oído a los { $back } s
report-no-tap = Sin marca, { $lateness }
report-tap-moved = ; marca movida después a { $to } s
report-late-before = { $by } s antes del primer pulso oído
report-late-after = { $by } s después del primer pulso oído
report-late-no-listener = sin detección automática
report-late-no-tap = sin marca
report-late-no-return = la detección no oyó el retorno
report-sounds = El sonido en cada punto
report-sounds-key = El tiempo corre hacia la derecha, el tono hacia arriba; cuanto más oscuro, más fuerte sobre el fondo. Las líneas de puntos muestran lo que oyó la detección automática. La línea continua es la marca del clínico. El oído y el manómetro son el registro; la detección solo ayuda.
report-caption-tap = Marca: { $late }
report-caption-confidence = {" "}Confianza { $percent } %.
report-caption-confident = {" "}Confianza de más del 99 %.
report-caption-pulse = {" "}Pulso { $rate }/min.
report-caption-rhythm = {" "}Pulso { $rate }/min, { $rhythm }.
report-caption-hard = {" "}Difícil de oír: { $why }.
report-heard-regular = regular
report-heard-irregular = irregular
report-heard-too-quiet = demasiado débil
report-heard-clipped = saturado
report-heard-hum = zumbido de red
report-heard-talk = voz sobre la señal
report-heard-no-pulse = aún sin pulso
report-heard-broken = muestras defectuosas
report-heard-moved = sonda desplazada
report-versions = Reglas, versiones y fuentes
report-program = Programa cuffnote { $program }, detección { $listener }.
report-program-alone = Programa cuffnote { $program }. Sin detección automática activa.
report-set = {" "}{ $set }, copia { $version }, a revisar antes del { $on }.
report-chain = {" "}Cabeza de una cadena hash, tal como se dio y sin comprobar: { $head }.
report-kept = Libro de registro: visita { $visit }, cabeza { $head }.
report-from-file = Hecho de un archivo, que cualquiera puede editar: no es un registro. El libro de registro puede confirmar el archivo (cuffnote book confirm).
report-table = Tabla de lecturas
