"""An examination from setting to reading, with the page for browsers as the place where it is held: sealed on the page and
read there, and sealed by the program on its command line and read there, as docs/teaching.md tells it."""

import json
import subprocess
import time
from pathlib import Path

from visitor import give

LESSON = """version = 1
name = "{}"
[[drill]]
kind = "waveform"
[[drill]]
kind = "damped"
"""
WORD = "lantern orchard seven"
# What is answered, whatever is heard.
ANSWERS = [("multiphasic", "monophasic"), ("damped", "not damped")]


def hold(visitor, sealed, code, folder, name):
    """The student types the code and answers; nothing is told. Gives the sealed file that comes of it."""
    give(visitor, "Open a file", sealed)
    visitor.words("is sealed. Type its opening code")
    visitor.press("Begin the teacher's lesson")
    visitor.words("type its opening code")
    visitor.write("Opening code, of a sealed examination", code.lower())
    visitor.picture(f"{name}-code")
    visitor.press("Begin the teacher's lesson")
    for number, (answer, other) in enumerate(ANSWERS):
        visitor.words(other)
        time.sleep(2)
        visitor.picture(f"{name}-asked-{number + 1}")
        visitor.press(answer)
        visitor.words("Kept.")
        visitor.picture(f"{name}-kept-{number + 1}")
        assert not any("it was" in said for said in visitor.told())
        if number + 1 < len(ANSWERS):
            visitor.press("Next")
            continue
        with visitor.page.expect_download() as got:
            visitor.press("Next")
    done = folder / got.value.suggested_filename
    assert done.suffix == ".sealed", done
    got.value.save_as(done)
    visitor.words("only the teacher's word opens it")
    visitor.picture(f"{name}-over")
    text = done.read_text()
    assert not any(word in text for pair in ANSWERS for word in pair), "the seal tells an answer"
    visitor.press("Done")
    visitor.words("Begin the lesson")
    return done


def download(visitor, button):
    with visitor.page.expect_download() as got:
        visitor.press(button)
    return Path(got.value.path()).read_text()


def sealed_on_the_page(visitor, folder):
    """A teacher seals a lesson on the page, a student does it, the teacher opens it: all on the page."""
    lesson = folder / "spring.toml"
    lesson.write_text(LESSON.format("Spring"))
    give(visitor, "Open a file", lesson)
    visitor.words("spring.toml is the teacher's lesson now")
    visitor.press("Seal it as an examination")
    visitor.words("needs 12 letters or more")
    visitor.write("Teacher's word, which opens what is done", WORD)
    with visitor.page.expect_download() as got:
        visitor.press("Seal it as an examination")
    sealed = folder / "spring.exam"
    got.value.save_as(sealed)
    code = visitor.words("opening code is").split("opening code is ")[1][:14]
    visitor.picture("exam-0-sealed")
    assert "waveform" not in sealed.read_text()
    done = hold(visitor, sealed, code, folder, "exam-1")
    visitor.press("The class")
    visitor.words("Class files:")
    give(visitor, "Open class files", done)
    visitor.words("Under seal: 1.")
    visitor.write("Teacher's word", WORD)
    visitor.picture("exam-2-word")
    visitor.press("Open the examinations")
    visitor.words("One examination was opened.")
    visitor.picture("exam-3-opened")
    page = download(visitor, "Page of S-07, Spring")
    assert "Examination: Spring" in page and "Examination " in page
    assert download(visitor, "Table (CSV)").startswith("code,")
    visitor.press("Back to practice")


def sealed_by_the_program(visitor, folder, program):
    """Sealed on the command line, held in the browser, and read on the command line from what the browser gave out."""
    (folder / "autumn.toml").write_text(LESSON.format("Autumn"))
    (folder / "word.txt").write_text(WORD + "\n")
    collected = folder / "collected"
    collected.mkdir()

    def told(*words):
        run = subprocess.run([program, "practise", *map(str, words)], cwd=folder, capture_output=True, text=True)
        assert run.returncode == 0, run.stderr
        return run.stdout + run.stderr

    said = told("--seal", "autumn.toml", "--word-file", "word.txt", "--out", "autumn.exam")
    code = said.split("Opening code: ")[1].splitlines()[0].strip()
    hold(visitor, folder / "autumn.exam", code, collected, "exam-4")
    (collected / "class.jsonl").write_text(download(visitor, "Save the class file"))
    assert "under seal" in told("--class", collected)
    said = told("--class", collected, "--open", "--word-file", "word.txt", "--page", "class.html", "--out", "opened.jsonl")
    assert "opened" in said, said
    sessions = [json.loads(line) for line in (folder / "opened.jsonl").read_text().splitlines()]
    [held] = [session for session in sessions if session["lesson"] == "Autumn"]
    assert held["student"] == "S-07" and held["examination"], held
    assert [drill["answer"] for drill in held["drills"]] == [answer for answer, _ in ANSWERS]
    assert all(drill["right"] in pair for drill, pair in zip(held["drills"], ANSWERS))
    assert "S-07" in (folder / "class.html").read_text()
