### Why something was not done: a notice above the screen, one sentence. What a computer's system said stands in it as it
### came, in English. Each message: where it stands, and how many letters it may have.

## Before a visit

# A notice · 50
fault-record = Enter the record code
# A notice · 60
fault-position = Choose the patient's position
# A notice · 40
fault-artery = Choose the artery
# A notice; the day is an example · 110
fault-no-day = `{ $typed }` is no date: type one such as 2026-11-03
# A notice · 90
fault-day-to-come = { $day } is in the future: type the date on the paper
# A question: what is wrong, what may be meant, then the target · 70
fault-code = { $fault }{ $meant } Press begin again to use it anyway.
# Within it · 150
fault-code-short = A record's code needs at least two letters or digits, the last of them to check the others.
# Within it · 110
fault-code-strange = `{ $letter }` cannot stand in a record's code: use A to Z, 0 to 9 and -.
# Within it · 170
fault-code-wrong = The last character does not agree with the others: a character is wrong or two are swapped.
# Within it; codes that are alike, joined as in locale-or · 30
fault-code-meant = {" "}Did you mean { $codes }?

## In a visit

# A notice · 40
fault-no-visit = No visit is open
# A notice · 50
fault-no-site = Choose a site first
# A notice · 110
fault-nothing-at-rest = Measure at rest first: there is no index to compare with
# A notice · 40
fault-no-code = Type a code first
# A notice · 60
fault-no-reading = There is no reading to correct
# A notice · 70
fault-no-reason = Say why the rest was not measured
# A notice · 70
fault-nobody = Say who corrects it and why
# A notice · 50
fault-nothing-to-undo = There is nothing to undo
# A notice; why, as the record says it in English · 80
fault-does-not-fit = This does not fit the visit: { $why }

## Correcting

# A notice · 60
fault-choose-attempt = Choose the attempt first
# A notice · 80
fault-type-reading = Type what the reading should be
# A notice · 190
fault-no-number = `{ $typed }` is no pressure: type mmHg such as 104 or 104.5, or nc (not compressible), none (no signal found), skipped (not measured)
# A notice · 150
fault-zero = 0 mmHg is no pressure: type none if no signal was found, or skipped if it was not measured
# A notice · 170
fault-refused-pressure = `{ $typed }` is not within 0 to 300 mmHg: read the gauge again, or type nc if the signal was still there at 300 mmHg
# A notice · 220
fault-no-pressure-reached = The pressure inflated to was not recorded: measure again, and record not compressible at the pressure you reach

## The record book

# A notice; what the book said in English · 60
fault-book = The record book: { $said }
# An alarm that stays; what the book said; a safety sentence · 160
fault-not-kept = Not kept yet: { $said }. What you did is held and tried again: do not close the program yet
# A notice; what the book said · 110
fault-unregistered = A recording could not be registered: { $said }
# A notice; a safety sentence · 170
fault-late = Not kept within { $seconds } s, and the disk gives no answer. What you did is held: do not close the program yet
# A notice · 90
fault-book-closed = Not kept: the record book is closed
# A notice; `path` is a folder or file · 140
fault-in-use = { $path }: another program has this record book open. Close it there first, or read only
# A notice · 200
fault-newer-book = { $path }: a newer program made this record book. Open it with the newer program; nothing was changed
# A notice · 140
fault-full = { $path }: the disk is full. Make room on it; what was kept before stays
# A notice · 140
fault-read-only = { $path }: cannot be written to ({ $said }). Check who may write there
# A notice · 190
fault-damaged = { $path }: the record book is damaged ({ $said }). Leave it as it is, and restore a backup beside it
# A notice · 250
fault-emptied = { $path }: is empty or gone, and what belongs to it still lies beside it. Leave everything as it is, and restore a backup in another folder
# A notice · 230
fault-gone = { $path }: the record book is no longer there. Its folder or file was moved, or its disk was taken out: put it back
# A notice · 140
fault-newer-visit = Visit { $visit } waits for a newer program: { $said }. Nothing of it is lost
# A notice · 280
fault-damaged-visit = Visit { $visit } is damaged ({ $said }). Nothing of it is shown, for it could be a wrong number. `cuffnote book check` names what was changed; a backup or another laptop still has it
# A notice · 110
fault-visit-file = This visit cannot be read: { $said }
# A notice · 60
fault-look-first = No visit is open here
# A notice · 250
fault-elsewhere = This visit is open on another laptop: finish it there. If that laptop is gone, take the visit over with `cuffnote book take-over`
# A notice · 70
fault-closed-before = This visit was closed before
# What was done · 230
fault-taken-over = This visit continues here. Anything added to it in the other copy of the book is kept but does not count.

## Reports, settings, the system

# What was done · 90
fault-written = Report written: { $path }, and as .html
# A notice; what the system said in English · 120
fault-not-written = The report cannot be written to { $path }: { $said }
# A notice for the makers of the program; in English behind it · 120
fault-no-pdf = The PDF could not be made: { $said }
# A notice · 160
fault-not-opened = This system does not open { $path }: open it yourself ({ $said })
# A notice · 180
fault-not-printed = This system does not print { $path }: open it and print it from there ({ $said })
# A notice; `key` is a setting's name · 190
fault-fixed = { $key } is fixed for this computer: whoever looks after it can change it, in the computer's own settings
# A notice; what the system said in English · 110
fault-settings = The settings could not be kept: { $said }
# A notice; what the system said in English · 110
fault-no-recording = The recording cannot be read: { $said }
# A notice · 140
fault-no-print-command = This system has no command for printing: open { $path } and print it from there
# Within fault-not-printed, where the system gave no reason · 30
fault-no-reason-given = no reason given
