### Spanish. Where each message stands, and how long it may be, is said in src/words/en/replay.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

replay-back = Volver al resultado
replay-none = Ninguna lectura de esta visita tiene a la vez marca y grabación.
replay-reading = { $site }, { $reading }
replay-beat = el latido medio, sin latidos alterados
replay-sound =
    { $beats ->
        [one] El sonido en torno a { $at } s, con { $beats } latido
       *[other] El sonido en torno a { $at } s, con { $beats } latidos
    }
replay-no-waveform = Usted no anotó ninguna forma de onda.
replay-waveform = Usted anotó: { $word }.
replay-comparison = Solo para comparar: { $words }
replay-mean = media de { $beats } latidos; { $phases }; subida (10 a 90 %) { $upstroke }; pulsatilidad { $pulsatility }.
replay-phases =
    { $count ->
        [one] { $count } fase vista, flujo directo en el primer canal
       *[other] { $count } fases vistas, flujo directo en el primer canal
    }
replay-unsigned = sin signo: un solo canal no distingue el flujo directo del inverso
replay-number-unsigned = { $n } (sin signo)
replay-seconds = { $n } s
replay-too-few =
    { $beats ->
        [one] No hay latido medio: { $beats } latido entero, y hacen falta al menos 3.
       *[other] No hay latido medio: { $beats } latidos enteros, y hacen falta al menos 3.
    }
replay-silent = No hay latido medio: ningún flujo destaca del fondo.
replay-play = Oír
replay-stop = Parar
replay-before = Latido previo
replay-after = Latido siguiente
replay-to-tap = A la marca
replay-half = media velocidad (H)
replay-loop = repetir un latido (L)
replay-move = Llevar la marca aquí (M)
replay-move-again = Pulse otra vez para mover la marca
replay-move-help = La primera marca queda en el historial. La lectura no cambia.
replay-moved = Marca movida. La primera queda en el historial.
replay-here = Su marca está aquí.
replay-before-tap = { $seconds } s antes de la marca.
replay-after-tap = { $seconds } s después de la marca.
replay-was-moved = La marca se movió a { $to } s; estaba en { $at } s.
replay-unknown = La presión en este punto no se conoce.
replay-needle = En este momento la aguja estaba en unos { $mmhg } mmHg, si bajaba a { $rate } mmHg/s como se marcó. La lectura es { $read } mmHg y así queda.
replay-needle-assumed = En este momento la aguja estaba en unos { $mmhg } mmHg, si bajaba a { $rate } mmHg/s como se supone. La lectura es { $read } mmHg y así queda.
replay-leg =
    Con ella la pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente tendría { $would } en vez de { $is }.
replay-no-change = Ningún índice cambiaría.
replay-marks = Las marcas de la detección automática van punteadas, las del clínico continuas. El oído y el manómetro son el registro.
replay-lesson = En una lección: { $line }
replay-start = Desde el principio
replay-to-truth = Al primer pulso
replay-to-your-tap = A su marca
replay-half-s = media velocidad (S)
replay-if-tapped = Si hubiera marcado aquí
replay-gauge = manómetro en este momento: { $mmhg } mmHg
replay-needle-here = La aguja está aquí en { $mmhg } mmHg.
