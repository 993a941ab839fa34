"""A copy of the program whose networks have weights of eight bits: precision.py CUFFNOTE TO.

Each output of a layer gets one scale, its weights are rounded to 127 steps to both sides of zero; biases and norms stay in half
precision. The numbers are found in the program by the bytes of `weights.f16` and replaced there, so that nothing is built anew
and both programs can be held against each other in one run (docs/signal.md). The arithmetic stays in single precision: this tells
what eight bits cost in accuracy, not what they gain in speed.
"""

import pathlib
import sys

import numpy as np

LANES = 16
FRONT = ((100, 16), (240, 24), (216, 32), (1024, 128))
BLOCK = (("norm", 256), (384, 128), (128, 128))
LOOK = (("norm", 256), (128, 384), (128, 128))
LAYOUTS = dict(
    second=[*FRONT, *BLOCK * 6, *BLOCK * 5, *BLOCK * 4, *LOOK * 2, ("norm", 256), ("rows", 6, 128), ("norm", 6), ("rows", 1, 512), ("norm", 1)],
    cue=[*FRONT, *BLOCK * 13, ("norm", 256), ("rows", 2, 128), ("norm", 2)],
)


def rounded(weights, axis):
    """To eight bits, one scale along the other axis."""
    scale = np.maximum(np.abs(weights).max(axis, keepdims=True), 1e-12) / 127
    return np.round(weights / scale) * scale


def eight_bits(name, data):
    """The weights of a network, every product's rounded."""
    numbers, at = np.frombuffer(data, "<f2").astype(np.float32), 0
    numbers = numbers.copy()

    def piece(n):
        nonlocal at
        at += n
        return numbers[at - n:at]

    for one in LAYOUTS[name]:
        if one[0] == "norm":
            piece(one[1])
        elif one[0] == "rows":
            rows = piece(one[1] * one[2]).reshape(one[1:])
            rows[:] = rounded(rows, 1)
        else:
            inputs, outputs = one
            for first in range(0, outputs, LANES):
                block = piece(inputs * min(LANES, outputs - first)).reshape(inputs, -1)
                block[:] = rounded(block, 0)
            piece(outputs)
    assert at == len(numbers), (name, at, len(numbers))
    return numbers.astype("<f2").tobytes()


def main():
    program, to = map(pathlib.Path, sys.argv[1:3])
    found = program.read_bytes()
    for name in LAYOUTS:
        data = (pathlib.Path(__file__).resolve().parents[2] / "src/signal" / name / "weights.f16").read_bytes()
        assert found.count(data) == 1, f"{program} does not hold {name}'s weights once"
        found = found.replace(data, eight_bits(name, data))
    to.write_bytes(found)
    to.chmod(0o755)


if __name__ == "__main__":
    main()
