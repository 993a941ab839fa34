"""A visitor of the page in Debian's Chromium, painted without a graphics card: presses what is on the screen by its words,
and watches what is played. Shared by the scripts beside it."""

import base64
import contextlib
import functools
import http.server
import threading
import time
from pathlib import Path

from playwright.sync_api import sync_playwright

WARNING = "Nothing on this page is for use on patients."
# Watches what is handed to the output: how loud, when first, how much, and what of it is at the ear.
WATCH = """
window.played = {peak: 0, first: null, samples: 0, gaps: [], end: 0, head: [], pieces: 0, level: 0, delays: [], own: 0, frames: 0,
                 held: [], last: 0};
const copy = AudioBuffer.prototype.copyToChannel;
AudioBuffer.prototype.copyToChannel = function (samples, ...rest) {
  if (played.head.length < 1600) played.head.push(...samples);
  let square = 0;
  for (const x of samples) { played.peak = Math.max(played.peak, Math.abs(x)); square += x * x; }
  played.level = Math.sqrt(square / samples.length);
  played.pieces += 1;
  played.samples += samples.length;
  played.own += samples.length;
  return copy.call(this, samples, ...rest);
};
const draw = WebGL2RenderingContext.prototype.clear;
WebGL2RenderingContext.prototype.clear = function (...rest) { played.frames += 1; return draw.apply(this, rest); };
// How long the page's thread was held, by a timer of its own, milliseconds.
setInterval(() => {
  const now = performance.now();
  if (played.last && now - played.last > 40) played.held.push(now - played.last);
  played.last = now;
}, 20);
// What of the output's time is at the ear now, by the output's own stamp; never more than its clock says was made.
played.ear = (context) => {
  const stamp = context.getOutputTimestamp();
  const ear = stamp.contextTime + (performance.now() - stamp.performanceTime) / 1000;
  return stamp.contextTime > 0 ? Math.min(ear, context.currentTime) : NaN;
};
// Seconds of the sound that begins next, from its making on: what was left out counts.
played.anew = () => { played.own = 0; played.left = wasm_bindgen.left_out_s(); };
played.heard = () => played.own / 16000 + wasm_bindgen.left_out_s() - played.left - (played.end - played.ear(played.context));
const start = AudioBufferSourceNode.prototype.start;
AudioBufferSourceNode.prototype.start = function (...rest) {
  if (played.first === null) played.first = performance.now();
  const rest_s = rest[0] - played.end;
  // A piece that does not join the one before, within a sound: two sounds lie a second apart and more.
  if (rest_s > 0.001 && rest_s < 0.9) played.gaps.push(Math.round(performance.now()));
  played.end = rest[0] + this.buffer.duration;
  played.context = this.context;
  // How long after now the newest sample, made just now, comes to the ear.
  const delay = played.end - played.ear(this.context);
  if (delay > 0) played.delays.push(delay);
  return start.apply(this, rest);
};
// What is silenced leaves no gap before the next sound.
const cut = AudioNode.prototype.disconnect;
AudioNode.prototype.disconnect = function (...rest) { played.end = 0; return cut.apply(this, rest); };
"""
# A tap by its key while the page's thread is held for a third of a second: gives the second of the sound that was heard then.
TAP_HELD = """() => {
  const heard = played.heard(), canvas = document.getElementById("practice"), began = performance.now();
  for (const kind of ["keydown", "keyup"])
    canvas.dispatchEvent(new KeyboardEvent(kind, {key: " ", code: "Space", bubbles: true, cancelable: true}));
  while (performance.now() - began < 330);
  return heard;
}"""


class Visitor:
    """A page, and what it asked for and complained of."""

    def __init__(self, browser, address, size, pictures=None, touch=False):
        self.pictures = pictures
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
        if self.pictures:
            self.pictures.mkdir(parents=True, exist_ok=True)
            self.page.screenshot(path=str(self.pictures / f"{name}.png"))

    def call(self, code):
        return self.page.evaluate(code)

    def gaps(self):
        """Gaps in the sound until now, by what was set on the output; the page itself counts the same."""
        return self.call("played.gaps.length")

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


def close_and_open(squeeze, open_more, squeezes=10):
    """Squeezes the bulb until the artery is closed, then opens the valve."""
    for _ in range(squeezes):
        squeeze()
        time.sleep(0.35)
    time.sleep(1)
    for _ in range(8):
        open_more()
        time.sleep(0.05)


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


@contextlib.contextmanager
def chromium():
    """Debian's own browser, without a screen and without a graphics card."""
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--enable-unsafe-swiftshader"])
        yield browser
        browser.close()


class Quiet(http.server.SimpleHTTPRequestHandler):
    def log_message(self, *_):
        pass


@contextlib.contextmanager
def served(page):
    """The page's address on a plain web server of this computer."""
    handler = functools.partial(Quiet, directory=str(page.parent))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}/{page.name}"
    server.shutdown()
