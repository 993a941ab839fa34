### Dutch. Where each message stands, and how long it may be, is said in src/words/en/tried.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

tried-what = Geef een WAV-bestand met Dopplergeluid: sleep het hierheen, of open het. U ziet het beeld en wat de automatische detectie vindt. Het bestand blijft op deze computer.
tried-learning = Alleen om te leren: niets hiervan is voor gebruik bij een patiënt.
tried-file = Geluidsbestand (WAV)
tried-hear = Dit bestand horen
tried-open = Geluid openen
tried-share = De automatische detectie hoort { $name }: { $percent } %.
tried-picture = uw geluid met wat de detectie vond
tried-return = terugkeer volgens detectie
tried-fault = { $name }: { $said }.
tried-pulses =
    { $count ->
        [0] De automatische detectie vond in { $seconds } s geen polsslag.
        [1] De automatische detectie vond in { $seconds } s één polsslag.
       *[other] De automatische detectie vond in { $seconds } s { $count } polsslagen.
    }
tried-both = Zij hoorde de pols verdwijnen bij { $gone } s en terugkomen bij { $back } s.
tried-gone = Zij hoorde de pols verdwijnen bij { $gone } s, en daarna geen terugkeer.
tried-back = Zij hoorde een pols terugkomen bij { $back } s.
tried-neither = Zij hoorde geen pols verdwijnen en terugkomen.
tried-wrong = Het kan fout zijn: luister zelf, slag voor slag.
