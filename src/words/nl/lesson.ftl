### Dutch. Where each message stands, and how long it may be, is said in src/words/en/lesson.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

lesson-no-seed = `{ $typed }` is geen startgetal: typ een geheel getal
lesson-no-code = Typ eerst een code voor de student: een naam is niet nodig
lesson-none = Er is geen les
lesson-give-one = Geef eerst de les van de docent: noem het pad, open haar of sleep haar hierheen
lesson-nothing-beside = Deze les noemt opnamen of kamergeluiden: een pagina leest alleen haar eigen bestand
lesson-cannot-read = niet leesbaar: { $name }: { $said }
lesson-cannot-write = niet schrijfbaar: { $name }: { $said }
lesson-too-large = te groot: { $name }; geef een bestand van 64 MB of minder
lesson-give-another = geen geluid (.wav), les (.toml), toets (.exam) of klasbestand (.jsonl): { $name }
lesson-save-now = deze browser bewaart niets ({ $said }): sla het klasbestand op voor u de pagina sluit
lesson-download = { $name }, bij de downloads van deze browser
lesson-mend = Het lesbestand moet worden verbeterd: { $said }
lesson-drill = les `{ $lesson }`: oefening { $drill }: { $why }
lesson-outside = { $name } ligt buiten de map van de les
lesson-no-sounds = { $path } bevat geen WAV-bestand
lesson-no-book = er is geen registratieboek om in te zoeken
lesson-no-visit = `{ $name }` is geen naam van een bezoek
lesson-no-attempt = het bezoek heeft geen poging { $attempt } die geldt
lesson-no-reading = poging { $attempt } heeft geen meting met een markering
lesson-no-mark = poging { $attempt } heeft geen markering van een tweede luisteraar
lesson-no-recording = de opname van poging { $attempt } ontbreekt, of is er niet één
lesson-not-found = naar de opname is niet gezocht
lesson-no-drill = er is geen oefening
