### German. Where each message stands, and how long it may be, is said in src/words/en/prepare.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

prepare-rested =
    { $minutes ->
        [one] { $minutes } Minute geruht.
       *[other] { $minutes } Minuten geruht.
    }
prepare-rest =
    { $minutes ->
        [one] Ruhen, nicht sprechen: { $minutes } Minute.
       *[other] Ruhen, nicht sprechen: { $minutes } Minuten.
    }
prepare-start = Messung beginnen
prepare-start-early = Früher beginnen (Ruhe unvollständig)
prepare-leave = Verlassen
prepare-skip = Auslassen: { $step }
prepare-step-cautions = Warnzeichen, Vorsicht
prepare-step-cuffs = Manschetten
prepare-step-instruments = Manometer und Sonde
prepare-step-feet = Füße
prepare-step-sound = Ton
prepare-step-rest = Ruhe
prepare-left-out = ausgelassen
prepare-done = erledigt
prepare-asked-none = gefragt: keines liegt vor
prepare-asked-some =
    { $n ->
        [one] gefragt: { $n } liegt vor
       *[other] gefragt: { $n } liegen vor
    }
prepare-cuff-on =
    { $limb ->
        [arm] Arm
       *[ankle] Knöchel
    } { $side ->
        [left] links
       *[right] rechts
    } { $width } x { $length } cm
prepare-needle-was =
    { $answer ->
        [yes] Zeiger auf null
        [no] Zeiger NICHT auf null
       *[unknown] Zeiger auf null: unbekannt
    }
prepare-probe = Sonde { $mhz } MHz
prepare-foot =
    { $warmth ->
        [warm] warm
        [cool] kühl
       *[cold] kalt
    }, { $pulse ->
        [yes] Puls tastbar
        [no] kein Puls tastbar
       *[unknown] Puls nicht geprüft
    }
prepare-foot-line =
    { $side ->
        [left] links
       *[right] rechts
    } { $found }
prepare-foot-name =
    { $side ->
        [left] linker
       *[right] rechter
    } Fuß: { $found }
prepare-foot-title =
    { $side ->
        [left] Linker
       *[right] Rechter
    } Fuß des Patienten
prepare-questions =
    { $count ->
        [one] { $count } Frage. Zutreffendes antippen.
       *[other] { $count } Fragen. Zutreffendes antippen.
    }
prepare-yes-side =
    ja, { $side ->
        [left] links
       *[right] rechts
    }
prepare-none = Nichts davon
prepare-none-others = Nichts vom Rest
prepare-wound =
    Wunde unter der Manschette, { $side ->
        [left] linkes Bein
       *[right] rechtes Bein
    } des Patienten:
prepare-wound-name =
    { $side ->
        [left] linkes
       *[right] rechtes
    } Bein: { $care }
prepare-fit = Sitz nicht geprüft: Umfang messen und eingeben, dann die Manschette noch einmal anlegen.
prepare-as-last = Wie zuletzt: Arm { $arm_width } x { $arm_length } cm, Knöchel { $ankle_width } x { $ankle_length } cm, Zeiger auf null
prepare-cuff-rule = Blase mindestens 40 % des Umfangs breit und 80 % lang. Am Knöchel endet die Manschette dicht über den Malleolen; die Arterie bleibt zugänglich.
prepare-around =
    Umfang { $limb ->
        [arm] Arme
       *[ankle] Knöchel
    }, cm
prepare-width =
    Blasenbreite { $limb ->
        [arm] Arme
       *[ankle] Knöchel
    }, cm
prepare-length =
    Blasenlänge { $limb ->
        [arm] Arme
       *[ankle] Knöchel
    }, cm
prepare-cuffs-on =
    Manschetten angelegt: { $limb ->
        [arm] Arme
       *[ankle] Knöchel
    }
prepare-instruments = Manometer { $gauge }, Teilung { $lines } mmHg; Sonde { $probe }. Änderbar in den Einstellungen.
prepare-mhz = { $mhz } MHz
prepare-not-given = nicht angegeben
prepare-gauge-in-use = in Gebrauch
prepare-needle = Zeiger auf null, Manschette offen?
prepare-volume = Lautstärke der Ausgabe { $percent } %
prepare-no-output = Der Ton wird an keinen Kopfhörer oder Lautsprecher weitergegeben. In den Einstellungen eine Ausgabe wählen, wenn der Doppler selbst stumm ist.
prepare-softer = Leiser
prepare-louder = Lauter
prepare-sound-checked = Ton geprüft
