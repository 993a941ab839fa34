### Spanish. Where each message stands, and how long it may be, is said in src/words/en/prepare.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

prepare-rested =
    { $minutes ->
        [one] { $minutes } minuto de reposo hecho.
       *[other] { $minutes } minutos de reposo hechos.
    }
prepare-rest =
    { $minutes ->
        [one] Reposo, sin hablar: { $minutes } minuto.
       *[other] Reposo, sin hablar: { $minutes } minutos.
    }
prepare-start = Empezar a medir
prepare-start-early = Empezar antes (reposo incompleto)
prepare-leave = Salir
prepare-skip = Omitir: { $step }
prepare-step-cautions = signos de alarma y precauciones
prepare-step-cuffs = manguitos
prepare-step-instruments = manómetro y sonda
prepare-step-feet = pies
prepare-step-sound = sonido
prepare-step-rest = reposo
prepare-left-out = omitido
prepare-done = hecho
prepare-asked-none = preguntado: ninguno presente
prepare-asked-some =
    { $n ->
        [one] preguntado: { $n } presente
       *[other] preguntado: { $n } presentes
    }
prepare-cuff-on =
    { $limb ->
        [arm] brazo
       *[ankle] tobillo
    } { $side ->
        [left] izq.
       *[right] der.
    } { $width } x { $length } cm
prepare-needle-was =
    { $answer ->
        [yes] aguja en cero
        [no] aguja NO en cero
       *[unknown] aguja en cero: no se sabe
    }
prepare-probe = sonda { $mhz } MHz
prepare-foot =
    { $warmth ->
        [warm] caliente
        [cool] fresco
       *[cold] frío
    }, { $pulse ->
        [yes] pulso palpable
        [no] pulso no palpable
       *[unknown] pulso sin comprobar
    }
prepare-foot-line =
    { $side ->
        [left] izquierdo
       *[right] derecho
    } { $found }
prepare-foot-name =
    pie { $side ->
        [left] izquierdo
       *[right] derecho
    }: { $found }
prepare-foot-title =
    Pie { $side ->
        [left] izquierdo
       *[right] derecho
    } del paciente
prepare-questions =
    { $count ->
        [one] { $count } pregunta. Toque lo que proceda.
       *[other] { $count } preguntas. Toque lo que proceda.
    }
prepare-yes-side =
    sí, { $side ->
        [left] izquierda
       *[right] derecha
    }
prepare-none = Nada de esto
prepare-none-others = Nada de lo demás
prepare-wound =
    Herida bajo el manguito, pierna { $side ->
        [left] izquierda
       *[right] derecha
    } del paciente:
prepare-wound-name =
    pierna { $side ->
        [left] izquierda
       *[right] derecha
    }: { $care }
prepare-fit = Ajuste sin comprobar: mida el perímetro, escríbalo y ponga el manguito otra vez.
prepare-as-last = Como la última vez: brazo { $arm_width } x { $arm_length } cm, tobillo { $ankle_width } x { $ankle_length } cm, aguja en cero
prepare-cuff-rule = Cámara: ancho de al menos el 40 % y largo de al menos el 80 % del perímetro. En el tobillo el manguito acaba justo sobre los maléolos; la arteria queda accesible.
prepare-around =
    Perímetro, { $limb ->
        [arm] brazos
       *[ankle] tobillos
    }, cm
prepare-width =
    Ancho de cámara, { $limb ->
        [arm] brazos
       *[ankle] tobillos
    }, cm
prepare-length =
    Largo de cámara, { $limb ->
        [arm] brazos
       *[ankle] tobillos
    }, cm
prepare-cuffs-on =
    Manguitos puestos: { $limb ->
        [arm] brazos
       *[ankle] tobillos
    }
prepare-instruments = Manómetro { $gauge }, una línea cada { $lines } mmHg; sonda { $probe }. Se cambian en Ajustes.
prepare-mhz = { $mhz } MHz
prepare-not-given = sin indicar
prepare-gauge-in-use = en uso
prepare-needle = ¿Aguja en cero, con el manguito abierto?
prepare-volume = Volumen de salida { $percent } %
prepare-no-output = No se envía sonido a los auriculares ni al altavoz. Elija una salida en Ajustes si el Doppler mismo no suena.
prepare-softer = Más bajo
prepare-louder = Más alto
prepare-sound-checked = Sonido comprobado
