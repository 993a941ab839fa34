### The class, as its teacher looks at it; also words that its page shares. Each message: where it stands, and how many letters
### it may have. Tables for other programs (CSV) stay in English.

## The screen

# A target · 30
class-back = Back to practice
# A target: a table for other programs · 24
class-csv = Table (CSV)
# A target: a page to print · 24
class-html = Page (HTML)
# Under the title · 230
class-what = Students stand in the order of their codes: nobody is ranked. What they do here says how well they hear this sound, not how well they measure patients.
# A field · 40
class-folder = Folder of class files
# A target · 24
class-read = Read the folder
# In a browser · 90
class-files = Class files: open them, or drop them on the page.
# A target, in a browser · 36
class-open-files = Open class files
# Small: names of files · 24
class-taken = Taken in: { $names }.
# What was read; a folder · 50
class-read-folder = { $files } class files of { $folder }, { $sessions } sessions.
# As above; why, as below · 20
class-left-out = Left out: { $why }.
# What is wrong with a class file; what a library said in English · 20
class-line = { $name }, line { $line }: { $said }
# A notice; a path · 40
class-table-is = The table of the class is { $path }.
# A notice; a path · 40
class-page-is = The page of the class is { $path }.

## Who is where

# A title · 30
class-who = Who is where
# In place of the list · 40
class-none = No session yet.
# Within a line: the lag with its interval · 60
class-taps = taps { $mean } ms late ({ $low } to { $high }), spread { $spread }
# The same where they came before the return: how early, in the same direction · 60
class-taps-early = taps { $mean } ms early ({ $low } to { $high }), spread { $spread }
# Within it: the threshold in noise · 60
class-level = in noise { $db } dB (give or take { $range })
# Within it · 40
class-examined = in examinations { $passed } of { $count }
# Within it · 24
class-sealed = { $count } under seal
# The line, then the day of the last session · 30
class-last = { $all }. Last session { $day }.

## Sounds missed by many

# A title, here and on the page · 40
class-missed = Sounds missed by many
# Under it · 130
class-missed-what = Of each student the last ten answers to a sound count. Fewer than three say nothing.
# A sound: its kind and the word, then how many missed it · 6
class-sound = { $kind }: { $said }
# How many missed it · 130
class-missed-by =
    { $students ->
        [one] missed by { $missed } of { $students } student
       *[other] missed by { $missed } of { $students } students
    } (less than three quarters right); { $right } of { $answers } answers right.
# As above, where too few answered · 110
class-missed-unknown = { $right } of { $answers } right; nobody answered often enough to tell more.
