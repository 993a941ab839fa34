### German. Where each message stands, and how long it may be, is said in src/words/en/drill.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

drill-number = Übung { $number } von { $count }
drill-title = { $lesson }, Übung { $number } von { $count }
drill-title-open = { $lesson }, Übung { $number }
drill-silence = Stille
drill-end = Hier beenden
drill-kept = Gespeichert.
drill-next = Weiter
drill-gauge = Manometer
drill-squeeze = Pumpen
drill-let-go = Ablassen
drill-shut = Zu
drill-open-more = Mehr öffnen
drill-close-little = Etwas schließen
drill-valve = Ventil, Auf und Ab
drill-key-up = Auf
drill-key-down = Ab
drill-keep = Speichern
drill-erase = Löschen
drill-tap = Markieren
drill-teacher-taps = Lehrkraft markiert
drill-no-pulse = Kein Puls kam zurück
drill-tapped = Markiert. Die letzte Markierung zählt.
drill-teacher-tapped = Die Lehrkraft hat markiert.
drill-asks = Druck bei der Markierung, dann Enter
drill-asks-student = Messwert der lernenden Person, dann Enter
drill-asks-teacher = Messwert der Lehrkraft, dann Enter
drill-asks-nothing = Diese Aufnahme hat keinen Manometerwert: Enter beendet sie
drill-picture = der Ton als Bild
drill-in-place = die letzten 12 s, statt des Tons
drill-truth-and-tap = der Ton mit der Wahrheit und Ihrer Markierung
drill-to-hear = der Ton, zum erneuten Hören
drill-both-taps = der Ton mit beiden Markierungen
drill-teachers-tap = Markierung der Lehrkraft
drill-task-recording = Eine Aufnahme: Jemand anders hat die Manschette bedient. Beim ersten von zwei wiederkehrenden Pulsen im Rhythmus markieren.
drill-task-live = Aufpumpen, bis der Ton aufhört, dann langsam ablassen. Beide markieren beim ersten wiederkehrenden Puls. Dann beide Messwerte eingeben.
drill-silent = Kein Ton wird gespielt: Bild und Uhr laufen weiter.
drill-opening = Der Lautsprecher wird geöffnet.
drill-live = Echter Ton: Der wahre Moment ist nicht bekannt. Die eigene Manschette des Patienten benutzen.
drill-silenced = Stumm. Bild und Uhr laufen weiter.
drill-playing = Ausgabe: { $to }, nie lauter als ein Viertel der vollen Stärke.
drill-truth-simulated = simuliert: Die Wahrheit ist bekannt
drill-truth-recording = Aufnahme: Als Wahrheit gilt { $who }
drill-truth-live = echter Ton: Der wahre Moment ist unbekannt
drill-confirmed-tap = die Markierung der Fachkraft zum Messwert
drill-confirmed-mark = die Markierung eines zweiten Hörers
drill-missing-word = Ein Wort wählen
drill-missing-tap = Erst beim ersten wiederkehrenden Puls markieren, oder sagen, dass keiner kam
drill-missing-reading = Den Druck eingeben
drill-missing-pressure = Ein Druck ist 0 bis 300 mmHg: Manometer noch einmal ablesen
drill-patient-enough = „Bitte jetzt ablassen.“ Das Ventil öffnen.
drill-patient-hurts = „Das tut weh!“ Höher als nötig: das Ventil öffnen.
drill-patient-numb = „Es wird taub.“
drill-patient-tight = „Das ist sehr eng.“
drill-ms = { $n } ms
drill-tap-right = Sie haben { $time } nach dem ersten Puls markiert, vor dem nächsten.
drill-tap-before = Sie haben { $time } vor dem ersten Puls markiert.
drill-tap-late =
    Sie haben { $beats ->
        [1] einen Schlag
        [2] zwei Schläge
        [3] drei Schläge
       *[other] { $beats } Schläge
    } zu spät markiert: { $time } nach dem ersten Puls.
