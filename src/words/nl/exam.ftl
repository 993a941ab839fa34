### Dutch. Where each message stands, and how long it may be, is said in src/words/en/exam.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

exam-sealed =
    Verzegeld: { $drills ->
        [one] { $drills } oefening
       *[other] { $drills } oefeningen
    }. De toets: { $path }. De openingscode is { $code }: schrijf die op, hij verschijnt één keer.
exam-is = De verzegelde toets: { $path }, en een regel van het klasbestand.
exam-page-is = De pagina van deze toets: { $path }.
exam-longer-word = Het woord van de docent heeft 12 letters of meer nodig
exam-another-word = dit woord opent haar niet
exam-broken = het zegel is verbroken: het is daarna gewijzigd of niet heel
exam-not-sealed = Het kan niet worden verzegeld: { $said }
exam-type-code = Deze toets is verzegeld: typ de openingscode
exam-another-code = Deze code opent de toets niet
exam-no-examination = Dit is geen verzegelde toets: { $said }
exam-no-noise = Laat noise_folder weg: kamergeluiden lagen dan buiten het zegel
exam-no-seed = Oefening { $drill }: laat het startgetal weg, zodat er een patiënt komt die niemand heeft geoefend
exam-no-recording = Oefening { $drill }: een opname lag dan buiten het zegel; geef een les met opnamen zoals hij is
exam-title = Toetsen
exam-under-seal = Verzegeld: { $count }.
exam-word = Woord van de docent
exam-open = Toetsen openen
exam-opened =
    { $count ->
        [0] Er is geen toets geopend.
        [1] Eén toets is geopend.
       *[other] { $count } toetsen zijn geopend.
    }
exam-shut = { $student }, { $lesson }: { $why }.
exam-one = { $student }, { $lesson }, { $begun }: { $passed } van { $count } gehaald.
exam-page = Pagina van { $student }, { $lesson }
