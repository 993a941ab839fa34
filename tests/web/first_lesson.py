"""The first lesson of docs/teaching.md in Debian's Chromium, minute by minute, by keys: words chosen, deflations tapped by the
level of what is played, which is all that this student hears. Before it, listen first. Pictures of every step."""

import json
import os
import sys
import time
from pathlib import Path

from visitor import WARNING, Visitor, chromium, close_and_open, listen_first

PAGE, PICTURES = Path(sys.argv[1]).resolve(), Path(sys.argv[2])


def words(visitor, kind, word):
    name = kind.lower().replace(" ", "-")
    visitor.press(kind)
    visitor.press("3 drills")
    visitor.press("Begin the lesson")
    for drill in range(1, 4):
        visitor.words(f"{kind}, drill {drill} of 3")
        time.sleep(4)
        if drill == 1:
            visitor.picture(f"lesson-{name}-1-asked")
        visitor.press(word)
        visitor.words("Next")
        if drill == 1:
            visitor.picture(f"lesson-{name}-2-told")
        visitor.page.keyboard.press("Enter")
    visitor.words("over")
    visitor.picture(f"lesson-{name}-3-over")
    visitor.page.keyboard.press("Enter")
    visitor.words("Begin the lesson")


def level(visitor, seconds):
    """The levels of what is played in these seconds."""
    until, levels = time.monotonic() + seconds, []
    while time.monotonic() < until:
        levels.append(visitor.call("played.level"))
        time.sleep(0.02)
    return levels


def deflate(visitor, name, least_s):
    """One drill of a return. Beside a vein the level alone tells nothing: there no tap comes before `least_s` of the fall."""
    key = visitor.page.keyboard.press
    visitor.picture(f"{name}-1-free") if name else None
    free = max(level(visitor, 3))
    close_and_open(lambda: key("b"), lambda: key("ArrowUp"), squeezes=11)
    time.sleep(0.5)
    visitor.picture(f"{name}-2-falling") if name else None
    silent = sorted(level(visitor, 2))
    rest = silent[len(silent) * 9 // 10]
    wanted = rest + 0.12 * max(free - rest, 0)
    time.sleep(least_s)
    until = time.monotonic() + 45
    while time.monotonic() < until and visitor.call("played.level") < wanted:
        time.sleep(0.015)
    # What was made is on its way to the ear, and a hand is no instrument.
    time.sleep(visitor.call("wasm_bindgen.delay_s()") + 0.15)
    key("Space")
    visitor.words("Tapped. The last tap counts.")
    visitor.picture(f"{name}-3-tapped") if name else None
    time.sleep(4)
    key("Escape")
    for digit in "118":
        key(digit)
    time.sleep(0.4)
    visitor.picture(f"{name}-4-typed") if name else None
    key("Enter")
    visitor.words("Next")
    visitor.picture(f"{name}-5-told") if name else None
    score = json.loads(visitor.call("wasm_bindgen.last_drill()") or "{}").get("score")
    key("Enter")
    return score


def returns(visitor, kind, count):
    name = "lesson-" + kind.lower().replace(" ", "-")
    visitor.press(kind)
    visitor.press(f"{count} drills")
    visitor.press("Begin the lesson")
    scores = []
    for drill in range(1, count + 1):
        visitor.words(f"{kind}, drill {drill} of {count}")
        least_s = 36 if kind == "Artery beside a vein" else 0
        scores.append(deflate(visitor, name if drill == 1 else None, least_s))
    visitor.words("over")
    visitor.press("Hear case 2 again")
    visitor.words("Case 2 again")
    visitor.picture(f"{name}-6-over")
    visitor.press("Done")
    visitor.words("Begin the lesson")
    return scores


def main():
    with chromium() as browser:
        visitor = Visitor(browser, PAGE.as_uri(), (1280, 900), PICTURES)
        visitor.words(WARNING)
        listen_first(visitor, "lesson-listen")
        visitor.write("Code of the student, never a name", "S-07")
        visitor.picture("lesson-0-choose")
        words(visitor, "Multiphasic or monophasic", "multiphasic")
        words(visitor, "Regular or irregular", "regular")
        scores = returns(visitor, "First return", 6)
        scores += returns(visitor, "Artery beside a vein", 3)
        visitor.words("The course of S-07")
        visitor.picture("lesson-7-course")
        with visitor.page.expect_download() as got:
            visitor.press("My page")
        page = Path(got.value.path()).read_text()
        assert "What to practise next, and why" in page and "15 drills" in page
        gaps = visitor.gaps()
        visitor.over()
    told = [f"{s['error_ms']:.0f} ms, {s['beats_late']} beats" if s else "no score" for s in scores]
    print(f"fifteen drills in Chromium, taps by level: {told}; {gaps} gaps in the sound; load {os.getloadavg()[0]:.1f}")
    assert sum(s is not None for s in scores) >= 7, "the deflations could not be done"


if __name__ == "__main__":
    main()
