"""The examiner's sounds as `cuffnote trial --made` takes them: examiner.py FROM TO.

FROM is what its `score.py make` wrote: NAME.wav, and NAME.json with `case` and `pulses`, which are the openings after the closure.
TO gets links to the sounds, and of each the truth: the stratum as the scenario, the first pulse with d' of 8 or more and another
within two beats as the one that is heard (its own reference). Cases that it leaves unscored are left out.
"""

import json
import os
import pathlib
import sys

import numpy as np

HEARD = 8.0


def reference(pulses):
    for i, pulse in enumerate(pulses):
        if pulse["d"] >= HEARD and any(later["d"] >= HEARD for later in pulses[i + 1:i + 3]):
            return i
    return None


def truth(known):
    """None where the examiner scores nothing."""
    case, pulses = known["case"], known["pulses"]
    none, at = bool(case.get("no_return")), reference(pulses)
    if not none and (at is None or len(pulses) - at < 3):
        return None
    heard = None if none else pulses[at]
    beats = np.diff([pulse["onset_s"] for pulse in pulses[at or 0:][:6]])
    closed_s = known["occluded_from_s"]
    audible = dict(audible_s=heard and heard["onset_s"], audible_mmhg=heard and heard["cuff_mmhg"])
    return dict(
        scenario=case["stratum"], heart_rate_bpm=60.0 / float(np.median(beats)) if len(beats) else 60.0,
        openings=[] if none else [dict(onset_s=p["onset_s"], cuff_mmhg=p["cuff_mmhg"], d_prime=p["d"]) for p in pulses],
        inflations=[dict(closed_s=closed_s, top_s=closed_s, audible_s=audible["audible_s"])], **audible)


def main():
    from_, to = map(pathlib.Path, sys.argv[1:3])
    to.mkdir(parents=True, exist_ok=True)
    for sound in sorted(from_.glob("*.wav")):
        told = truth(json.loads(sound.with_suffix(".json").read_text()))
        if told:
            (to / sound.name).unlink(missing_ok=True)
            os.link(sound, to / sound.name)
            (to / sound.with_suffix(".json").name).write_text(json.dumps(told))


if __name__ == "__main__":
    main()
