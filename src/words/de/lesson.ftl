### German. Where each message stands, and how long it may be, is said in src/words/en/lesson.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

lesson-no-seed = `{ $typed }` ist keine Startzahl: eine ganze Zahl eingeben
lesson-no-code = Erst einen Code für die lernende Person eingeben: Ein Name ist nicht nötig
lesson-none = Es gibt keine Lektion
lesson-give-one = Erst die Lektion der Lehrkraft geben: Pfad nennen, öffnen oder hierher ziehen
lesson-nothing-beside = Diese Lektion nennt Aufnahmen oder Raumgeräusche: Eine Seite liest keine andere Datei als ihre eigene
lesson-cannot-read = nicht lesbar: { $name }: { $said }
lesson-cannot-write = nicht schreibbar: { $name }: { $said }
lesson-too-large = zu groß: { $name }; eine Datei bis 64 MB geben
lesson-give-another = kein Ton (.wav), keine Lektion (.toml), Prüfung (.exam) oder Klassendatei (.jsonl): { $name }
lesson-save-now = dieser Browser behält nichts ({ $said }): Klassendatei sichern, bevor Sie die Seite schließen
lesson-download = { $name }, bei den Downloads dieses Browsers
lesson-mend = Die Lektionsdatei ist zu berichtigen: { $said }
lesson-drill = Lektion `{ $lesson }`: Übung { $drill }: { $why }
lesson-outside = { $name } liegt außerhalb des Ordners der Lektion
lesson-no-sounds = { $path } enthält keine WAV-Datei
lesson-no-book = es gibt kein Aktenbuch zum Nachsehen
lesson-no-visit = `{ $name }` ist kein Name einer Untersuchung
lesson-no-attempt = die Untersuchung hat keinen gültigen Versuch { $attempt }
lesson-no-reading = Versuch { $attempt } hat keinen Messwert mit Markierung
lesson-no-mark = Versuch { $attempt } hat keine Markierung eines zweiten Hörers
lesson-no-recording = die Aufnahme von Versuch { $attempt } fehlt oder ist nicht eine einzige
lesson-not-found = nach der Aufnahme wurde nicht gesucht
lesson-no-drill = es gibt keine Übung
