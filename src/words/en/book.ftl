### What there is to say when the record book is opened: a notice above the first screen, a line on the command line. Each
### message: where it stands, and how many letters it may have. Paths and what a system said stand in it as they came.

## Opening

# A notice · 70
book-full-only-read = { $path }: the disk is full, and the book is only read
# A notice · 70
book-only-read = { $path }: cannot be written to, and is only read
# A notice · 80
book-left = { $path }: was left by a program that was ended, and is deleted
# A notice; a recording · 90
book-cut-short = { $path }: was cut short when the program ended, and is now registered
# A notice · 110
book-turned-back = the book's own chain had been turned to another one, and was turned back
# A notice · 220
book-moved = this record book was moved, copied or restored: it goes on with a new chain after the old one. Visits that were open are taken over when they are resumed here
# A notice; the command as it is typed · 150
book-others-look = { $path }: other users of this computer may look into it (mode { $mode }): close it with `chmod 700`
# A notice · 110
book-new-form = the record book was brought to form { $form }; as it was before, it lies in { $path }
# A notice; two moments · 160
book-clock = this computer's clock says { $now }, and the newest visit in the book is of { $last }: if the clock is wrong, set it before the next visit
