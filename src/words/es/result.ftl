### Spanish. Where each message stands, and how long it may be, is said in src/words/en/result.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

result-cannot-tell = Un número solo no descarta enfermedad arterial, y menos con diabetes o enfermedad renal. Compruebe con el oído y el manómetro. Deciden la norma local y un profesional autorizado.
result-wanted = Falta aún, { $site }: { $why }
result-write = Escribir el informe
result-open = Abrir el informe
result-print = Imprimir el informe
result-close = Cerrar la visita
result-replay = Oír la grabación
result-history = Todas las visitas de la historia
result-made = { $ankle } ({ $ankle_site }) sobre { $arm } ({ $arm_site })
result-line = { $leg }: ITB en una línea de 0.0 a 1.6
result-limits = Límites en la línea, { $set }: { $limits }.
result-numbers-only = Solo números: ningún clínico de este servicio ha activado guías (Ajustes).
result-no-band = Esta guía no tiene recomendación aquí.
result-readings = Lecturas usadas
result-counts = { $outcome } (cuenta)
result-counts-not = { $outcome } (no cuenta: { $why })
result-correct = Corregir: { $site }
result-plan = Plan, con sus palabras
result-keep-plan = Guardar el plan
result-planned = Plan: { $words } ({ $who })
result-exercise = Ejercicio: cuál y cuánto
result-exercised = Ejercicio terminado: medir otra vez
result-supervisor = Supervisor, para refrendar
result-countersign = Refrendar
result-countersigned = Refrendado: { $who }
result-due = Próxima medición, como 2027-02-25
result-set-date = Fijar la fecha
