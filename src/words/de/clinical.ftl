### German. Where each message stands, and how long it may be, is said in src/words/en/clinical.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

clinical-side-right = rechts (Patient)
clinical-side-left = links (Patient)
clinical-artery-brachial = A. brachialis
clinical-artery-dp = A. dorsalis pedis
clinical-artery-pt = A. tibialis posterior
clinical-artery-peroneal = A. fibularis
clinical-artery-toe = Großzehe
clinical-site =
    { $artery ->
        [arm] A. brachialis
        [dp] A. dorsalis pedis
        [pt] A. tibialis posterior
        [peroneal] A. fibularis
       *[toe] Großzehe
    }, Patient { $side ->
        [left] links
       *[right] rechts
    }
clinical-status-verified = geprüft
clinical-status-secondary = Sekundärquelle, ungeprüft
clinical-status-from-memory = aus dem Gedächtnis, ungeprüft
clinical-status-own = eigene Regel der Einrichtung
clinical-from-memory = aus dem Gedächtnis
clinical-method-higher = höherer Knöcheldruck durch höheren Armdruck
clinical-method-lower = niedrigerer Knöcheldruck durch höheren Armdruck
clinical-method-mean = Mittel beider Knöchelarterien durch höheren Armdruck
clinical-method-pt-only = A. tibialis posterior durch Mittel beider Arme
clinical-method-same-side-arm = höherer Knöcheldruck durch Armdruck derselben Seite
clinical-posture-supine = flach liegend
clinical-posture-head-raised = Oberkörper erhöht
clinical-posture-sitting = sitzend
clinical-posture-other = andere Lage
clinical-quantity-index = Index
clinical-quantity-ankle = Knöcheldruck
clinical-quantity-toe = Zehendruck
clinical-quantity-toe-index = Zehen-Arm-Index
clinical-waveform-multiphasic = multiphasisch
clinical-waveform-triphasic = triphasisch
clinical-waveform-biphasic = biphasisch
clinical-waveform-damped = gedämpft
clinical-waveform-monophasic = monophasisch
clinical-waveform-absent = kein Signal gehört
clinical-waveform-unclear = Kurvenform unklar
clinical-wound-covered = mit Folie abgedeckt und gemessen
clinical-wound-cuff-elsewhere = Manschette an anderer Stelle
clinical-wound-left-out = ausgelassen
clinical-kind-full = beide Beine
clinical-kind-one-leg =
    nur { $side ->
        [left] linkes
       *[right] rechtes
    } Bein des Patienten
clinical-kind-one-artery = nur { $site }
clinical-kind-toes = nur Zehen
clinical-kind-without-index = keine Drücke
clinical-kind-exercise = in Ruhe, dann nach Belastung
clinical-kind-paper = vom Papierbogen, gemessen am { $on }
clinical-kind-paper-by = vom Papierbogen, gemessen am { $on } von { $by }
clinical-ulcer =
    { $side ->
        [left] linkes
       *[right] rechtes
    } Bein des Patienten
clinical-ulcer-at =
    { $side ->
        [left] linkes
       *[right] rechtes
    } Bein des Patienten, { $place }
clinical-mmhg = { $n } mmHg
clinical-not-yet = noch nicht gemessen
clinical-not-compressible-at = nicht komprimierbar bei { $limit } mmHg
clinical-no-signal = kein Signal gefunden
clinical-not-measured = nicht gemessen: { $reason }
clinical-not-finished = nicht beendet
clinical-conflict-open = Messwert und „nicht komprimierbar“ widersprechen sich
clinical-conflict-apart = Messwerte { $low } und { $high } mmHg widersprechen sich
clinical-left-out-withdrawn = zurückgezogen: { $why }
clinical-left-out-reading = { $what }; ein anderer Versuch ergab einen Messwert
clinical-left-out-first-above = erster Messwert am ersten Arm, mehr als 10 mmHg über dem anderen Arm
clinical-left-out-first-apart = erster Messwert am ersten Arm, mehr als 10 mmHg von der Wiederholung entfernt
clinical-wanted-arms = die Arme unterscheiden sich um mehr als 15 mmHg: wiederholen; bleibt es dabei, künftig am höheren Arm messen (NICE NG136 1.2.1)
clinical-wanted-first-arm = der erste Arm liegt mehr als 10 mmHg über dem anderen: am Ende wiederholen (AHA 2012, ungeprüft)
clinical-wanted-conflict = { $conflict }: neu messen, dann den falschen Wert zurückziehen
clinical-wanted-irregular = der Rhythmus ist unregelmäßig: mindestens { $needed } Messwerte, gemittelt (BIHS 2019)
clinical-wanted-second = der zweite Messwert liegt mehr als { $limit } mmHg über dem ersten: wiederholen (Regel eines veröffentlichten Studienhandbuchs, nsrr/cfs-documentation)
clinical-first-arm-all = erster Arm: alle angenommenen Messwerte werden gemittelt
clinical-first-arm-discard = erster Arm: Liegt der erste Messwert mehr als 10 mmHg über dem anderen Arm, gilt die Wiederholung (AHA 2012, nach einer Sekundärquelle; ungeprüft)
clinical-first-arm-average = erster Arm: Erster Messwert und Wiederholung werden gemittelt; bei mehr als 10 mmHg Unterschied entfällt der erste (AHA 2012, aus dem Gedächtnis; ungeprüft)
clinical-missing = { $site }: { $why }
clinical-one-artery = Der Knöcheldruck beruht auf nur einer Arterie, { $used } ({ $missing }).
clinical-no-ankle = Kein Index: kein Knöcheldruck ({ $missing }).
clinical-no-signal-at-all =
    Kein Index: Am { $side ->
        [left] linken
       *[right] rechten
    } Fuß des Patienten wurde weder an der A. dorsalis pedis noch an der A. tibialis posterior ein Signal gefunden. Das bedeutet nicht, dass der Index null ist.
