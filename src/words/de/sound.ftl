### German. Where each message stands, and how long it may be, is said in src/words/en/sound.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

sound-simulated = Simulierter Patient: { $name }
sound-recordings = Aufnahmen
sound-none = Kein Ton.
sound-room-loud = Der Raum ist laut: Eine schwache Rückkehr könnte überhört werden.
sound-room-some = Etwas Hintergrundgeräusch: Eine schwache Rückkehr ist vielleicht schwer zu hören.
sound-room-quiet = Wenig Hintergrundgeräusch.
sound-too-loud = Zu laut für den Eingang: leiser stellen.
sound-level = Pegel { $level } dB, Hintergrund { $background } dB, jetzt { $above } dB darüber.
sound-stopped = Cuffnote hört nicht mehr zu: mit dem Ohr weitermachen. Kabel abziehen, um den Doppler zu hören.
sound-not-recording = KEINE AUFNAHME: { $why }
sound-unplug = Kabel abziehen, um zu hören.
sound-silent = Gar kein Signal vom Gerät, nicht einmal Rauschen: stumm oder nicht eingesteckt?
sound-stuck = Das Gerät hängt auf einem Wert: abziehen und wieder einstecken.
sound-invalid = Das Gerät sendet ungültige Werte, sie gelten als Stille: abziehen und wieder einstecken.
sound-full-scale = Der Ton ist zu laut für den Eingang: Doppler oder Eingang leiser stellen.
sound-dead-channel = Ein Kanal liefert nichts: Steckt der Stecker ganz?
sound-one-second = Seit einer Sekunde kein Ton vom Gerät: ein Kabel abziehen, um den Doppler zu hören.
sound-missed = Etwas Ton ging verloren, vielleicht mit einem Puls: andere Programme schließen.
sound-device-gone = Das Tongerät ist abgezogen: wieder einstecken, dann geht es weiter.
sound-system-gone = Das Tonsystem des Computers hat angehalten: Es geht weiter, sobald es wieder läuft.
sound-stalled = Kein Ton vom Gerät: Cuffnote versucht es weiter.
sound-lost = { $seconds } s Ton gingen verloren: Es geht wieder weiter.
sound-slept = Computer oder Programm pausierte { $seconds } s: Es geht wieder weiter.
sound-cannot-open = Kein Ton: { $said }
sound-not-through = Tonausgabe: { $said }
sound-no-tone = Kein Signalton: { $said }
sound-howl = Mit Lautsprecher würde das Mikrofon pfeifen: Kopfhörer tragen und in den Einstellungen angeben, oder ein Kabel verwenden
sound-screen = Der Bildschirm lässt sich nicht wach halten: Bildschirmschoner ausschalten.
sound-gone = Ton weg
sound-your-tap = Ihre Markierung
sound-here = hier
sound-pulse-heard = Puls gehört
sound-beyond = jenseits der Linie
sound-above = darüber, unbekannt um wie viel
