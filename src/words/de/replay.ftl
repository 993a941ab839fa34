### German. Where each message stands, and how long it may be, is said in src/words/en/replay.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

replay-back = Zurück zum Ergebnis
replay-none = Zu keinem Messwert dieser Untersuchung gibt es Markierung und Aufnahme.
replay-reading = { $site }, { $reading }
replay-beat = der mittlere Schlag, ohne gestörte Schläge
replay-sound =
    { $beats ->
        [one] Der Ton um { $at } s, mit { $beats } Schlag
       *[other] Der Ton um { $at } s, mit { $beats } Schlägen
    }
replay-no-waveform = Sie haben keine Kurvenform festgehalten.
replay-waveform = Sie haben festgehalten: { $word }.
replay-comparison = Nur zum Vergleich: { $words }
replay-mean = Mittel von { $beats } Schlägen; { $phases }; Anstieg (10 bis 90 %) { $upstroke }; Pulsatilität { $pulsatility }.
replay-phases =
    { $count ->
        [one] { $count } Phase zu sehen, Vorwärtsfluss im ersten Kanal
       *[other] { $count } Phasen zu sehen, Vorwärtsfluss im ersten Kanal
    }
replay-unsigned = ohne Richtung: ein Kanal unterscheidet Vor- und Rückfluss nicht
replay-number-unsigned = { $n } (ohne Richtung)
replay-seconds = { $n } s
replay-too-few =
    { $beats ->
        [one] Kein mittlerer Schlag: nur { $beats } ganzer Schlag, nötig sind mindestens 3.
       *[other] Kein mittlerer Schlag: nur { $beats } ganze Schläge, nötig sind mindestens 3.
    }
replay-silent = Kein mittlerer Schlag: Kein Fluss hebt sich vom Hintergrund ab.
replay-play = Abspielen
replay-stop = Anhalten
replay-before = Schlag davor
replay-after = Schlag danach
replay-to-tap = Zur Markierung
replay-half = halbes Tempo (H)
replay-loop = einen Schlag wiederholen (L)
replay-move = Markierung hierher (M)
replay-move-again = Noch einmal drücken zum Verschieben
replay-move-help = Die erste Markierung bleibt im Verlauf. Der Messwert ändert sich nicht.
replay-moved = Markierung verschoben. Die erste bleibt im Verlauf.
replay-here = Ihre Markierung ist hier.
replay-before-tap = { $seconds } s vor der Markierung.
replay-after-tap = { $seconds } s nach der Markierung.
replay-was-moved = Die Markierung wurde auf { $to } s verschoben; sie lag bei { $at } s.
replay-unknown = Der Druck an dieser Stelle ist nicht bekannt.
replay-needle = In diesem Moment stand der Zeiger bei etwa { $mmhg } mmHg, wenn er wie markiert mit { $rate } mmHg/s fiel. Der Messwert ist { $read } mmHg und bleibt es.
replay-needle-assumed = In diesem Moment stand der Zeiger bei etwa { $mmhg } mmHg, wenn er wie angenommen mit { $rate } mmHg/s fiel. Der Messwert ist { $read } mmHg und bleibt es.
replay-leg =
    Damit hätte { $side ->
        [left] das linke
       *[right] das rechte
    } Bein des Patienten { $would } statt { $is }.
replay-no-change = Kein Index würde sich ändern.
replay-marks = Markierungen der automatischen Erkennung sind gepunktet, Ihre sind durchgezogen. Maßgeblich sind Ohr und Manometer.
replay-lesson = In einer Lektion: { $line }
replay-start = Von vorn
replay-to-truth = Zum ersten Puls
replay-to-your-tap = Zu Ihrer Markierung
replay-half-s = halbes Tempo (S)
replay-if-tapped = Wenn Sie hier markiert hätten
replay-gauge = Manometer in diesem Moment: { $mmhg } mmHg
replay-needle-here = Der Zeiger steht hier bei { $mmhg } mmHg.