drill-tap-early =
    Sie haben { $beats ->
        [1] einen Schlag
        [2] zwei Schläge
        [3] drei Schläge
       *[other] { $beats } Schläge
    } zu früh markiert: { $time } vor dem ersten Puls.
drill-needle = Der Zeiger stand beim ersten Puls auf { $truth }, bei Ihrer Markierung auf { $tap }: { $off }.
drill-needle-read = Der Zeiger stand beim ersten Puls auf { $truth }, bei Ihrer Markierung auf { $tap }; abgelesen haben Sie { $read }: { $off }.
drill-off-none = kein Unterschied
drill-off-low = { $n } zu niedrig
drill-off-high = { $n } zu hoch
drill-fall-fast = Die Manschette fiel um { $rate } mmHg je Sekunde: zu schnell. Der Druck ist einen Schlag zu niedrig, bevor Sie es hören können.
drill-fall-slow = Die Manschette fiel um { $rate } mmHg je Sekunde: langsamer als nötig. Die Gliedmaße staut sich, und der Patient wartet.
drill-fall-right = Die Manschette fiel um { $rate } mmHg je Sekunde: etwa richtig (2 bis 3).
drill-effect = Bei { $arm } mmHg am Arm wäre der Index { $read } nach Ihrem Messwert und { $truth } nach dem wahren Druck.
drill-effect-same = { $set } sagt zu beiden dasselbe.
drill-effect-other = { $set } sagt „{ $read }“ zum einen und „{ $truth }“ zum anderen.
drill-no-closed = das Signal hörte nie auf: mindestens 20 über den Druck aufpumpen, bei dem es aufhört
drill-no-back = kein hörbarer Puls kam zurück: weiter ablassen, bevor Sie aufhören
drill-no-occluded = Sie haben markiert, als die Arterie noch verschlossen war: Kein Puls war zurück
drill-no-tap = der Puls kam zurück und Sie haben nicht markiert
drill-no-return = bei diesem Ablassen kam kein Puls zurück
drill-no-score-here = Hier zählt keine Markierung: { $why }.
drill-word-right = { $word }: richtig.
drill-word-wrong = Sie sagten { $answer }; es war { $right }.
drill-between = Lernende Person minus Lehrkraft: { $all }.
drill-between-beats = { $beats } Schläge ({ $ms } ms)
drill-between-unknown = Schläge nicht bekannt ({ $ms } ms)
drill-between-read = { $mmhg } mmHg nach den Messwerten
drill-between-needle = { $mmhg } nach dem Zeiger
drill-compared = Schläge sind die der automatischen Erkennung. Keine Markierung ist die Wahrheit.
drill-ended-early = Beendet: Ein Messwert oder beide fehlen.
drill-index =
    { $side ->
        [left] Linkes
       *[right] Rechtes
    } Bein des Patienten: Index { $read } nach Ihren Messwerten, { $truth } nach den wahren Drücken.
drill-index-other = Das Regelwerk würde anderes raten.
drill-not-formed = nicht gebildet
drill-over = { $lesson }: Ende
drill-over-sealed = Eine Prüfung, versiegelt: Nur das Wort der Lehrkraft öffnet sie.
drill-again = Fall { $number } noch einmal
drill-again-sound = der Ton dieses Falls, zum erneuten Hören
drill-hear-again = Fall { $number } noch einmal hören
drill-done = Fertig
drill-threshold = Bei Lärm finden Sie die Rückkehr in 70,7 % der Versuche bei { $db } dB Signal über Lärm ({ $trials } Versuche; zwei ab, einer auf: Levitt 1971).
drill-sum-passed = { $passed } von { $count } bestanden
drill-sum-taps = Markierungen { $mean } ms spät, Streuung { $spread }
drill-sum-taps-early = Markierungen { $mean } ms zu früh, Streuung { $spread }
drill-sum-readings = Messwerte { $bias } mmHg (Grenzen { $low } bis { $high })
drill-sum-zero = { $percent } % der Messwerte enden auf 0
