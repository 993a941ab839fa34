"""Puts the page for browsers together: template, bindings and program in one file that asks for nothing else.

The program is packed by gzip; the browser unpacks it (DecompressionStream: Chromium 80, Firefox 113, Safari 16.4; from memory).
"""

import base64
import gzip
import sys
from pathlib import Path

template, bindings, program, out = map(Path, sys.argv[1:5])
script = bindings.read_text()
assert "</script" not in script, "the bindings would end their own element"
page = template.read_text()
for place, text in [
    ("/*BINDINGS*/", script),
    ("/*PROGRAM*/", base64.b64encode(gzip.compress(program.read_bytes(), 9, mtime=0)).decode()),
]:
    assert page.count(place) == 1, place
    before, after = page.split(place)
    page = before + text + after
out.parent.mkdir(parents=True, exist_ok=True)
out.write_text(page)
megabytes = out.stat().st_size / 1e6
print(f"{out}: {megabytes:.1f} MB, program {program.stat().st_size / 1e6:.1f} MB")
assert megabytes < 12, "the page is too large for what was promised"