clinical-not-compressible = Nicht komprimierbar: Das Signal war bei { $limit } mmHg noch da ({ $sites }).
clinical-conflict = Kein Index: { $site }: { $conflict }. Neu messen oder einen Wert mit Grund zurückziehen; solange beide gelten, gibt es keinen Index.
clinical-one-arm = Nur ein Arm war nutzbar, { $used } ({ $other }: { $why }): Der Index kann falsch hoch sein, denn der andere Arm könnte höher liegen.
clinical-arm-open = Der nicht komprimierbare Arm ({ $arm }) ist der höhere. Ein Index über den anderen Arm ist deshalb falsch hoch: keine Einordnung.
clinical-provisional = Vorläufig, ohne Einordnung: Der andere Arm ist noch nicht gemessen ({ $other }). Geht das nicht, bitte angeben.
clinical-no-arm = Kein Index: kein brauchbarer Armdruck ({ $missing }); nur Knöcheldrücke.
clinical-more-than = Der Index liegt über { $lowest }; um wie viel, ist nicht bekannt.
clinical-headline =
    { $side ->
        [left] Linkes
       *[right] Rechtes
    } Bein des Patienten: Knöchel-Arm-Index { $index } ({ $low } bis { $high }), { $method }.
clinical-headline-bare =
    { $side ->
        [left] Linkes
       *[right] Rechtes
    } Bein des Patienten: Knöchel-Arm-Index { $index }, { $method }.
clinical-headline-none =
    { $side ->
        [left] Linkes
       *[right] Rechtes
    } Bein des Patienten: kein Knöchel-Arm-Index.
clinical-withheld = Es wird keine Empfehlung gezeigt. Lage des Patienten: { $posture }. Die veröffentlichten Grenzwerte gelten für flach liegende Patienten (im Sitzen ist der Index im Mittel etwa 0,35 höher, BMC Prim Care 2014;15:69).
clinical-red-flag = Warnzeichen, wichtiger als jede Zahl: { $flag }.
clinical-caution = Vorsicht: { $flag }.
clinical-toe =
    Großzehe { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $pressure }, Zehen-Arm-Index { $index } ({ $low } bis { $high }).
clinical-toe-entered =
    Großzehe { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $pressure }, von einem anderen Gerät übernommen, Zehen-Arm-Index { $index } ({ $low } bis { $high }).
clinical-toe-bare =
    Großzehe { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $pressure }, kein Zehen-Arm-Index.
clinical-toe-bare-entered =
    Großzehe { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $pressure }, von einem anderen Gerät übernommen, kein Zehen-Arm-Index.
clinical-toe-none =
    Großzehe { $side ->
        [left] links
       *[right] rechts
    } (Patient): { $why }; kein Zehen-Arm-Index.
