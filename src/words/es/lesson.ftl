### Spanish. Where each message stands, and how long it may be, is said in src/words/en/lesson.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

lesson-no-seed = `{ $typed }` no es una semilla: escriba un número entero
lesson-no-code = Escriba antes un código para el estudiante: no hace falta nombre
lesson-none = No hay lección
lesson-give-one = Dé antes la lección del docente: escriba su ruta, ábrala o suéltela aquí
lesson-nothing-beside = Esta lección nombra grabaciones o ruidos de sala: una página solo lee su propio archivo
lesson-cannot-read = no se puede leer { $name }: { $said }
lesson-cannot-write = no se puede escribir { $name }: { $said }
lesson-too-large = demasiado grande: { $name }; dé un archivo de 64 MB o menos
lesson-give-another = ni sonido (.wav), ni lección (.toml), ni examen (.exam), ni archivo de clase (.jsonl): { $name }
lesson-save-now = este navegador no guarda nada ({ $said }): guarde el archivo de clase antes de cerrar la página
lesson-download = { $name }, en las descargas de este navegador
lesson-mend = Hay que corregir el archivo de la lección: { $said }
lesson-drill = lección `{ $lesson }`: ejercicio { $drill }: { $why }
lesson-outside = { $name } está fuera de la carpeta de la lección
lesson-no-sounds = { $path } no contiene ningún archivo WAV
lesson-no-book = no hay libro de registro donde buscar
lesson-no-visit = `{ $name }` no es el nombre de una visita
lesson-no-attempt = la visita no tiene un intento { $attempt } que valga
lesson-no-reading = el intento { $attempt } no tiene lectura guardada con marca
lesson-no-mark = el intento { $attempt } no tiene marca de un segundo oyente
lesson-no-recording = la grabación del intento { $attempt } no está, o no es una sola
lesson-not-found = no se buscó la grabación
lesson-no-drill = no hay ejercicio
