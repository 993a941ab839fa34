### Spanish. Where each message stands, and how long it may be, is said in src/words/en/key.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

key-enter = guardar lo escrito y pasar al sitio siguiente
key-stop = parar: abrir la válvula del todo
key-undo = deshacer lo último
key-inflated = el número escrito es la presión de inflado
key-repeat = repetir este sitio
key-needle = la aguja está en el siguiente 10
key-stage-on = el paso siguiente
key-stage-back = el paso anterior
key-no-signal = aquí no hay señal
key-not-compressible = no compresible
key-not-measured = no medido
key-multiphasic = suena multifásico
key-monophasic = suena monofásico
key-damped = suena amortiguado
key-absent = no se oye nada
key-unclear = no está claro cómo suena
key-correct = corregir la lectura recién guardada
key-finish = terminar aquí: decir por qué no se midió lo demás
key-lock = bloquear la pantalla para limpiar
