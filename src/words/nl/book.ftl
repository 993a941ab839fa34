### Dutch. Where each message stands, and how long it may be, is said in src/words/en/book.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

book-full-only-read = { $path }: de schijf is vol, het boek wordt alleen gelezen
book-only-read = { $path }: kan niet worden beschreven, wordt alleen gelezen
book-left = { $path }: achtergelaten door een beëindigd programma, en verwijderd
book-cut-short = { $path }: afgebroken toen het programma stopte, nu geregistreerd
book-turned-back = de eigen keten van het boek was naar een andere gezet, en is teruggezet
book-moved = dit registratieboek is verplaatst, gekopieerd of hersteld: het gaat na de oude keten verder met een nieuwe. Open bezoeken worden overgenomen als ze hier worden voortgezet
book-others-look = { $path }: andere gebruikers van deze computer kunnen erin kijken (modus { $mode }): sluit het met `chmod 700`
book-new-form = het registratieboek is naar vorm { $form } gebracht; zoals het was, ligt het in { $path }
book-clock = de klok van deze computer zegt { $now }, en het nieuwste bezoek in het boek is van { $last }: loopt de klok verkeerd, zet hem dan goed voor het volgende bezoek
