### Spanish. Where each message stands, and how long it may be, is said in src/words/en/correct.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

correct-help = Corrija o retire lo anotado aquí. El primer valor queda en el historial.
correct-attempt = Intento { $n }: { $outcome }
correct-not-ended = sin acabar
correct-from-instrument = { $outcome }, tomado de otro aparato
correct-from-paper = { $outcome }, tomado del papel
correct-withdrawn = { $outcome }, retirado: { $why }
correct-reading = Lectura correcta, mmHg
correct-why = ¿Por qué?
correct-reason-typing = error al escribir
correct-reason-gauge = manómetro mal leído
correct-reason-site = arteria o lado equivocado
correct-reason-probe = la sonda se movió
correct-reason-patient = el paciente se movió o habló
correct-reason-replay = movida al volver a oír
correct-reason-taken-over = el libro de registro se movió, se copió o se restauró
correct-reason-own = Otro motivo, con sus palabras
correct-who = Quién: iniciales o código
correct-withdraw = Retirar
correct-again = Medir otra vez
correct-done = Corregido. El primer valor queda en el historial.
correct-keep = { $why } Pulse Corregir otra vez para guardar { $mmhg }.
correct-not-compressible = ¿Seguía el sonido a { $mmhg } mmHg? Pulse Corregir otra vez para anotar «no compresible a { $mmhg }».
