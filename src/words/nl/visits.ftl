### Dutch. Where each message stands, and how long it may be, is said in src/words/en/visits.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

visits-none = Hier is nog geen afgerond bezoek.
visits-open = Open { $record }, { $day }
visits-all = Alles van { $record }
visits-next-test = volgende meting { $on }
visits-practise = Oefenen
visits-search = Zoeken: dossier, zorgverlener of reden
visits-begun = { $record }, begonnen { $day } om { $time }
visits-continue = { $record } voortzetten
visits-close = { $record } nu sluiten
