### Spanish. Where each message stands, and how long it may be, is said in src/words/en/tried.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

tried-what = Dé un archivo WAV de sonido Doppler: suéltelo aquí o ábralo. Verá su imagen y lo que halla la detección automática. El archivo se queda en este ordenador.
tried-learning = Solo para aprender: nada de esto es para usar en un paciente.
tried-file = Archivo de sonido (WAV)
tried-hear = Oír este archivo
tried-open = Abrir un sonido
tried-share = La detección automática oye { $name }: { $percent } %.
tried-picture = su sonido con lo que halló la detección
tried-return = retorno según la detección
tried-fault = { $name }: { $said }.
tried-pulses =
    { $count ->
        [0] La detección automática no halló ningún pulso en { $seconds } s.
        [1] La detección automática halló un pulso en { $seconds } s.
       *[other] La detección automática halló { $count } pulsos en { $seconds } s.
    }
tried-both = Oyó irse el pulso a los { $gone } s y volver a los { $back } s.
tried-gone = Oyó irse el pulso a los { $gone } s, y ningún retorno después.
tried-back = Oyó volver un pulso a los { $back } s.
tried-neither = No oyó irse y volver ningún pulso.
tried-wrong = Puede equivocarse: escuche usted, latido a latido.
