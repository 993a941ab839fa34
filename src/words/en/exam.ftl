### Examinations: set and sealed by a teacher, begun with a code, opened by the teacher's word. Each message: where it stands,
### and how many letters it may have. What lies in sealed files never depends on the language.

## Setting one

# A notice; a path and the code that students type · 130
exam-sealed =
    Sealed: { $drills ->
        [one] { $drills } drill
       *[other] { $drills } drills
    }. The examination is { $path }. Its opening code is { $code }: write it down, it is shown once.
# A notice at the end; a path · 90
exam-is = The sealed examination is { $path }, and a line of the class file.
# A notice; a path · 40
exam-page-is = The page of this examination is { $path }.
# A notice · 80
exam-longer-word = the teacher's word needs 12 letters or more
# A notice · 60
exam-another-word = this word does not open it
# A notice; a safety sentence · 110
exam-broken = the seal is broken: it was changed after it was sealed, or is not whole
# A notice; what a library said in English · 50
exam-not-sealed = it cannot be sealed: { $said }
# A notice · 80
exam-type-code = this examination is sealed: type its opening code
# A notice · 60
exam-another-code = this code does not open the examination
# A notice; why, in English · 60
exam-no-examination = this is no sealed examination: { $said }
# A notice · 120
exam-no-noise = leave noise_folder out: room sounds would lie beside the seal
# A notice · 140
exam-no-seed = drill { $drill }: leave its seed out, so that a patient is drawn whom nobody has practised
# A notice · 150
exam-no-recording = drill { $drill }: a recording would lie beside the seal; give a lesson with recordings as it is

## Opening them

# A title · 24
exam-title = Examinations
# How many are not opened yet · 24
exam-under-seal = Under seal: { $count }.
# A field whose letters are not shown · 40
exam-word = Teacher's word
# A target · 36
exam-open = Open the examinations
# What was done · 60
exam-opened =
    { $count ->
        [0] No examination was opened.
        [1] One examination was opened.
       *[other] { $count } examinations were opened.
    }
# Whose was not opened, and why · 8
exam-shut = { $student }, { $lesson }: { $why }.
# One that is open · 36
exam-one = { $student }, { $lesson }, { $begun }: { $passed } of { $count } passed.
# A target · 20
exam-page = Page of { $student }, { $lesson }
