### Spanish. Where each message stands, and how long it may be, is said in src/words/en/begin.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

begin-title = Nueva visita
begin-start = Empezar el reposo
begin-start-paper = Introducir los valores del papel
begin-record = Código de historia, nunca un nombre
begin-operator = Sus iniciales o código
begin-last = Última visita de { $record }: { $day }
begin-none-yet = Aún no hay visitas de { $record } en este libro.
begin-what = ¿Qué se mide?
begin-what-exercise = reposo y ejercicio
begin-what-artery = una arteria
begin-what-paper = anterior, en papel
begin-paper-day = Fecha del papel, como 2026-08-25
begin-paper-by = Quién midió (código)
begin-why = ¿Por qué se mide?
begin-reason-ulcer = úlcera de pierna, antes de compresión
begin-reason-foot = úlcera del pie
begin-reason-walking = dolor al caminar
begin-reason-follow-up = control tras el tratamiento
begin-reason-screening = cribado según norma local
begin-reason-own = Otro, con sus palabras
begin-diabetes = ¿Diabetes?
begin-kidney = ¿Enfermedad renal crónica?
begin-ulcer = Úlcera:
begin-ulcer-none = ninguna
begin-ulcer-side =
    { $side ->
        [left] izquierda
       *[right] derecha
    }
begin-ulcer-name = úlcera: { $choice }
begin-ulcer-place = Dónde, en la pierna o el pie
begin-position = Posición del paciente
begin-not-flat = Los límites publicados valen en decúbito: no se mostrará ninguna recomendación.
