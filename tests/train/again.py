"""A training's state out of the weights that the program ships, to go on from: again.py STATE.pt.

The shipped numbers are in half precision and in `export.py`'s order; the optimizer's memory is not among them.
"""

import pathlib
import sys

import numpy as np
import torch

from export import LANES
from network import Net


class Reader:
    def __init__(self, data):
        self.data, self.at = data, 0

    def numbers(self, *shape):
        n = int(np.prod(shape))
        self.at += n
        return self.data[self.at - n:self.at].reshape(shape)

    def product(self, inputs, outputs):
        """Weights, inputs x outputs, and biases."""
        blocks = [self.numbers(inputs, min(LANES, outputs - at)) for at in range(0, outputs, LANES)]
        return np.concatenate(blocks, 1), self.numbers(outputs)


def read(data):
    r, w = Reader(data), {}

    def pair(name, weight, bias):
        w[name + ".weight"], w[name + ".bias"] = weight, bias

    for name, (frames, bands, channels, outputs) in dict(c1=(5, 5, 4, 16), c2=(3, 5, 16, 24), c3=(3, 3, 24, 32)).items():
        k, bias = r.product(frames * bands * channels, outputs)
        pair(name, k.reshape(frames, bands, channels, outputs).transpose(3, 2, 1, 0), bias)
    k, bias = r.product(4 * 8 * 32, 128)
    pair("enter", k.reshape(4, 8, 32, 128).transpose(3, 2, 1, 0).reshape(128, 256, 4), bias)

    def linear(name, inputs, outputs):
        k, bias = r.product(inputs, outputs)
        pair(name, k.T, bias)

    for group, blocks in enumerate((6, 5, 4)):
        for n in range(blocks):
            name = f"blocks.{group}.{n}."
            pair(name + "norm", r.numbers(128), r.numbers(128))
            linear(name + "a", 384, 128)
            linear(name + "b", 128, 128)
    for n in range(2):
        pair(f"look.{n}.norm", r.numbers(128), r.numbers(128))
        linear(f"look.{n}.qkv", 128, 384)
        linear(f"look.{n}.out", 128, 128)
    pair("norm", r.numbers(128), r.numbers(128))
    heads, bias = r.numbers(6, 128), r.numbers(6)
    for name, rows in dict(onset=slice(0, 1), pointer=slice(1, 2), heed=slice(2, 6)).items():
        pair(name, heads[rows], bias[rows])
    pair("any", r.numbers(1, 512), r.numbers(1))
    assert r.at == len(data), (r.at, len(data))
    return {name: torch.from_numpy(np.ascontiguousarray(value)) for name, value in w.items()}


def main():
    shipped = pathlib.Path(__file__).resolve().parents[2] / "src/signal/second/weights.f16"
    net = Net()
    missing = net.load_state_dict(read(np.frombuffer(shipped.read_bytes(), "<f2").astype(np.float32)), strict=False)
    assert all(name.endswith(".turns") for name in missing.missing_keys) and not missing.unexpected_keys, missing
    state = net.state_dict()
    torch.save(dict(net=state, ema={k: v.clone() for k, v in state.items()}, step=17_209), sys.argv[1])


if __name__ == "__main__":
    main()
