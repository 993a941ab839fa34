"""The page for browsers in Debian's Chromium: as a file and from loopback, by keys and by touch. Writes what the page said,
so that the program can be held against it, and pictures of every screen it came through."""

import json
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from examination import sealed_by_the_program, sealed_on_the_page
from visitor import TAP_HELD, WARNING, Visitor, chromium, close_and_open, drop, give, listen_first, served

PAGE, SAID, PICTURES = Path(sys.argv[1]).resolve(), Path(sys.argv[2]), Path(sys.argv[3])
PROGRAM = os.environ.get("CUFFNOTE_PROGRAM", "target/release/cuffnote")
KINDS = ["First return", "Artery beside a vein", "Multiphasic or monophasic", "Damped or not",
         "Regular or irregular", "In rising noise"]


def deflate(visitor, squeeze, open_more, seconds):
    """Listens, closes the artery and lets the cuff down."""
    time.sleep(2)
    close_and_open(squeeze, open_more)
    time.sleep(seconds)


def by_keys(visitor):
    key = visitor.page.keyboard.press
    visitor.words(WARNING)
    visitor.picture("1-choose")
    visitor.write("Code of the student, never a name", "S-07")
    visitor.press("3 drills")
    visitor.call("played.anew()")
    visitor.press("Begin the lesson")
    begun = visitor.call("performance.now()")
    visitor.words("First return, drill 1 of 3")
    painted = visitor.call("played.frames")
    busy, worked, since = visitor.busy_s(), visitor.call("wasm_bindgen.worked_s()"), time.monotonic()
    deflate(visitor, lambda: key("b"), lambda: key("ArrowUp"), 32)
    long_s, gaps = time.monotonic() - since, visitor.gaps()
    # The delay that the page tells itself is the one that its pieces have. Read before the browser is asked for its own
    # figures, which holds the page's thread.
    delays = visitor.call("[wasm_bindgen.delay_s(), ...played.delays.slice(-20)]")
    own_s, seen_s = delays[0], sorted(delays[1:])[10]
    assert abs(own_s - seen_s) < 0.03, (delays, gaps, visitor.call("[wasm_bindgen.gaps(), wasm_bindgen.left_out_s()]"))
    frames = (visitor.call("played.frames") - painted) / long_s
    share, own = (visitor.busy_s() - busy) / long_s, (visitor.call("wasm_bindgen.worked_s()") - worked) / long_s
    time.sleep(1.5)
    visitor.picture("2-drill")
    first = visitor.call("played.first")
    assert first is not None, "no sound was played"
    # A tap counts when the key goes down, by what is heard then, though the page comes to it a third of a second later.
    heard_s = visitor.call(TAP_HELD)
    visitor.words("Tapped. The last tap counts.")
    for digit in "118":
        key(digit)
    time.sleep(1)
    key("Enter")
    time.sleep(0.5)
    told = visitor.words("tapped", limit=30)
    visitor.picture("3-told")
    last = json.loads(visitor.call("wasm_bindgen.last_drill()"))
    tap_s = last["score"]["tap_s"]
    assert abs(tap_s - heard_s) < 0.05, f"tapped at {tap_s} s of the sound, of which {heard_s} s was heard"
    # Heard again: the cursor moves on while it plays, and Space stops it.
    key("r")
    before = visitor.call("played.samples")
    key("Space")
    visitor.words("Stop")
    time.sleep(1.5)
    key("Space")
    visitor.words("Play")
    heard = visitor.call("played.samples") - before
    assert 16_000 < heard < 48_000, heard
    key("s")
    for _ in range(2):
        key("ArrowRight")
    time.sleep(0.4)
    visitor.words("If you tapped here")
    visitor.picture("4-again")
    head = visitor.call("played.head")
    assert max(abs(x) for x in head[:160]) < 0.002, "it does not begin softly"
    key("Enter")
    visitor.words("First return, drill 2 of 3")
    visitor.press("End here")
    visitor.words("over")
    visitor.picture("5-over")
    key("Enter")
    visitor.words("Listen first")
    with visitor.page.expect_download() as got:
        visitor.press("Save the class file")
    session = json.loads(Path(got.value.path()).read_text().splitlines()[0])
    assert session["student"] == "S-07" and len(session["drills"]) == 1, session
    return {"told": told, "drill": last, "class": session, "delay_s": own_s, "frames": frames, "busy": share, "own": own,
            "gaps": gaps, "tap_off_s": tap_s - heard_s, "first_sound_s": visitor.ready_s + (first - begun) / 1000}


