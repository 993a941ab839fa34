### Spanish. Where each message stands, and how long it may be, is said in src/words/en/history.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

history-fault = Sin calcular: { $day }: { $why }
history-since-first = Desde la primera visita: { $change }
history-changed = Cambió. { $change }
history-toe = Presión del dedo { $mmhg } mmHg.
history-picture = { $leg } en el tiempo: { $steps }
history-index = { $index } ({ $low } a { $high })
history-visits = Visitas de esta historia
history-choose = Elija dos para verlas una junto a otra.
history-beside = comparar
history-beside-name = comparar, { $day }
history-open = Abrir { $day }
history-both = derecha { $right }, izquierda { $left }
history-not-finished = sin terminar
history-side-by-side = Comparación
history-leg = { $leg }: { $change }
history-no-value = ningún valor que cuente
