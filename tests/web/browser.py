"""The page for browsers in Debian's Chromium: as a file and from loopback, by keys and by touch. Writes what the page said,
so that the program can be held against it, and pictures of every screen it came through."""

import base64
import functools
import http.server
import json
import sys
import tempfile
import threading
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

PAGE, SAID, PICTURES = Path(sys.argv[1]).resolve(), Path(sys.argv[2]), Path(sys.argv[3])
KINDS = ["First return", "Artery beside a vein", "Multiphasic or monophasic", "Damped or not",
         "Regular or irregular", "In rising noise"]
WARNING = "Nothing on this page is for use on patients."
# Watches what is handed to the output: how loud, when first, how much.
WATCH = """
window.played = {peak: 0, first: null, samples: 0, gaps: 0, end: 0, head: [], pieces: 0, level: 0, delays: [], overs: 0};
const copy = AudioBuffer.prototype.copyToChannel;
AudioBuffer.prototype.copyToChannel = function (samples, ...rest) {
  if (window.played.head.length < 1600) window.played.head.push(...samples);
  let square = 0;
  for (const x of samples) { window.played.peak = Math.max(window.played.peak, Math.abs(x)); square += x * x; }
  window.played.level = Math.sqrt(square / samples.length);
  window.played.pieces += 1;
  window.played.samples += samples.length;
  return copy.call(this, samples, ...rest);
};
window.played.frames = 0;
const draw = WebGL2RenderingContext.prototype.clear;
WebGL2RenderingContext.prototype.clear = function (...rest) { window.played.frames += 1; return draw.apply(this, rest); };
const start = AudioBufferSourceNode.prototype.start;
AudioBufferSourceNode.prototype.start = function (...rest) {
  if (window.played.first === null) window.played.first = performance.now();
  const rest_s = rest[0] - window.played.end;
  // A piece that does not join the one before, within a sound: two sounds lie a second apart and more.
  if (rest_s > 0.001 && rest_s < 0.9) window.played.gaps += 1;
  window.played.end = rest[0] + this.buffer.duration;
  // How long after now the newest sample, made just now, comes to the ear by the output's own stamp.
  const stamp = this.context.getOutputTimestamp();
  const ear = stamp.contextTime + (performance.now() - stamp.performanceTime) / 1000;
  if (stamp.contextTime > 0) window.played.delays.push(window.played.end - ear);
  return start.apply(this, rest);
};
"""


