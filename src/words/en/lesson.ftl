### Why practice does not go on: a notice above the screen, one sentence. What is wrong within a file that a teacher wrote, and
### what a computer's system said, stand in it in English. Each message: where it stands, and how many letters it may have.

## Before a lesson

# A notice · 80
lesson-no-seed = `{ $typed }` is no seed: type a whole number
# A notice · 80
lesson-no-code = Type a code for the student first: no name is needed
# A notice · 40
lesson-none = There is no lesson
# A notice · 110
lesson-give-one = Give the teacher's lesson first: name its path, open it or drop it here
# A notice, in a browser · 130
lesson-nothing-beside = This lesson names recordings or room sounds: a page reads no file but its own

## Files

# A notice; what the system said in English · 40
lesson-cannot-read = cannot read { $name }: { $said }
# A notice; what the system said in English · 40
lesson-cannot-write = cannot write { $name }: { $said }
# A notice; a file's name · 70
lesson-too-large = too large: { $name }; give a file of 64 MB or less
# A notice; a file's name · 120
lesson-give-another = no sound (.wav), lesson (.toml), examination (.exam) or class file (.jsonl): { $name }
# A notice of a browser; what it said in English · 140
lesson-save-now = this browser keeps nothing ({ $said }): save the class file before you close the page
# Where a file is that a browser gave out · 70
lesson-download = { $name }, among the downloads of this browser
# A notice; what is wrong in a file, in English · 50
lesson-mend = The lesson's file needs correction: { $said }
# A notice: a lesson's file and a drill in it; why, as below · 24
lesson-drill = lesson `{ $lesson }`: drill { $drill }: { $why }
# Within it, and alone · 60
lesson-outside = { $name } lies outside the lesson's folder
# As above · 40
lesson-no-sounds = { $path } holds no WAV file
# As above · 60
lesson-no-book = there is no record book to look in
# As above · 50
lesson-no-visit = `{ $name }` is no visit's name
# As above · 70
lesson-no-attempt = the visit has no attempt { $attempt } that stands
# As above · 70
lesson-no-reading = attempt { $attempt } has no kept reading with a tap
# As above · 70
lesson-no-mark = attempt { $attempt } has no mark of an over-reader
# As above · 90
lesson-no-recording = the recording of attempt { $attempt } is not there, or is not one alone
# As above · 60
lesson-not-found = the recording was not searched for
# As above · 40
lesson-no-drill = there is no drill
