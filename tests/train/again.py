"""A training's state out of the weights that the program ships, to go on from: again.py STATE.pt [second|cue|pulses].

The shipped numbers are in half precision and in `export.py`'s order; the optimizer's memory is not among them.
"""

import pathlib
import sys

import numpy as np
import torch

import beats
from cue import DILATIONS, CueNet
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


class Weights:
    """The shipped numbers of one network by PyTorch's names, read in `export.py`'s order."""

    def __init__(self, network):
        shipped = pathlib.Path(__file__).resolve().parents[2] / "src/signal" / network / "weights.f16"
        self.reader, self.named = Reader(np.frombuffer(shipped.read_bytes(), "<f2").astype(np.float32)), {}

    def pair(self, name, weight, bias):
        self.named[name + ".weight"], self.named[name + ".bias"] = weight, bias

    def linear(self, name, inputs, outputs):
        k, bias = self.reader.product(inputs, outputs)
        self.pair(name, k.T, bias)

    def norm(self, name, width=128):
        self.pair(name, self.reader.numbers(width), self.reader.numbers(width))

    def front(self, width=128, of=(16, 24, 32)):
        a, b, c = of
        for name, (frames, bands, channels, outputs) in dict(c1=(5, 5, 4, a), c2=(3, 5, a, b), c3=(3, 3, b, c)).items():
            k, bias = self.reader.product(frames * bands * channels, outputs)
            self.pair(name, k.reshape(frames, bands, channels, outputs).transpose(3, 2, 1, 0), bias)
        k, bias = self.reader.product(4 * 8 * c, width)
        self.pair("enter", k.reshape(4, 8, c, width).transpose(3, 2, 1, 0).reshape(width, 8 * c, 4), bias)

    def block(self, name, width=128):
        self.norm(name + "norm", width)
        self.linear(name + "a", 3 * width, width)
        self.linear(name + "b", width, width)

    def all(self):
        assert self.reader.at == len(self.reader.data), (self.reader.at, len(self.reader.data))
        return {name: torch.from_numpy(np.ascontiguousarray(value)) for name, value in self.named.items()}


def second():
    w = Weights("second")
    w.front()
    for group, blocks in enumerate((6, 5, 4)):
        for n in range(blocks):
            w.block(f"blocks.{group}.{n}.")
    for n in range(2):
        w.norm(f"look.{n}.norm")
        w.linear(f"look.{n}.qkv", 128, 384)
        w.linear(f"look.{n}.out", 128, 128)
    w.norm("norm")
    heads, bias = w.reader.numbers(6, 128), w.reader.numbers(6)
    for name, rows in dict(onset=slice(0, 1), pointer=slice(1, 2), heed=slice(2, 6)).items():
        w.pair(name, heads[rows], bias[rows])
    w.pair("any", w.reader.numbers(1, 512), w.reader.numbers(1))
    return w.all()


def causal(name, width=128, front=(16, 24, 32)):
    w = Weights(name)
    w.front(width, front)
    for n in range(len(DILATIONS)):
        w.block(f"blocks.{n}.", width)
    w.norm("norm", width)
    w.pair("heads", w.reader.numbers(2, width), w.reader.numbers(2))
    return w.all()


def main():
    name = sys.argv[2] if sys.argv[2:] else "second"
    makes = dict(second=lambda: (Net(), second()), cue=lambda: (CueNet(), causal("cue")),
                 pulses=lambda: (beats.net(), causal("pulses", beats.WIDTH, beats.FRONT)))
    net, weights = makes[name]()
    missing = net.load_state_dict(weights, strict=False)
    assert all(name.endswith(".turns") for name in missing.missing_keys) and not missing.unexpected_keys, missing
    state = net.state_dict()
    torch.save(dict(net=state, ema={k: v.clone() for k, v in state.items()}, step=17_209), sys.argv[1])


if __name__ == "__main__":
    main()