class Visitor:
    """A page, and what it asked for and complained of."""

    def __init__(self, browser, address, size, touch=False):
        self.context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, has_touch=touch, accept_downloads=True)
        self.page, self.touch = self.context.new_page(), touch
        self.requests, self.faults = [], []
        self.page.on("request", lambda r: self.requests.append(r.url))
        self.page.on("console", lambda m: self.faults.append(m.text) if m.type == "error" else None)
        self.page.on("pageerror", lambda e: self.faults.append(str(e)))
        self.page.add_init_script(WATCH)
        self.address = address
        began = time.monotonic()
        self.page.goto(address)
        self.words("Practise", limit=30)
        self.ready_s = time.monotonic() - began

    def told(self):
        return self.page.evaluate("[...document.querySelectorAll('#words *')].map(e => e.textContent)")

    def words(self, wanted, limit=20.0):
        """Waits until the screen says this; gives the whole words."""
        until = time.monotonic() + limit
        while time.monotonic() < until:
            for said in self.told():
                if wanted in said:
                    return said
            time.sleep(0.05)
        raise AssertionError(f"the screen never said {wanted!r}, but {self.told()}")

    def place(self, name):
        at = self.page.evaluate(
            "name => [...document.querySelectorAll('#words *')].find(e => e.textContent === name)?.dataset.at", name)
        assert at, f"no {name!r} on the screen: {self.told()}"
        return [float(n) for n in at.split()]

    def press(self, name):
        """Presses the target of this name where it is painted; scrolls to it first."""
        high = self.page.viewport_size["height"]
        for _ in range(40):
            x, y, wide, tall = self.place(name)
            if 0 <= y and y + tall <= high:
                # A screen that still scrolls would be pressed beside it.
                time.sleep(0.15)
                if self.place(name) == [x, y, wide, tall]:
                    break
                continue
            self.page.mouse.move(100, high / 2)
            self.page.mouse.wheel(0, max(-300, min(300, y - high / 2)))
            time.sleep(0.15)
        else:
            raise AssertionError(f"{name!r} cannot be scrolled to")
        at = (x + wide / 2, y + tall / 2)
        (self.page.touchscreen.tap if self.touch else self.page.mouse.click)(*at)
        time.sleep(0.15)

    def write(self, field, text):
        self.press(field)
        self.page.keyboard.type(text)
        time.sleep(0.3)

    def picture(self, name):
        PICTURES.mkdir(parents=True, exist_ok=True)
        self.page.screenshot(path=str(PICTURES / f"{name}.png"))

    def call(self, code):
        return self.page.evaluate(code)

    def busy_s(self):
        """Seconds that the page's own thread has worked until now."""
        if not hasattr(self, "devtools"):
            self.devtools = self.context.new_cdp_session(self.page)
            self.devtools.send("Performance.enable")
        told = self.devtools.send("Performance.getMetrics")["metrics"]
        return next(m["value"] for m in told if m["name"] == "TaskDuration")

    def over(self):
        """Nothing was asked for but the page itself, and nothing complained of."""
        asked = [r for r in self.requests if not r.startswith(("blob:", "data:"))]
        assert asked == [self.address], asked
        assert self.faults == [], self.faults
        assert self.call("played.peak") <= 0.25, "louder than the ceiling"
        self.context.close()


def deflate(visitor, squeeze, open_more, seconds):
    """Listens, closes the artery and lets the cuff down."""
    time.sleep(2)
    for _ in range(10):
        squeeze()
        time.sleep(0.35)
    time.sleep(1)
    for _ in range(8):
        open_more()
        time.sleep(0.05)
    time.sleep(seconds)


def by_keys(visitor):
    key = visitor.page.keyboard.press
    visitor.words(WARNING)
    visitor.picture("1-choose")
    visitor.write("Code of the student, never a name", "S-07")
    visitor.press("3 drills")
    visitor.press("Begin the lesson")
    begun = visitor.call("performance.now()")
    visitor.words("First return, drill 1 of 3")
    painted = visitor.call("played.frames")
    busy, worked, since = visitor.busy_s(), visitor.call("wasm_bindgen.worked_s()"), time.monotonic()
    deflate(visitor, lambda: key("b"), lambda: key("ArrowUp"), 32)
    long_s = time.monotonic() - since
    frames = (visitor.call("played.frames") - painted) / long_s
    share, own = (visitor.busy_s() - busy) / long_s, (visitor.call("wasm_bindgen.worked_s()") - worked) / long_s
    # The delay that the page tells itself is the one that its pieces have.
    delays = visitor.call("[wasm_bindgen.delay_s(), ...played.delays.slice(-60)]")
    own_s, seen_s = delays[0], sorted(delays[1:])[30]
    assert abs(own_s - seen_s) < 0.03, (own_s, seen_s)
    visitor.picture("2-drill")
    first = visitor.call("played.first")
    assert first is not None, "no sound was played"
    key("Space")
    visitor.words("Tapped. The last tap counts.")
    for digit in "118":
        key(digit)
    time.sleep(1)
    key("Enter")
    time.sleep(0.5)
    told = visitor.words("tapped", limit=30)
    visitor.picture("3-told")
    last = json.loads(visitor.call("wasm_bindgen.last_drill()"))
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
    if last["score"]:
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
    return {"told": told, "drill": last, "class": session, "delay_s": own_s, "frames": frames, "busy": share, "own": own, "gaps": visitor.call("played.gaps"),
            "first_sound_s": visitor.ready_s + (first - begun) / 1000}