def natively(sound):
    """What the program finds in a sound, in the page's sentences."""
    said = subprocess.run([PROGRAM, "listen", "--json", str(sound)], check=True, capture_output=True, text=True).stdout
    found = json.loads(said)
    beats = []
    for pulse in sorted(pulse["onset_s"] for pulse in found["pulses"]):
        if not beats or pulse - beats[-1] >= 0.3:
            beats.append(pulse)
    lost, back = found["lost_s"], found["return_s"]
    heard = {
        (True, True): f"It heard the pulse go at {lost or 0:.1f} s and come back at {back or 0:.1f} s.",
        (True, False): f"It heard the pulse go at {lost or 0:.1f} s, and no return after that.",
    }[lost is not None, back is not None]
    return [f"The listener found {len(beats)} pulses in {found['duration_s']:.0f} s.", heard]


def own_sound(visitor, name, folder):
    """A sound of one's own: opened, dropped, bad and huge. What is found in it is what the program finds."""
    visitor.press("Try it on a sound")
    visitor.words("nothing of it is for use on a patient")
    for sound, given in [("irregular", "opened"), ("never-returns", "dropped"), ("irregular", "dropped")]:
        path = Path(f"audio-fixtures/{sound}.wav")
        if given == "opened":
            give(visitor, "Open a sound", path)
        else:
            drop(visitor, path.name, path.read_bytes())
        for said in natively(path):
            visitor.words(said, limit=60)
        visitor.words("It may be wrong")
    before = visitor.call("played.samples")
    visitor.press("Play")
    time.sleep(1.2)
    assert visitor.call("played.samples") > before + 8_000, "the sound is not played"
    visitor.picture(f"{name}-own-sound")
    visitor.press("Stop")
    drop(visitor, "noise.wav", b"RIFF no sound at all")
    visitor.words("no WAV file that can be read")
    huge = folder / "huge.wav"
    with open(huge, "wb") as file:
        file.write(b"RIFF")
        file.truncate((64 << 20) + 1)
    give(visitor, "Open a sound", huge)
    visitor.words("give a file of 64 MB or less")
    huge.unlink()
    drop(visitor, "letter.txt", b"Dear colleague")
    visitor.words("o sound (.wav), lesson (.toml)")
    visitor.press("Back to practice")


def by_touch(visitor):
    visitor.words(WARNING)
    visitor.picture("touch-1-choose")
    visitor.write("Code of the student, never a name", "S-08")
    visitor.press("3 drills")
    visitor.press("Begin the lesson")
    visitor.words("Drill 1 of 3")
    time.sleep(2)
    for _ in range(10):
        visitor.press("Squeeze")
        time.sleep(0.2)
    visitor.picture("touch-2-drill")
    visitor.page.keyboard.press("ArrowUp") if not visitor.touch else visitor.press("Open more")
    for _ in range(7):
        visitor.press("Open more")
    time.sleep(32)
    visitor.press("Tap")
    visitor.words("Tapped. The last tap counts.")
    for digit in "121":
        visitor.press(digit)
    visitor.picture("touch-3-typed")
    visitor.press("Keep")
    told = visitor.words("tapped", limit=30)
    visitor.picture("touch-4-told")
    return {"told": told, "drill": json.loads(visitor.call("wasm_bindgen.last_drill()"))}


