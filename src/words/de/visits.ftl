### German. Where each message stands, and how long it may be, is said in src/words/en/visits.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

visits-none = Hier gibt es noch keine beendete Untersuchung.
visits-open = Öffnen: { $record }, { $day }
visits-all = Alle von { $record }
visits-next-test = nächste Messung { $on }
visits-practise = Üben
visits-search = Suche: Akte, Fachkraft oder Grund
visits-begun = { $record }, begonnen { $day } um { $time }
visits-continue = { $record } fortsetzen
visits-close = { $record } abschließen