def listen_first(visitor, name):
    """The guided hour, step by step; each sound is heard for a moment."""
    visitor.press("Listen first")
    step = 1
    while True:
        place = visitor.words(f"Listen first, {step} of")
        total = int(place.split()[-1])
        sounds = [said for said in visitor.told() if said[:3] in ("A: ", "B: ", "C: ")]
        for sound in sounds or [None]:
            if sound:
                visitor.press(sound)
            before = visitor.call("played.samples")
            visitor.press("Play")
            time.sleep(1.2)
            assert visitor.call("played.samples") > before + 8_000, (step, sound)
            visitor.press("Stop")
        visitor.picture(f"{name}-{step}")
        if step == total:
            break
        visitor.press("Next step")
        step += 1
    visitor.press("To the drills")
    visitor.words("Begin the lesson")
    return total


def give(visitor, button, *files):
    """Opens files by a button of the page."""
    with visitor.page.expect_file_chooser() as asked:
        visitor.press(button)
    asked.value.set_files([str(file) for file in files])


def drop(visitor, name, data):
    """Drops a file on the page."""
    visitor.page.evaluate("""([name, data]) => {
      const bytes = Uint8Array.from(atob(data), c => c.charCodeAt(0)), kept = new DataTransfer();
      kept.items.add(new File([bytes], name));
      const canvas = document.getElementById('practice');
      for (const kind of ['dragover', 'drop'])
        canvas.dispatchEvent(new DragEvent(kind, {dataTransfer: kept, bubbles: true, cancelable: true}));
    }""", [name, base64.b64encode(data).decode()])


def own_sound(visitor, name, folder):
    """A sound of one's own: opened, dropped, bad and huge."""
    visitor.press("Try it on a sound")
    visitor.words("nothing of it is for use on a patient")
    sound = sorted(Path("audio-fixtures").glob("*.wav"))[0]
    give(visitor, "Open a sound", sound)
    found = visitor.words("pulses in", limit=60)
    visitor.words("It may be wrong")
    before = visitor.call("played.samples")
    visitor.press("Play")
    time.sleep(1.2)
    assert visitor.call("played.samples") > before + 8_000, "the sound is not played"
    visitor.picture(f"{name}-own-sound")
    visitor.press("Stop")
    drop(visitor, "noise.wav", b"RIFF no sound at all")
    bad = visitor.words("no WAV file that can be read")
    huge = folder / "huge.wav"
    with open(huge, "wb") as file:
        file.write(b"RIFF")
        file.truncate((64 << 20) + 1)
    give(visitor, "Open a sound", huge)
    large = visitor.words("give a file of 64 MB or less")
    huge.unlink()
    drop(visitor, "letter.txt", b"Dear colleague")
    visitor.words("o sound (.wav), lesson (.toml)")
    visitor.press("Back to practice")
    return [found, bad, large]


LESSON = """version = 1
name = "Spring"
[[drill]]
kind = "waveform"
[[drill]]
kind = "damped"
"""
WORD = "lantern orchard seven"


