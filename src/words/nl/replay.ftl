### Dutch. Where each message stands, and how long it may be, is said in src/words/en/replay.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

replay-back = Terug naar het resultaat
replay-none = Geen meting van dit bezoek heeft zowel een markering als een opname.
replay-reading = { $site }, { $reading }
replay-beat = de gemiddelde slag, zonder gestoorde slagen
replay-sound =
    { $beats ->
        [one] Het geluid rond { $at } s, met { $beats } slag
       *[other] Het geluid rond { $at } s, met { $beats } slagen
    }
replay-no-waveform = U hebt geen golfvorm vastgelegd.
replay-waveform = U hebt vastgelegd: { $word }.
replay-comparison = Alleen ter vergelijking: { $words }
replay-mean = gemiddelde van { $beats } slagen; { $phases }; stijgtijd (10 tot 90 %) { $upstroke }; pulsatiliteit { $pulsatility }.
replay-phases =
    { $count ->
        [one] { $count } fase gezien, voorwaartse stroom in het eerste kanaal
       *[other] { $count } fasen gezien, voorwaartse stroom in het eerste kanaal
    }
replay-unsigned = zonder richting: één kanaal onderscheidt heen- en terugstroom niet
replay-number-unsigned = { $n } (zonder richting)
replay-seconds = { $n } s
replay-too-few =
    { $beats ->
        [one] Er is geen gemiddelde slag: { $beats } hele slag, en er zijn er minstens 3 nodig.
       *[other] Er is geen gemiddelde slag: { $beats } hele slagen, en er zijn er minstens 3 nodig.
    }
replay-silent = Er is geen gemiddelde slag: geen stroom steekt boven de achtergrond uit.
replay-play = Afspelen
replay-stop = Stop
replay-before = Slag ervoor
replay-after = Slag erna
replay-to-tap = Naar de markering
replay-half = halve snelheid (H)
replay-loop = één slag steeds weer (L)
replay-move = Markering hierheen (M)
replay-move-again = Druk nog eens om te verplaatsen
replay-move-help = De eerste markering blijft in het spoor. De meting verandert niet.
replay-moved = Markering verplaatst. De eerste blijft in het spoor.
replay-here = Uw markering is hier.
replay-before-tap = { $seconds } s voor de markering.
replay-after-tap = { $seconds } s na de markering.
replay-was-moved = De markering is verplaatst naar { $to } s; ze lag bij { $at } s.
replay-unknown = De druk op dit punt is niet bekend.
replay-needle = Op dit moment stond de naald op ongeveer { $mmhg } mmHg, als hij met { $rate } mmHg/s daalde zoals gemarkeerd. De meting is { $read } mmHg en blijft zo.
replay-needle-assumed = Op dit moment stond de naald op ongeveer { $mmhg } mmHg, als hij met { $rate } mmHg/s daalde zoals aangenomen. De meting is { $read } mmHg en blijft zo.
replay-leg =
    Daarmee zou het { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt { $would } hebben in plaats van { $is }.
replay-no-change = Geen index zou veranderen.
replay-marks = Markeringen van de automatische detectie zijn gestippeld, die van de zorgverlener doorgetrokken. Oor en manometer zijn beslissend.
replay-lesson = In een les: { $line }
replay-start = Vanaf het begin
replay-to-truth = Naar de eerste pols
replay-to-your-tap = Naar uw markering
replay-half-s = halve snelheid (S)
replay-if-tapped = Als u hier had gemarkeerd
replay-gauge = manometer op dit moment: { $mmhg } mmHg
replay-needle-here = De naald staat hier op { $mmhg } mmHg.
