### Spanish. Where each message stands, and how long it may be, is said in src/words/en/agree.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

agree-title = Antes de empezar
agree-purpose = Cuffnote es para formación y para anotar lo que un clínico midió. No es un producto sanitario autorizado y no diagnostica.
agree-record = Su oído y su manómetro son el registro. La detección automática solo ayuda: puede perder un pulso y puede oír uno que no existe.
agree-policy = La norma local y un profesional autorizado deciden qué significa un número para un paciente.
agree-urgent = Los signos urgentes pesan más que cualquier número: pie de pronto frío, pálido o insensible, dolor en reposo, gangrena, infección que se extiende.
agree-stiff = Las arterias rígidas dan valores demasiado altos. Con diabetes o enfermedad renal, un índice en el intervalo habitual o por encima no descarta enfermedad arterial.
agree-cuff = No infle un manguito sobre una derivación, un stent, una herida o una trombosis sospechada. Abra la válvula del todo en cuanto haya leído.
agree-cable = Un cable desde el Doppler se usa con batería o por un enlace aislado, como dice la norma local de seguridad eléctrica. Un micrófono no necesita cable.
agree-loud = El sonido de los auriculares empieza bajo y tiene un tope. Aun así, empiece con la salida baja.
agree-consent = Un micrófono oye también las voces. Diga al paciente que se graba el sonido y pida su consentimiento según la norma local.
agree-read = Lo he leído
