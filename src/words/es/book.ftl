### Spanish. Where each message stands, and how long it may be, is said in src/words/en/book.ftl.
### Translated from English by the makers. No clinician has reviewed this translation.

book-full-only-read = { $path }: el disco está lleno y el libro solo se lee
book-only-read = { $path }: no se puede escribir, solo se lee
book-left = { $path }: lo dejó un programa que se cerró, y se ha borrado
book-cut-short = { $path }: se cortó al cerrarse el programa, y ya está registrada
book-turned-back = la cadena propia del libro se había cambiado por otra, y se ha restablecido
book-moved = este libro de registro se movió, copió o restauró: sigue con una cadena nueva tras la antigua. Las visitas abiertas pasan aquí cuando se continúan
book-others-look = { $path }: otros usuarios de este ordenador pueden mirarlo (modo { $mode }): ciérrelo con `chmod 700`
book-new-form = el libro de registro pasó a la forma { $form }; como estaba antes, está en { $path }
book-clock = el reloj de este ordenador dice { $now }, y la visita más nueva del libro es de { $last }: si el reloj va mal, póngalo en hora antes de la próxima visita
