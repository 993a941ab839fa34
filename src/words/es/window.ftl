### Spanish. Where each message stands, and how long it may be, is said in src/words/en/window.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

window-back = Volver
window-back-measuring = Volver a medir
window-visits = Visitas
window-set-up = Ajustes
window-yes = sí
window-no = no
window-unknown = no se sabe
window-answer = { $answer }: { $question }
window-correct = Corregir
window-next-test = Próxima medición: { $on }
window-not-finished = Sin terminar
window-no-visit = No hay ninguna visita abierta.
window-key-space = Espacio
window-key-left = Izquierda
window-key-right = Derecha
window-key-home = Inicio
window-cable = Cable
window-microphone = Micrófono
