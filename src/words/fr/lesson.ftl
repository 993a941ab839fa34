### French. Where each message stands, and how long it may be, is said in src/words/en/lesson.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

lesson-no-seed = `{ $typed }` n'est pas une graine : tapez un nombre entier
lesson-no-code = Tapez d'abord un code pour l'étudiant : aucun nom n'est nécessaire
lesson-none = Il n'y a pas de leçon
lesson-give-one = Donnez d'abord la leçon de l'enseignant : son chemin, ou ouvrez-la ou déposez-la ici
lesson-nothing-beside = Cette leçon nomme des enregistrements ou des bruits : une page ne lit que son propre fichier
lesson-cannot-read = lecture impossible : { $name } : { $said }
lesson-cannot-write = écriture impossible : { $name } : { $said }
lesson-too-large = trop grand : { $name } ; donnez un fichier de 64 MB ou moins
lesson-give-another = ni son (.wav), ni leçon (.toml), ni examen (.exam), ni fichier de classe (.jsonl) : { $name }
lesson-save-now = ce navigateur ne garde rien ({ $said }) : enregistrez le fichier de classe avant de fermer la page
lesson-download = { $name }, dans les téléchargements de ce navigateur
lesson-mend = Le fichier de leçon est à corriger : { $said }
lesson-drill = leçon `{ $lesson }` : exercice { $drill } : { $why }
lesson-outside = { $name } est hors du dossier de la leçon
lesson-no-sounds = { $path } ne contient aucun fichier WAV
lesson-no-book = il n'y a pas de registre où chercher
lesson-no-visit = `{ $name }` n'est pas le nom d'une visite
lesson-no-attempt = la visite n'a pas d'essai { $attempt } valable
lesson-no-reading = l'essai { $attempt } n'a pas de mesure gardée avec une marque
lesson-no-mark = l'essai { $attempt } n'a pas de marque d'un second auditeur
lesson-no-recording = l'enregistrement de l'essai { $attempt } manque, ou n'est pas unique
lesson-not-found = l'enregistrement n'a pas été cherché
lesson-no-drill = il n'y a pas d'exercice
