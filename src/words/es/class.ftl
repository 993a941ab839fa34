### Spanish. Where each message stands, and how long it may be, is said in src/words/en/class.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

class-back = Volver a practicar
class-csv = Tabla (CSV)
class-html = Página (HTML)
class-what = Los estudiantes van por orden de código: no hay clasificación. Esto dice lo bien que oyen este sonido, no lo bien que miden a los pacientes.
class-folder = Carpeta de archivos de clase
class-read = Leer la carpeta
class-files = Archivos de clase: ábralos o suéltelos en la página.
class-open-files = Abrir archivos de clase
class-taken = Incorporados: { $names }.
class-read-folder = { $files } archivos de clase de { $folder }, { $sessions } sesiones.
class-left-out = Omitido: { $why }.
class-line = { $name }, línea { $line }: { $said }
class-table-is = La tabla de la clase: { $path }.
class-page-is = La página de la clase: { $path }.
class-who = Cómo va cada uno
class-none = Aún no hay sesiones.
class-taps = marcas { $mean } ms tarde ({ $low } a { $high }), dispersión { $spread }
class-taps-early = marcas { $mean } ms antes ({ $low } a { $high }), dispersión { $spread }
class-level = con ruido { $db } dB (más o menos { $range })
class-examined = en exámenes { $passed } de { $count }
class-sealed = { $count } bajo sello
class-last = { $all }. Última sesión { $day }.
class-missed = Sonidos que muchos fallan
class-missed-what = De cada uno cuentan las diez últimas respuestas a un sonido. Menos de tres no dicen nada.
class-sound = { $kind }: { $said }
class-missed-by =
    { $students ->
        [one] lo falla { $missed } de { $students } estudiante
       *[other] lo fallan { $missed } de { $students } estudiantes
    } (menos de tres cuartos bien); { $right } de { $answers } respuestas bien.
class-missed-unknown = { $right } de { $answers } bien; nadie respondió bastante para decir más.
