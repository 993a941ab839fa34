"""How the page's sound goes where no graphics card paints: a drill worked by keys and a sound heard again, as a file and from
loopback, each `tries` times. Prints gaps, how long the page's thread was held, and the load beside them.
`tests/web/run gaps` builds the page and measures it; with nothing else running, that is the figure of docs/realtime.md."""

import os
import sys
import time
from pathlib import Path

from visitor import Visitor, chromium, close_and_open, served

PAGE = Path(sys.argv[1]).resolve()
TRIES = int(sys.argv[2]) if len(sys.argv) > 2 else 3


def drill(visitor):
    """40 s of a drill: listen, squeeze, let down."""
    key = visitor.page.keyboard.press
    visitor.press("Begin the lesson")
    visitor.words("drill 1 of")
    time.sleep(3)
    close_and_open(lambda: key("b"), lambda: key("ArrowUp"))
    time.sleep(32)
    visitor.press("End here")
    visitor.words("Begin the lesson")


def heard_again(visitor):
    """15 s of the guided hour's deflation, whose picture moves."""
    visitor.press("Listen first")
    for step in range(1, 6):
        visitor.words(f"Listen first, {step} of")
        visitor.press("Next step")
    visitor.words("A whole deflation")
    visitor.press("Play")
    time.sleep(15)
    visitor.press("Stop")
    visitor.press("Leave")
    visitor.words("Begin the lesson")


def measure(browser, address, what):
    visitor = Visitor(browser, address, (1280, 900))
    visitor.write("Code of the student, never a name", "S-01")
    for part in (drill, heard_again):
        since, busy = time.monotonic(), visitor.busy_s()
        visitor.call("void (played.held = [], played.gaps = [], played.frames = 0)")
        part(visitor)
        long_s = time.monotonic() - since
        held, gaps = sorted(visitor.call("played.held")), visitor.gaps()
        longest = f"{held[-1]:.0f} ms" if held else "none"
        most = f"{held[len(held) * 95 // 100]:.0f} ms" if held else "none"
        print(f"{what}, {part.__name__}: {gaps} gaps in {long_s:.0f} s; thread held {len(held)} times, longest {longest}, 95 % "
              f"within {most}; {visitor.call('played.frames') / long_s:.1f} frames a second, thread busy "
              f"{100 * (visitor.busy_s() - busy) / long_s:.0f} %; {1000 * visitor.call('wasm_bindgen.delay_s()'):.0f} ms from making "
              f"to hearing; load {os.getloadavg()[0]:.1f}", flush=True)
    visitor.over()


def main():
    with chromium() as browser, served(PAGE) as address:
        for _ in range(TRIES):
            measure(browser, PAGE.as_uri(), "file")
            measure(browser, address, "loopback")


if __name__ == "__main__":
    main()
