### German. Where each message stands, and how long it may be, is said in src/words/en/result.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

result-cannot-tell = Eine Zahl allein schließt eine arterielle Krankheit nicht aus, am wenigsten bei Diabetes oder Nierenkrankheit. Mit Ohr und Manometer prüfen. Die örtliche Regel und die zuständige Fachkraft entscheiden.
result-wanted = Noch nötig, { $site }: { $why }
result-write = Bericht schreiben
result-open = Bericht öffnen
result-print = Bericht drucken
result-close = Untersuchung abschließen
result-replay = Aufnahme nachhören
result-history = Alle Untersuchungen dieser Akte
result-made = { $ankle } ({ $ankle_site }) über { $arm } ({ $arm_site })
result-line = { $leg }: ABI auf einer Linie von 0.0 bis 1.6
result-limits = Grenzwerte auf der Linie, { $set }: { $limits }.
result-numbers-only = Nur Zahlen: Keine Fachkraft dieser Einrichtung hat Regelwerke eingeschaltet (Einstellungen).
result-no-band = Dieses Regelwerk hat hier keine Empfehlung.
result-readings = Verwendete Messwerte
result-counts = { $outcome } (zählt)
result-counts-not = { $outcome } (zählt nicht: { $why })
result-correct = Berichtigen: { $site }
result-plan = Plan, in eigenen Worten
result-keep-plan = Plan speichern
result-planned = Plan: { $words } ({ $who })
result-exercise = Belastung: was und wie lange
result-exercised = Belastung beendet: noch einmal messen
result-supervisor = Aufsicht, zum Gegenzeichnen
result-countersign = Gegenzeichnen
result-countersigned = Gegengezeichnet: { $who }
result-due = Nächste Messung am, wie 2027-02-25
result-set-date = Datum setzen