def examination(visitor, folder):
    """A teacher seals a lesson on the page, a student does it, the teacher opens it: all on the page."""
    lesson = folder / "spring.toml"
    lesson.write_text(LESSON)
    give(visitor, "Open a file", lesson)
    visitor.words("spring.toml is the teacher's lesson now")
    visitor.press("Seal it as an examination")
    visitor.words("needs 12 letters or more")
    visitor.write("Teacher's word, which opens what is done", WORD)
    with visitor.page.expect_download() as got:
        visitor.press("Seal it as an examination")
    sealed = folder / "spring.exam"
    got.value.save_as(sealed)
    said = visitor.words("opening code is")
    code = said.split("opening code is ")[1][:14]
    assert "waveform" not in sealed.read_text()
    give(visitor, "Open a file", sealed)
    visitor.words("is sealed. Type its opening code")
    visitor.write("Opening code, of a sealed examination", code.lower())
    visitor.picture("exam-1-code")
    visitor.press("Begin the teacher's lesson")
    for words in (["multiphasic", "monophasic"], ["damped", "not damped"]):
        visitor.words(words[1])
        time.sleep(2)
        visitor.press(words[0])
        visitor.words("Kept.")
        assert not any("it was" in said for said in visitor.told())
        if words[0] == "damped":
            with visitor.page.expect_download() as got:
                visitor.press("Next")
        else:
            visitor.press("Next")
    done = folder / "done.sealed"
    got.value.save_as(done)
    visitor.words("only the teacher's word opens it")
    visitor.picture("exam-2-over")
    assert "multiphasic" not in done.read_text() and "damped" not in done.read_text()
    visitor.press("Done")
    visitor.words("Begin the lesson")
    visitor.press("The class")
    visitor.words("Class files:")
    give(visitor, "Open class files", done)
    visitor.words("Under seal: 1.")
    visitor.write("Teacher's word", WORD)
    visitor.press("Open the examinations")
    visitor.words("One examination was opened.")
    visitor.picture("exam-3-opened")
    with visitor.page.expect_download() as got:
        visitor.press("Page of S-07, Spring")
    page = Path(got.value.path()).read_text()
    assert "Examination: Spring" in page and "Examination " in page
    with visitor.page.expect_download() as got:
        visitor.press("Table (CSV)")
    assert Path(got.value.path()).read_text().startswith("code,")
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
    visitor = Visitor(browser, PAGE.as_uri(), size, touch=True)
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
    print(f"{name}: cut at {size}: {cut}")
    assert not cut, cut
    visitor.over()


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_):
        pass


def served():
    handler = functools.partial(Quiet, directory=str(PAGE.parent))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


def main():
    said = {}
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--enable-unsafe-swiftshader"])
        as_file = Visitor(browser, PAGE.as_uri(), (1280, 900))
        said["keys"] = by_keys(as_file)
        said["steps"] = listen_first(as_file, "listen")
        with tempfile.TemporaryDirectory() as folder:
            said["own"] = own_sound(as_file, "wide", Path(folder))
            examination(as_file, Path(folder))
        said["sums"] = [[kind, seed, as_file.call(f"wasm_bindgen.sound_sum({kind!r}, {seed})")]
                        for kind in KINDS for seed in (1, 7)]
        said["scores"] = [[seed, late, as_file.call(f"wasm_bindgen.scored('First return', {seed}, {late})")]
                          for seed in (1, 7, 40) for late in (-2100, -50, 180, 900, 2300)]
        said["speed"] = as_file.call("wasm_bindgen.speed(20)")
        as_file.over()
        server = served()
        address = f"http://127.0.0.1:{server.server_address[1]}/{PAGE.name}"
        telephone = Visitor(browser, address, (390, 844), touch=True)
        said["touch"] = by_touch(telephone)
        telephone.over()
        narrow(browser, (360, 640), "small")
        narrow(browser, (390, 844), "phone")
        browser.close()
        server.shutdown()
    SAID.write_text(json.dumps(said))
    keys = said["keys"]
    print(f"ready after {as_file.ready_s:.2f} s, first sound {keys['first_sound_s']:.2f} s after opening; "
          f"simulation and listener {said['speed']:.0f} times real time; in a drill the page works for {100 * keys['own']:.0f} % of the time, with painting without a graphics card "
          f"its thread for {100 * keys['busy']:.0f} %, {keys['frames']:.1f} frames a second; {keys['gaps']} gaps in the sound; {1000 * keys['delay_s']:.0f} ms from making to hearing; told by keys: {keys['told']!r}; "
          f"by touch: {said['touch']['told']!r}")
    assert keys["first_sound_s"] < 3, "the first sound came too late"
    assert said["speed"] > 2 and keys["own"] < 0.5, "less than half of a core is left"


if __name__ == "__main__":
    main()
