### Spanish. Where each message stands, and how long it may be, is said in src/words/en/drill.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

drill-number = Ejercicio { $number } de { $count }
drill-title = { $lesson }, ejercicio { $number } de { $count }
drill-title-open = { $lesson }, ejercicio { $number }
drill-silence = Silencio
drill-end = Terminar aquí
drill-kept = Guardado.
drill-next = Siguiente
drill-gauge = manómetro
drill-squeeze = Apretar
drill-let-go = Soltar
drill-shut = Cerrar
drill-open-more = Abrir más
drill-close-little = Cerrar un poco
drill-valve = Válvula, Arriba y Abajo
drill-key-up = Arriba
drill-key-down = Abajo
drill-keep = Guardar
drill-erase = Borrar
drill-tap = Marcar
drill-teacher-taps = Marca el docente
drill-no-pulse = No volvió el pulso
drill-tapped = Marcado. Cuenta la última marca.
drill-teacher-tapped = El docente ha marcado.
drill-asks = Presión en la marca, luego Enter
drill-asks-student = Lectura del estudiante, luego Enter
drill-asks-teacher = Lectura del docente, luego Enter
drill-asks-nothing = Esta grabación no tiene presión: Enter la termina
drill-picture = el sonido como imagen
drill-in-place = los últimos 12 s, en lugar del sonido
drill-truth-and-tap = el sonido con la verdad y su marca
drill-to-hear = el sonido, para oírlo otra vez
drill-both-taps = el sonido con las dos marcas
drill-teachers-tap = marca del docente
drill-task-recording = Una grabación: otra persona manejó el manguito. Marque en el primero de dos pulsos que vuelven con ritmo.
drill-task-live = Infle hasta que el sonido pare y desinfle despacio. Cada uno marca en el primer pulso que vuelve. Luego escriban ambas lecturas.
drill-silent = No suena nada: la imagen y el reloj siguen.
drill-opening = Abriendo el altavoz.
drill-live = Sonido real: el momento verdadero no se conoce. Use el manguito del propio paciente.
drill-silenced = En silencio. La imagen y el reloj siguen.
drill-playing = Salida: { $to }, nunca por encima de un cuarto de la escala.
drill-truth-simulated = simulado: la verdad se conoce
drill-truth-recording = grabación: la verdad es { $who }
drill-truth-live = sonido real: no se conoce el momento verdadero
drill-confirmed-tap = la marca del clínico de una lectura guardada
drill-confirmed-mark = la marca de un segundo oyente
drill-missing-word = Elija una palabra
drill-missing-tap = Marque primero en el primer pulso que vuelve, o diga que no volvió ninguno
drill-missing-reading = Escriba la presión
drill-missing-pressure = Una presión va de 0 a 300 mmHg: lea otra vez el manómetro
drill-patient-enough = «Suéltelo ya, por favor.» Abra la válvula.
drill-patient-hurts = «¡Eso duele!» Más de lo necesario: abra la válvula.
drill-patient-numb = «Se me duerme.»
drill-patient-tight = «Aprieta mucho.»
drill-ms = { $n } ms
drill-tap-right = Marcó { $time } después del primer pulso, antes del siguiente.
drill-tap-before = Marcó { $time } antes del primer pulso.
drill-tap-late =
    Marcó { $beats ->
        [1] un latido
        [2] dos latidos
        [3] tres latidos
       *[other] { $beats } latidos
    } tarde: { $time } después del primer pulso.
drill-tap-early =
    Marcó { $beats ->
        [1] un latido
        [2] dos latidos
        [3] tres latidos
       *[other] { $beats } latidos
    } pronto: { $time } antes del primer pulso.
drill-needle = La aguja estaba en { $truth } en el primer pulso, en { $tap } cuando marcó: { $off }.
drill-needle-read = La aguja estaba en { $truth } en el primer pulso, en { $tap } cuando marcó; leyó { $read }: { $off }.
drill-off-none = sin diferencia
drill-off-low = { $n } de menos
drill-off-high = { $n } de más
drill-fall-fast = El manguito bajó { $rate } mmHg por segundo: demasiado rápido. La presión queda un latido baja antes de que pueda oírlo.
drill-fall-slow = El manguito bajó { $rate } mmHg por segundo: más lento de lo necesario. El miembro se llena y el paciente espera.
drill-fall-right = El manguito bajó { $rate } mmHg por segundo: más o menos bien (2 a 3).
drill-effect = Con { $arm } mmHg en el brazo, el índice sería { $read } según su lectura y { $truth } según la presión real.
drill-effect-same = { $set } dice lo mismo de ambos.
drill-effect-other = { $set } dice «{ $read }» del uno y «{ $truth }» del otro.
drill-no-closed = la señal nunca paró: infle al menos 20 por encima de la presión en que para
drill-no-back = no volvió ningún pulso audible: desinfle más antes de parar
drill-no-occluded = marcó con la arteria ocluida: aún no había vuelto ningún pulso
drill-no-tap = el pulso volvió y usted no marcó
drill-no-return = no volvió ningún pulso en este desinflado
drill-no-score-here = Aquí ninguna marca cuenta: { $why }.
drill-word-right = { $word }: correcto.
drill-word-wrong = Dijo { $answer }; era { $right }.
drill-between = Estudiante menos docente: { $all }.
drill-between-beats = { $beats } latidos ({ $ms } ms)
drill-between-unknown = latidos desconocidos ({ $ms } ms)
drill-between-read = { $mmhg } mmHg según las lecturas
drill-between-needle = { $mmhg } según la aguja
drill-compared = Los latidos son los de la detección automática. Ninguna marca es la verdad.
drill-ended-early = Terminado: falta una lectura o las dos.
drill-index =
    Pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente: índice { $read } según sus lecturas, { $truth } según las presiones reales.
drill-index-other = La guía aconsejaría otra cosa.
drill-not-formed = no formado
drill-over = { $lesson }: fin
drill-over-sealed = Un examen, sellado: solo lo abre la palabra del docente.
drill-again = Caso { $number } otra vez
drill-again-sound = el sonido de este caso, para oírlo otra vez
drill-hear-again = Oír otra vez el caso { $number }
drill-done = Hecho
drill-threshold = Con ruido halla el retorno en el 70,7 % de los intentos con { $db } dB de señal sobre ruido ({ $trials } intentos; dos abajo, uno arriba: Levitt 1971).
drill-sum-passed = { $passed } de { $count } superados
drill-sum-taps = marcas { $mean } ms tarde, dispersión { $spread }
drill-sum-taps-early = marcas { $mean } ms antes, dispersión { $spread }
drill-sum-readings = lecturas { $bias } mmHg (límites { $low } a { $high })
drill-sum-zero = { $percent } % de las lecturas acaban en 0
