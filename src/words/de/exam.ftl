### German. Where each message stands, and how long it may be, is said in src/words/en/exam.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

exam-sealed =
    Versiegelt: { $drills ->
        [one] { $drills } Übung
       *[other] { $drills } Übungen
    }. Die Prüfung: { $path }. Ihr Öffnungscode ist { $code }: Aufschreiben, er wird einmal gezeigt.
exam-is = Die versiegelte Prüfung: { $path }, und eine Zeile der Klassendatei.
exam-page-is = Die Seite dieser Prüfung: { $path }.
exam-longer-word = Das Wort der Lehrkraft braucht 12 Buchstaben oder mehr
exam-another-word = dieses Wort öffnet sie nicht
exam-broken = das Siegel ist gebrochen: Es wurde danach geändert oder ist nicht vollständig
exam-not-sealed = Es lässt sich nicht versiegeln: { $said }
exam-type-code = Diese Prüfung ist versiegelt: Öffnungscode eingeben
exam-another-code = Dieser Code öffnet die Prüfung nicht
exam-no-examination = Das ist keine versiegelte Prüfung: { $said }
exam-no-noise = noise_folder weglassen: Raumgeräusche lägen neben dem Siegel
exam-no-seed = Übung { $drill }: Startzahl weglassen, damit ein Patient gezogen wird, an dem niemand geübt hat
exam-no-recording = Übung { $drill }: Eine Aufnahme läge neben dem Siegel; eine Lektion mit Aufnahmen unversiegelt geben
exam-title = Prüfungen
exam-under-seal = Versiegelt: { $count }.
exam-word = Wort der Lehrkraft
exam-open = Prüfungen öffnen
exam-opened =
    { $count ->
        [0] Keine Prüfung wurde geöffnet.
        [1] Eine Prüfung wurde geöffnet.
       *[other] { $count } Prüfungen wurden geöffnet.
    }
exam-shut = { $student }, { $lesson }: { $why }.
exam-one = { $student }, { $lesson }, { $begun }: { $passed } von { $count } bestanden.
exam-page = Seite von { $student }, { $lesson }
