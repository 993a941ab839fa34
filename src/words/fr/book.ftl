### French. Where each message stands, and how long it may be, is said in src/words/en/book.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

book-full-only-read = { $path } : le disque est plein, le registre est seulement lu
book-only-read = { $path } : l'écriture est impossible, la lecture seule
book-left = { $path } : laissé par un programme interrompu, et supprimé
book-cut-short = { $path } : coupé à l'arrêt du programme, maintenant enregistré au registre
book-turned-back = la chaîne propre du registre avait été changée pour une autre, et a été rétablie
book-moved = ce registre a été déplacé, copié ou restauré : il continue avec une nouvelle chaîne après l'ancienne. Les visites ouvertes sont reprises quand on les continue ici
book-others-look = { $path } : d'autres utilisateurs de cet ordinateur peuvent y regarder (mode { $mode }) : fermez-le avec `chmod 700`
book-new-form = le registre a été mis à la forme { $form } ; tel qu'avant, il est dans { $path }
book-clock = l'horloge de cet ordinateur dit { $now }, et la visite la plus récente du registre est du { $last } : si l'horloge est fausse, réglez-la avant la prochaine visite
