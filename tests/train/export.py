"""Writes the trained weights as the program reads them: export.py second16.pt, or cue16.pt, or pulses16.pt.

Half-precision numbers in the order in which `src/signal/second/weights.rs` and `src/signal/causal/mod.rs` read them: of each product
blocks of 16 outputs (the last may be of 8), in a block the weights of one input after the other, then the biases. Then the checksum
beside it.
"""

import hashlib
import pathlib
import sys

import numpy as np
import torch

from cue import DILATIONS
from network import WIDTH

LANES = 16


def product(weight, bias):
    """weight: inputs x outputs."""
    blocks = [weight[:, at:at + LANES].ravel() for at in range(0, weight.shape[1], LANES)]
    return [*blocks, bias]


def front(w):
    """The convolutions over bands and time, and what brings them to steps."""
    out = []
    for name in ("c1", "c2", "c3"):      # outputs x channels x bands x frames: a row's inputs are frames, bands, channels
        k = w[name + ".weight"].transpose(3, 2, 1, 0)
        out += product(k.reshape(-1, k.shape[3]), w[name + ".bias"])
    k = w["enter.weight"]                # outputs x (channel, band) x taps: a row's inputs are taps, bands, channels
    k = k.reshape(k.shape[0], -1, 8, 4).transpose(3, 2, 1, 0)
    return out + product(k.reshape(-1, k.shape[3]), w["enter.bias"])


def linear(w, name):
    return product(w[name + ".weight"].T, w[name + ".bias"])


def norm(w, name):
    return [w[name + ".weight"], w[name + ".bias"]]


def block(w, name):
    return norm(w, name + "norm") + linear(w, name + "a") + linear(w, name + "b")


def second(w):
    out = front(w)
    for group, blocks in enumerate((6, 5, 4)):
        for n in range(blocks):
            out += block(w, f"blocks.{group}.{n}.")
    for n in range(2):
        out += norm(w, f"look.{n}.norm") + linear(w, f"look.{n}.qkv") + linear(w, f"look.{n}.out")
    heads = np.concatenate([w["onset.weight"], w["pointer.weight"], w["heed.weight"]])
    biases = np.concatenate([w["onset.bias"], w["pointer.bias"], w["heed.bias"]])
    return out + norm(w, "norm") + [heads.ravel(), biases, w["any.weight"].ravel(), w["any.bias"]]


def cue(w):
    out = front(w)
    for n in range(len(DILATIONS)):
        out += block(w, f"blocks.{n}.")
    return out + norm(w, "norm") + [w["heads.weight"].ravel(), w["heads.bias"]]


def main():
    w = {k: v.float().numpy() for k, v in torch.load(sys.argv[1], map_location="cpu").items()}
    name = "second" if "heads.weight" not in w else "cue" if w["heads.weight"].shape[1] == WIDTH else "pulses"
    out = second(w) if name == "second" else cue(w)
    data = np.concatenate([np.ravel(x) for x in out]).astype("<f2").tobytes()
    to = pathlib.Path(__file__).resolve().parents[2] / "src/signal" / name
    (to / "weights.f16").write_bytes(data)
    (to / "weights.sha256").write_text(hashlib.sha256(data).hexdigest() + "\n")
    print(len(data), "bytes", hashlib.sha256(data).hexdigest())


if __name__ == "__main__":
    main()
