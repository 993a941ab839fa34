### Dutch. Where each message stands, and how long it may be, is said in src/words/en/prepare.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

prepare-rested =
    { $minutes ->
        [one] { $minutes } minuut gerust.
       *[other] { $minutes } minuten gerust.
    }
prepare-rest =
    { $minutes ->
        [one] Rusten, niet praten: { $minutes } minuut.
       *[other] Rusten, niet praten: { $minutes } minuten.
    }
prepare-start = Meten beginnen
prepare-start-early = Eerder beginnen (rust niet volledig)
prepare-leave = Verlaten
prepare-skip = Overslaan: { $step }
prepare-step-cautions = alarmsymptomen en let op
prepare-step-cuffs = manchetten
prepare-step-instruments = manometer en sonde
prepare-step-feet = voeten
prepare-step-sound = geluid
prepare-step-rest = rust
prepare-left-out = overgeslagen
prepare-done = gedaan
prepare-asked-none = gevraagd: geen aanwezig
prepare-asked-some =
    { $n ->
        [one] gevraagd: { $n } aanwezig
       *[other] gevraagd: { $n } aanwezig
    }
prepare-cuff-on =
    { $side ->
        [left] linker
       *[right] rechter
    } { $limb ->
        [arm] arm
       *[ankle] enkel
    } { $width } x { $length } cm
prepare-needle-was =
    { $answer ->
        [yes] naald op nul
        [no] naald NIET op nul
       *[unknown] naald op nul: onbekend
    }
prepare-probe = sonde { $mhz } MHz
prepare-foot =
    { $warmth ->
        [warm] warm
        [cool] koel
       *[cold] koud
    }, { $pulse ->
        [yes] pols gevoeld
        [no] geen pols gevoeld
       *[unknown] pols niet nagegaan
    }
prepare-foot-line =
    { $side ->
        [left] links
       *[right] rechts
    } { $found }
prepare-foot-name =
    { $side ->
        [left] linkervoet
       *[right] rechtervoet
    }: { $found }
prepare-foot-title =
    { $side ->
        [left] Linkervoet
       *[right] Rechtervoet
    } van de patiënt
prepare-questions =
    { $count ->
        [one] { $count } vraag. Tik aan wat van toepassing is.
       *[other] { $count } vragen. Tik aan wat van toepassing is.
    }
prepare-yes-side =
    ja, { $side ->
        [left] links
       *[right] rechts
    }
prepare-none = Niets hiervan
prepare-none-others = Niets van de rest
prepare-wound =
    Wond onder de manchet, { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    } van de patiënt:
prepare-wound-name =
    { $side ->
        [left] linkerbeen
       *[right] rechterbeen
    }: { $care }
prepare-fit = Maat niet nagegaan: meet de omtrek, voer die in en leg de manchet opnieuw aan.
prepare-as-last = Als vorige keer: arm { $arm_width } x { $arm_length } cm, enkel { $ankle_width } x { $ankle_length } cm, naald op nul
prepare-cuff-rule = Blaas minstens 40 % van de omtrek breed en 80 % lang. Bij de enkel eindigt de manchet net boven de malleoli; de slagader blijft bereikbaar.
prepare-around =
    Omtrek, { $limb ->
        [arm] armen
       *[ankle] enkels
    }, cm
prepare-width =
    Blaasbreedte, { $limb ->
        [arm] armen
       *[ankle] enkels
    }, cm
prepare-length =
    Blaaslengte, { $limb ->
        [arm] armen
       *[ankle] enkels
    }, cm
prepare-cuffs-on =
    Manchetten om: { $limb ->
        [arm] armen
       *[ankle] enkels
    }
prepare-instruments = Manometer { $gauge }, elke { $lines } mmHg een streep; sonde { $probe }. Te wijzigen in Instellingen.
prepare-mhz = { $mhz } MHz
prepare-not-given = niet opgegeven
prepare-gauge-in-use = in gebruik
prepare-needle = Naald op nul, manchet open?
prepare-volume = Volume van de uitgang { $percent } %
prepare-no-output = Er gaat geen geluid naar de hoofdtelefoon of luidspreker. Kies een uitgang in Instellingen als de Doppler zelf stil is.
prepare-softer = Zachter
prepare-louder = Harder
prepare-sound-checked = Geluid nagegaan