clinical-because = { $quantity } { $value }
clinical-because-open = nicht komprimierbare Arterien
clinical-limits-open = nicht komprimierbar
clinical-range-any = jeder Wert
clinical-range-between = { $above } und { $below }
clinical-ends = { $low } bis { $high }
clinical-ends-mmhg = { $low } bis { $high } mmHg
clinical-guidance-quoted = { $set } zu { $because } [{ $when }]: { $words }{ $more }.
clinical-guidance-sense = { $set } zu { $because } [{ $when }]: dem Sinn nach: { $words }{ $more }.
clinical-guidance-more = ; dem Sinn nach: { $more }
clinical-quote = "{ $words }"
clinical-quote-ours = "{ $words }" (unsere Übersetzung: "{ $ours }")
clinical-sense-ours = { $ours } (unsere Übersetzung)
clinical-several = { $set }: Mehrere Bereiche treffen zugleich zu, jeder wie gedruckt.
clinical-no-band = { $set } hat keinen Bereich für { $quantity } { $value }.
clinical-rounded = Das Runden hat den Wert ({ $quantity }) über einen Grenzwert von { $set } gebracht ({ $range }): { $exact } vor dem Runden, { $rounded } danach, kaufmännisch auf zwei Stellen.
clinical-crossing-one = { $set }: Der Grenzwert { $limits } ({ $quantity }) liegt innerhalb der Messunsicherheit ({ $inside }). { $holds }{ $settle }
clinical-crossing-many = { $set }: Die Grenzwerte { $limits } ({ $quantity }) liegen innerhalb der Messunsicherheit ({ $inside }). { $holds }{ $settle }
clinical-crossing-own = Der Wert behält seinen Bereich, { $own }: die vorsichtigere Seite.
clinical-crossing-meanwhile = Der Wert behält seinen Bereich, { $own }; bis zur Klärung gilt die vorsichtigere Seite: { $meanwhile }.
clinical-crossing-settle = {" "}Eine Wiederholung eines Drucks könnte es klären: { $site }.
clinical-crossing-none = keiner dieses Regelwerks
clinical-short =
    { $side ->
        [left] Linkes
       *[right] Rechtes
    } Bein des Patienten: { $number }{ $toe }. { $says }
clinical-short-above = ABI über { $lowest }
clinical-short-interval = ABI { $index } ({ $low } bis { $high })
clinical-short-index = ABI { $index }
clinical-short-none = kein ABI; das bedeutet nicht null
clinical-short-toe = , Zehen-Arm-Index { $index }
clinical-short-provisional = Vorläufig: Der andere Arm ist noch zu messen.
clinical-short-no-set = Es ist kein Regelwerk eingeschaltet.
clinical-short-from-memory = { $set } (aus dem Gedächtnis)
clinical-short-says = { $set }: { $says }.
clinical-short-nothing = { $set } hat hierzu keine Empfehlung.
clinical-short-crossing = {" "}Das Intervall überschreitet { $limits }.
clinical-arms-differ =
    Die Arme unterscheiden sich um { $apart }; höher ist der { $side ->
        [left] linke
       *[right] rechte
    } Arm des Patienten. NICE NG136 1.2.1 bei mehr als 15 mmHg: wiederholen; bleibt es dabei, künftig am höheren Arm messen. AHA 2012 nach einer Sekundärquelle: Über 15 mmHg besteht Verdacht auf eine Subklaviastenose.
clinical-rule-in-use = Angewandte Regel, { $rule }.
clinical-arteries-differ = A. dorsalis pedis ({ $dp } mmHg) und A. tibialis posterior ({ $pt } mmHg) unterscheiden sich um { $apart }: Mehr als { $limit } mmHg werden hier genannt, damit Sonde und Stelle noch einmal geprüft werden (kein Leitlinien-Grenzwert gefunden).
clinical-exercise =
    Nach Belastung beträgt der Knöcheldruck am { $side ->
        [left] linken
       *[right] rechten
    } Bein des Patienten { $after } mmHg ({ $change }).
clinical-exercise-since =
    { $minutes } min nach Ende der Belastung beträgt der Knöcheldruck am { $side ->
        [left] linken
       *[right] rechten
    } Bein des Patienten { $after } mmHg ({ $change }).
