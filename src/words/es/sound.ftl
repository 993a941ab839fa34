### Spanish. Where each message stands, and how long it may be, is said in src/words/en/sound.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

sound-simulated = Paciente simulado: { $name }
sound-recordings = Grabaciones
sound-none = Sin sonido.
sound-room-loud = La sala es ruidosa: podría perderse una vuelta débil.
sound-room-some = Algo de ruido de fondo: una vuelta débil puede ser difícil de oír.
sound-room-quiet = Poco ruido de fondo.
sound-too-loud = Demasiado alto para la entrada: bájelo.
sound-level = Nivel { $level } dB, fondo { $background } dB, ahora { $above } dB por encima.
sound-stopped = Cuffnote ha dejado de escuchar: siga de oído. Desenchufe el cable para oír el Doppler.
sound-not-recording = SIN GRABAR: { $why }
sound-unplug = Desenchufe el cable para oír.
sound-silent = Ninguna señal del aparato, ni siquiera ruido: ¿está silenciado o desenchufado?
sound-stuck = El aparato se ha quedado en un valor: desenchúfelo y vuelva a enchufarlo.
sound-invalid = El aparato envía valores no válidos, tomados como silencio: desenchúfelo y vuelva a enchufarlo.
sound-full-scale = El sonido es demasiado alto para la entrada: baje el Doppler o la entrada.
sound-dead-channel = Un canal no lleva nada: ¿está la clavija metida del todo?
sound-one-second = Sin sonido del aparato desde hace un segundo: si usa un cable, desenchúfelo para oír el Doppler.
sound-missed = Se perdió un poco de sonido, quizá con un pulso: cierre otros programas.
sound-device-gone = El aparato de sonido está desenchufado: enchúfelo y la escucha sigue.
sound-system-gone = El sistema de sonido del ordenador se paró: la escucha sigue cuando vuelva.
sound-stalled = Sin sonido del aparato: Cuffnote lo sigue intentando.
sound-lost = Se perdieron { $seconds } s de sonido: la escucha ha seguido.
sound-slept = El ordenador o el programa se detuvo { $seconds } s: la escucha ha seguido.
sound-cannot-open = Sin sonido: { $said }
sound-not-through = Salida de sonido: { $said }
sound-no-tone = Sin tono: { $said }
sound-howl = Con un altavoz el micrófono pitaría: póngase auriculares e indíquelo en Ajustes, o use un cable
sound-screen = La pantalla no puede seguir encendida: desactive el salvapantallas.
sound-gone = sonido perdido
sound-your-tap = su marca
sound-here = aquí
sound-pulse-heard = pulso oído
sound-beyond = fuera de esta línea
sound-above = por encima, no se sabe cuánto
