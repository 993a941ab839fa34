### Spanish. Where each message stands, and how long it may be, is said in src/words/en/exam.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

exam-sealed =
    Sellado: { $drills ->
        [one] { $drills } ejercicio
       *[other] { $drills } ejercicios
    }. El examen: { $path }. Su código de apertura es { $code }: anótelo, solo se muestra una vez.
exam-is = El examen sellado: { $path }, y una línea del archivo de clase.
exam-page-is = La página de este examen: { $path }.
exam-longer-word = La palabra del docente necesita 12 letras o más
exam-another-word = esta palabra no lo abre
exam-broken = el sello está roto: se cambió después de sellarlo o no está entero
exam-not-sealed = No se puede sellar: { $said }
exam-type-code = Este examen está sellado: escriba su código de apertura
exam-another-code = Este código no abre el examen
exam-no-examination = Esto no es un examen sellado: { $said }
exam-no-noise = Quite noise_folder: los ruidos de sala quedarían fuera del sello
exam-no-seed = Ejercicio { $drill }: quite su semilla, para que salga un paciente que nadie haya practicado
exam-no-recording = Ejercicio { $drill }: una grabación quedaría fuera del sello; dé tal cual una lección con grabaciones
exam-title = Exámenes
exam-under-seal = Bajo sello: { $count }.
exam-word = Palabra del docente
exam-open = Abrir los exámenes
exam-opened =
    { $count ->
        [0] No se abrió ningún examen.
        [1] Se abrió un examen.
       *[other] Se abrieron { $count } exámenes.
    }
exam-shut = { $student }, { $lesson }: { $why }.
exam-one = { $student }, { $lesson }, { $begun }: { $passed } de { $count } superados.
exam-page = Página de { $student }, { $lesson }
