### Spanish. Where each message stands, and how long it may be, is said in src/words/en/measure.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

measure-find = Buscar
measure-inflate = Inflar
measure-deflate = Desinflar
measure-read = Leer
measure-now = ahora: { $stage }
measure-stage = paso { $stage }
measure-stage-now = paso { $stage }, ahora
measure-stage-done = paso { $stage }, hecho
measure-finish-change = Terminar o cambiar
measure-wait = Espere { $seconds } s antes de volver a inflar en este miembro.
measure-place-brachial = Cara interna del pliegue del codo. Gel, sonda a unos 45 a 60 grados.
measure-place-dp = Dorso del pie, junto al tendón del dedo gordo. Manguito justo sobre los maléolos.
measure-place-pt = Detrás del maléolo interno. Manguito justo sobre los maléolos.
measure-place-peroneal = Delante del maléolo externo. Manguito justo sobre los maléolos.
measure-gauge = Manómetro simulado: { $mmhg } mmHg
measure-sound =
    { $beats ->
        [one] Sonido Doppler. Tocar para marcar. { $beats } latido oído aquí.
       *[other] Sonido Doppler. Tocar para marcar. { $beats } latidos oídos aquí.
    }
measure-inflated-to = Inflado hasta (opcional)
measure-needle = Aguja en la marca
measure-typed = Escrito: { $text }
measure-tap = Marcar
measure-keep = Guardar
measure-set = Fijar
measure-stop = Parar
measure-repeat = Repetir
measure-erase = Borrar
measure-no-signal = Sin señal
measure-not-compressible = No compresible
measure-not-measured = No medido
measure-undo = Deshacer
measure-at-10 = En 10
measure-inflated = Inflado
measure-finish = Terminar
measure-next-stage = Paso siguiente
measure-finish-why = ¿Terminar aquí? Diga por qué no se midió lo demás.
measure-reason-wound = herida o apósito
measure-reason-pain = demasiado doloroso
measure-reason-declines = el paciente no quiere
measure-reason-cuff = sin manguito adecuado
measure-reason-time = sin tiempo
measure-reason-amputation = amputación
measure-reason-bandage = venda o yeso que se queda
measure-reason-oedema = edema
measure-reason-tremor = temblor
measure-own = Con sus palabras
measure-record-reason = Anotar este motivo
measure-moved = Se movió: reiniciar el reposo
measure-questions = Preguntas, manguitos, pies
measure-operator = Otro operador (código)
measure-hand-over = Dar el relevo
measure-kept = Guardado: { $outcome }
measure-no-return = Cuffnote no detectó la vuelta. La lectura es suya.
measure-probe-moved = La sonda se movió: esta lectura es dudosa. Repítala.
measure-next = Sitio siguiente
measure-correct = Corregir
measure-absent = ausente
measure-unclear = dudoso
measure-locked = Bloqueado para limpiar
measure-locked-keys = Espacio aún marca y Esc aún para.
measure-unlock = Desbloquear
measure-patients = paciente
measure-side =
    { $side ->
        [left] izq.
       *[right] der.
    }
measure-row =
    { $artery ->
        [arm] brazo
        [dp] pedia
        [pt] tibial post.
       *[toe] dedo
    }
measure-cell-now = ahora
measure-cell-not-compressible = no compr.
measure-cell-no-signal = sin señal
measure-cell-not-measured = no medido
measure-cell-conflict = conflicto
measure-cell = { $site }: { $why }
measure-cell-here = { $site }: { $why }, ahora
measure-provisional = provisional
measure-not-yet = aún no
measure-pulse = Pulso { $rate }/min
measure-deflation = Desinflado { $rate } mmHg/s, { $from }
measure-recording = ● GRABANDO
measure-not-recording = sin grabar
measure-saving = guardando...
