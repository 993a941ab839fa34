### German. Where each message stands, and how long it may be, is said in src/words/en/book.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

book-full-only-read = { $path }: Die Platte ist voll, das Buch wird nur gelesen
book-only-read = { $path }: nicht beschreibbar, wird nur gelesen
book-left = { $path }: von einem beendeten Programm hinterlassen und gelöscht
book-cut-short = { $path }: beim Ende des Programms abgebrochen, jetzt eingetragen
book-turned-back = die eigene Kette des Buchs war auf eine andere gestellt und ist zurückgestellt
book-moved = dieses Aktenbuch wurde verschoben, kopiert oder wiederhergestellt: Es geht nach der alten Kette mit einer neuen weiter. Offene Untersuchungen werden übernommen, wenn sie hier fortgesetzt werden
book-others-look = { $path }: Andere Benutzer dieses Rechners können hineinsehen (Modus { $mode }): mit `chmod 700` schließen
book-new-form = das Aktenbuch wurde auf Form { $form } gebracht; wie es vorher war, liegt es in { $path }
book-clock = die Uhr dieses Rechners sagt { $now }, und die neueste Untersuchung im Buch ist von { $last }: Geht die Uhr falsch, vor der nächsten Untersuchung stellen
