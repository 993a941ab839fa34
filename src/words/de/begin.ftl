### German. Where each message stands, and how long it may be, is said in src/words/en/begin.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

begin-title = Neue Untersuchung
begin-start = Ruhezeit beginnen
begin-start-paper = Werte vom Papierbogen eingeben
begin-record = Aktencode, nie ein Name
begin-operator = Ihr Kürzel oder Code
begin-last = Letzte Untersuchung von { $record }: { $day }
begin-none-yet = Noch keine Untersuchung von { $record } in diesem Aktenbuch.
begin-what = Was wird gemessen?
begin-what-exercise = Ruhe und Belastung
begin-what-artery = eine Arterie
begin-what-paper = früher, vom Papierbogen
begin-paper-day = Datum auf dem Papier, wie 2026-08-25
begin-paper-by = Wer hat gemessen (Code)
begin-why = Warum wird gemessen?
begin-reason-ulcer = Beinulkus, vor Kompression
begin-reason-foot = Fußulkus
begin-reason-walking = Schmerzen beim Gehen
begin-reason-follow-up = Kontrolle nach Behandlung
begin-reason-screening = Screening nach örtlicher Regel
begin-reason-own = Anderes, in eigenen Worten
begin-diabetes = Diabetes?
begin-kidney = Chronische Nierenkrankheit?
begin-ulcer = Ulkus:
begin-ulcer-none = keines
begin-ulcer-side =
    { $side ->
        [left] links
       *[right] rechts
    }
begin-ulcer-name = Ulkus: { $choice }
begin-ulcer-place = Wo an Bein oder Fuß
begin-position = Lage des Patienten
begin-not-flat = Die veröffentlichten Grenzwerte gelten für flaches Liegen: Es wird keine Empfehlung gezeigt.