clinical-exercise-fall = Abfall um { $by }
clinical-exercise-rise = Anstieg um { $by }
clinical-exercise-late = Die veröffentlichten Kriterien gelten für Drücke 1 Minute nach der Belastung (Mahe 2015, Medicine): Dieser ist später, ein Abfall kann schon vorüber sein.
clinical-exercise-pressure = Der Knöcheldruck fiel um mehr als 30 mmHg: ein veröffentlichtes Kriterium nach Belastung (Mahe 2015, Medicine; Kyte 2023).
clinical-exercise-index = Der Index fiel um mehr als 20 %: ein veröffentlichtes Kriterium nach Belastung (Mahe 2015, Medicine); 60 % der gesunden jungen Erwachsenen zeigen das auch (Kyte 2023).
clinical-note-method = Methode: { $method }.
clinical-note-other-method = Nicht die Standardmethode: Die Grenzwerte der Leitlinien gelten für höheren Knöcheldruck durch höheren Armdruck.
clinical-note-measurement-only = Das Intervall gilt nur für die Messung: Zwei Personen oder zwei Termine unterscheiden sich stärker (Übereinstimmungsgrenzen etwa 0,16 in einer Studie, Casey 2020, J Foot Ankle Res).
clinical-note-lower = Für die Frage nach einem Bein gilt jedes Bein für sich; für das kardiovaskuläre Risiko zählt der niedrigere Wert, { $lower } (AHA 2012, aus dem Gedächtnis).
clinical-note-rate-assumed = Für das Intervall angenommen: Ablassen mit { $rate } mmHg/s (bei { $measured } von { $all } Messwerten wurde die Rate gemessen).
clinical-note-rate-measured = Die Ablassrate jedes Messwerts wurde am Zeiger gemessen.
clinical-note-beat-heard = Der Abstand der Schläge ist der des gehörten Pulses.
clinical-note-beat-assumed = Für das Intervall angenommen: Herzfrequenz { $rate } pro Minute.
clinical-note-own-pressure = Für den Blutdruck selbst wird von Schlag zu Schlag eine Schwankung von { $own } mmHg angenommen (Standardabweichung).
clinical-note-untapped = { $untapped } von { $all } Messwerten haben keine Markierung im Ton. Dafür werden bis zu { $without } s vom Ton zum Ablesen eingerechnet (eigene Annahme; mit Markierung { $with } s).
clinical-note-other-chain =
    { $events ->
        [one] { $events } Ereignis stammt
       *[other] { $events } Ereignisse stammen
    } aus einer anderen Kette, { $chain }.
clinical-aside = Beiseitegelegt und nicht gezählt: Ereignis { $n } ({ $kind }{ $whose }): { $why }.
clinical-of-chain = , aus Kette { $chain }
clinical-disagree = Zwei Laptops widersprechen sich bei { $what }: { $said }. „{ $stands }“ gilt, bis jemand es durch eine weitere Berichtigung klärt.
clinical-disagree-said = { $value } von { $who } am { $at }{ $whose }
clinical-cuff-narrow = Die Manschette ist für { $around } cm zu schmal: Die Blase soll mindestens { $percent } % davon breit sein. Eine schmale Manschette misst zu hoch.
clinical-cuff-short = Die Manschette ist für { $around } cm zu kurz: Die Blase soll mindestens { $percent } % des Umfangs umschließen.
clinical-about-outcome = das Ergebnis von Versuch { $n }
clinical-about-mark = die Markierung von Versuch { $n }
clinical-about-site = die Stelle von Versuch { $n }
clinical-about-opening = die Angaben bei der Eröffnung
clinical-about-next-test = der Tag der nächsten Messung
clinical-about-other = ein Ereignis der Art { $kind }
clinical-value-mark = eine Markierung bei { $seconds } s
clinical-value-record = Akte { $record }
clinical-aside-closed = die Untersuchung war schon abgeschlossen
clinical-aside-opened-twice = die Untersuchung wurde zweimal eröffnet
clinical-aside-number-used = die Nummer dieses Versuchs war schon vergeben
clinical-aside-no-attempt = es nennt einen Versuch, der nie begonnen wurde
clinical-aside-no-mark = es gibt keine Markierung zurückzunehmen
clinical-aside-ended = der Versuch war schon beendet: das Ergebnis berichtigen oder einen neuen Versuch beginnen
clinical-aside-zero = 0 mmHg ist kein Messwert: das Ergebnis ist „kein Signal“
clinical-aside-undo = es macht ein Ereignis rückgängig, das nicht davor steht oder nicht rückgängig zu machen ist
clinical-aside-no-amendment = es ist keine Berichtigung
clinical-aside-not-before = es berichtigt ein Ereignis, das nicht davor steht
clinical-aside-of-aside = es berichtigt ein Ereignis, das nicht zählt
clinical-aside-old-value = der alte Wert, den es nennt, stand dort nie
clinical-aside-other-kind = es würde aus einem Ereignis eines anderer Art oder eines anderen Versuchs machen
clinical-aside-opened-elsewhere = die Untersuchung war schon in einer anderen Kette eröffnet
clinical-aside-without-visit = es stammt aus einer Kette, die diese Untersuchung nicht hatte
clinical-aside-closed-elsewhere = die Untersuchung wurde zur selben Zeit abgeschlossen oder von einem anderen Rechner übernommen