def narrow(browser, size, name):
    """Every screen of the page on a telephone, by touch; a drill with all that hands need."""
    visitor = Visitor(browser, PAGE.as_uri(), size, PICTURES, touch=True)
    visitor.picture(f"{name}-1-choose")
    visitor.press("Listen first")
    visitor.words("Listen first, 1 of")
    time.sleep(0.5)
    visitor.picture(f"{name}-2-listen")
    visitor.press("Leave")
    visitor.write("Code of the student, never a name", "S-09")
    visitor.press("The class")
    visitor.words("Who is where")
    visitor.picture(f"{name}-3-class")
    visitor.press("Back to practice")
    visitor.press("Try it on a sound")
    visitor.words("For learning only")
    visitor.picture(f"{name}-4-try")
    sound = Path("audio-fixtures/irregular.wav")
    give(visitor, "Open a sound", sound)
    for said in natively(sound):
        visitor.words(said, limit=60)
    visitor.press("Play")
    time.sleep(1)
    visitor.picture(f"{name}-4-tried")
    visitor.press("Stop")
    visitor.press("Back to practice")
    visitor.press("Damped or not")
    visitor.press("Begin the lesson")
    visitor.words("Drill 1 of")
    time.sleep(2)
    visitor.picture(f"{name}-5-word")
    visitor.press("damped")
    visitor.words("Next")
    visitor.picture(f"{name}-6-told")
    visitor.press("End here")
    visitor.words("over")
    visitor.press("Hear case 1 again")
    visitor.words("Case 1 again")
    visitor.picture(f"{name}-7-over")
    visitor.press("Done")
    visitor.press("First return")
    visitor.press("Begin the lesson")
    visitor.words("Drill 1 of")
    time.sleep(1)
    visitor.picture(f"{name}-8-drill")
    high, wide = size[1], size[0]
    cut = []
    for target in ["Squeeze", "Tap", "Keep", "Erase", *"1234567890"]:
        x, y, w, h = visitor.place(target)
        if x < 0 or y < 0 or x + w > wide or y + h > high:
            cut.append((target, x, y, w, h))
    assert not cut, cut
    visitor.over()


def main():
    said = {}
    with chromium() as browser:
        as_file = Visitor(browser, PAGE.as_uri(), (1280, 900), PICTURES)
        said["keys"] = by_keys(as_file)
        said["steps"] = listen_first(as_file, "listen")
        with tempfile.TemporaryDirectory() as folder:
            own_sound(as_file, "wide", Path(folder))
            sealed_on_the_page(as_file, Path(folder))
        with tempfile.TemporaryDirectory() as folder:
            sealed_by_the_program(as_file, Path(folder), PROGRAM)
        said["sums"] = [[kind, seed, as_file.call(f"wasm_bindgen.sound_sum({kind!r}, {seed})")]
                        for kind in KINDS for seed in (1, 7)]
        said["scores"] = [[seed, late, as_file.call(f"wasm_bindgen.scored('First return', {seed}, {late})")]
                          for seed in (1, 7, 40) for late in (-2100, -50, 180, 900, 2300)]
        said["speed"] = as_file.call("wasm_bindgen.speed(20)")
        as_file.over()
        with served(PAGE) as address:
            telephone = Visitor(browser, address, (390, 844), PICTURES, touch=True)
            said["touch"] = by_touch(telephone)
            telephone.over()
        narrow(browser, (360, 640), "small")
        narrow(browser, (390, 844), "phone")
    SAID.write_text(json.dumps(said))
    keys = said["keys"]
    print(f"ready after {as_file.ready_s:.2f} s, first sound {keys['first_sound_s']:.2f} s after opening; "
          f"simulation and listener {said['speed']:.0f} times real time; in a drill the page works for "
          f"{100 * keys['own']:.0f} % of the time, with painting without a graphics card its thread for "
          f"{100 * keys['busy']:.0f} %, {keys['frames']:.1f} frames a second; {keys['gaps']} gaps in the sound of a drill; "
          f"{1000 * keys['delay_s']:.0f} ms from making to hearing, a tap {1000 * keys['tap_off_s']:+.0f} ms off what was "
          f"heard; load {os.getloadavg()[0]:.1f}; told by keys: {keys['told']!r}; by touch: {said['touch']['told']!r}")
    assert keys["first_sound_s"] < 3, "the first sound came too late"
    assert said["speed"] > 2 and keys["own"] < 0.5, "less than half of a core is left"


if __name__ == "__main__":
    main()
