### Dutch. Where each message stands, and how long it may be, is said in src/words/en/begin.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

begin-title = Nieuw bezoek
begin-start = Rusttijd beginnen
begin-start-paper = Waarden van papier invoeren
begin-record = Dossiercode, nooit een naam
begin-operator = Uw initialen of code
begin-last = Laatste bezoek van { $record }: { $day }
begin-none-yet = Nog geen bezoek van { $record } in dit registratieboek.
begin-what = Wat wordt gemeten?
begin-what-exercise = rust en inspanning
begin-what-artery = één slagader
begin-what-paper = eerder, van papier
begin-paper-day = Datum op het papier, zoals 2026-08-25
begin-paper-by = Wie heeft gemeten (code)
begin-why = Waarom wordt gemeten?
begin-reason-ulcer = beenulcus, vóór compressie
begin-reason-foot = voetulcus
begin-reason-walking = pijn bij het lopen
begin-reason-follow-up = controle na behandeling
begin-reason-screening = screening volgens lokale regel
begin-reason-own = Anders, in eigen woorden
begin-diabetes = Diabetes?
begin-kidney = Chronische nierziekte?
begin-ulcer = Ulcus:
begin-ulcer-none = geen
begin-ulcer-side =
    { $side ->
        [left] links
       *[right] rechts
    }
begin-ulcer-name = ulcus: { $choice }
begin-ulcer-place = Waar op het been of de voet
begin-position = Houding van de patiënt
begin-not-flat = Gepubliceerde grenzen gelden voor plat liggen: er wordt geen aanbeveling getoond.
