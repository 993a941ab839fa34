"""What the networks must see and say, worked out in NumPy and PyTorch: reference.py second16.pt (or cue16.pt, pulses16.pt), or reference.py second16.pt WAV...

Without sounds it writes `tests/reference/second.txt` (or `cue.txt`, `pulses.txt`), against which the program's own loops are tested. With sounds
it prints what the network of second hearing says of each, in the form that `listen --json` has.
"""

import json
import pathlib
import sys

import numpy as np
import torch
from scipy import signal
from scipy.io import wavfile
from scipy.ndimage import minimum_filter1d, uniform_filter1d

import beats
from cue import BESIDE, EVERY, FALLS, LEAST, LOOKS, STAYS, CueNet
from network import WIDTH, Net

HOP, MOST = 80, 4_600
# Frames without sound after the end, for pulses.
AFTER_END = 64
# The program's frames are centred on sample 80 t + 128.
OFFSET = 128


def power(x, n, low, high, frames):
    """Power of each bin, frame by frame, centred on 80 t + OFFSET; zeros before the sound, and behind it."""
    padded = np.pad(x.astype(np.float64), (n // 2, n))
    window = np.hanning(n + 1)[:-1] * 4 / 256
    cut = np.lib.stride_tricks.sliding_window_view(padded, n)[OFFSET::HOP][:frames] * window
    return np.abs(np.fft.rfft(cut, axis=1)[:, low:high].T) ** 2


def features(x):
    """4 x 60 x T from sound at 8 kHz; the same as `flow.Maker.features`, save where frames lie."""
    frames = min((len(x) - 256) // HOP + 1, (len(x) - 384) // HOP + 1)
    p, q = power(x, 256, 3, 123, frames), power(x, 512, 6, 246, frames)
    first = max(frames % 4, frames - MOST)
    p, q = p.reshape(60, 2, -1).mean(1)[:, first:], q[:, first:]
    return of_power(p, q), first


def of_power(p, q):
    e = p.mean(0)
    mean = e.mean() + 1e-20
    level = np.log(p / mean + 1e-6)
    some = np.where((e > 1e-5 * mean)[::7][None], level[:, ::7], np.nan)
    base = np.nan_to_num(np.nanquantile(some, 0.3, axis=1, keepdims=True))
    high = np.nan_to_num(np.nanquantile(some.mean(0), 0.9))
    near = minimum_filter1d(uniform_filter1d(level, 15, axis=1, mode="nearest"), 101, axis=1, mode="nearest")
    q = q / mean + 4e-6
    tone = np.log((q / beside(q)).reshape(60, 4, -1).max(1) + 1e-3)
    rows = [(level - base).clip(-4, 10) / 3, (level - near).clip(-4, 10) / 3, (level - high).clip(-10, 4) / 3, tone.clip(-2, 3) / 1.5]
    return np.stack(rows).astype(np.float32)


def beside(q):
    """Mean of each fine bin's neighbourhood of 21."""
    sums, i = np.concatenate([np.zeros((1, q.shape[1])), np.cumsum(q, 0)]), np.arange(240)
    a, b = np.maximum(i - 10, 0), np.minimum(i + 11, 240)
    return (sums[b] - sums[a]) / (b - a)[:, None]


def features_of_cue(x):
    """4 x 60 x T from sound at 8 kHz, frame by frame, each from the past alone; the same as `cue.CueMaker.features`."""
    frames = (len(x) - 384) // HOP + 1
    p, q = power(x, 256, 3, 123, frames).reshape(60, 2, -1).mean(1), power(x, 512, 6, 246, frames) + 4 * LEAST
    level = np.log(p + LEAST)
    tone = np.log((q / beside(q)).reshape(60, 4, -1).max(1) + 1e-3)
    before = np.concatenate([np.repeat(level[:, :1], BESIDE - 1, 1), level], 1)
    rows, looks, loud, slow, held = [], [], -np.inf, 0, 0
    for t in range(frames):
        if t % EVERY == 0:
            looks.append(before[:, t:t + BESIDE].mean(1))
            least = np.min(looks[-LOOKS:], 0)
            slow, held = slow * STAYS + looks[-1], held * STAYS + 1
        loud = max(loud - FALLS, before[:, t + BESIDE - 5:t + BESIDE].mean())
        now = level[:, t]
        rows.append([(now - least).clip(-4, 10) / 3, (now - slow / held).clip(-6, 8) / 3, (now - loud).clip(-10, 4) / 3, tone[:, t].clip(-2, 3) / 1.5])
    return np.array(rows).transpose(1, 2, 0).astype(np.float32)[:, :, :frames // 2 * 2]


def load(path):
    given = torch.load(path, map_location="cpu")
    if "heads.weight" in given:
        net = CueNet() if given["heads.weight"].shape[1] == WIDTH else beats.net()
        net.load_state_dict({k: v.float() for k, v in given.items()})
        return net.eval()
    net = Net()
    # The turns of attention are no weights: they are worked out, not read in half precision.
    held = {k: v.float() for k, v in torch.load(path, map_location="cpu").items() if not k.endswith(".turns")}
    net.load_state_dict(held, strict=False)
    return net.eval()


@torch.no_grad()
def said(net, x):
    z = torch.from_numpy(x)[None]
    onset, pointer, some = net(z, torch.ones(1, z.shape[3], dtype=torch.bool))
    return onset[0].numpy(), pointer[0].numpy(), float(some[0])


def pointed(pointer):
    """Step and share of the pulse pointed at: shares are summed over 100 ms."""
    share = np.exp(pointer - pointer.max())
    share /= share.sum()
    wide = np.convolve(share, np.ones(5), "same")
    step = int(np.argmax(wide / 5 + 1e-3 * share))
    return step, float(wide[step]), wide


def heard(net, path):
    rate, x = wavfile.read(path)
    x = x.astype(np.float32) / 32768
    x = x.mean(1) if x.ndim > 1 else x
    x = signal.resample_poly(x, 8000, rate) if rate != 8000 else x
    z, first = features(x)
    onset, pointer, some = said(net, z)
    step, share, _ = pointed(pointer)
    at_s = (first * HOP + 160 * step + 168) / 8000
    return dict(file=str(path), return_s=at_s if some > 0 else None, cue_s=None, some=round(some, 3), share=round(share, 3), at_s=at_s)


def sound():
    """Noise with beats that stop and return, of whole-number arithmetic: the same in Rust."""
    n = np.arange(8_000 * 12)
    noise = ((n * 7919 + n * n % 1009 * 31) % 2001 - 1000) / 2000
    t = n / 8000
    beats = (np.mod(t, 0.8) < 0.15) & ((t < 4) | (t > 8))
    return (0.02 * noise + 0.4 * beats * noise * np.sin(2 * np.pi * 700 * t)).astype(np.float32)


def features_line(z, frame):
    return f"features {frame} " + " ".join(f"{v:.5f}" for v in z[:, ::11, frame].ravel())


@torch.no_grad()
def write(net):
    """What is seen and said of that sound, for the test in Rust."""
    name = "second"
    if isinstance(net, CueNet):
        name, head = ("cue", "back") if net.heads.in_features == WIDTH else ("pulses", "sounds")
        z = features_of_cue(sound())
        after = AFTER_END if name == "pulses" else 0
        inside = torch.arange(z.shape[2] + after)[None] < z.shape[2]
        is_, begins = net(torch.from_numpy(np.pad(z, ((0, 0), (0, 0), (0, after))))[None], inside)
        lines = [features_line(z, frame) for frame in range(0, z.shape[2], 97)]
        lines += [line + " " + " ".join(f"{v:.5f}" for v in row[0].numpy()) for line, row in ((head, is_), ("begins", begins))]
    else:
        z, first = features(sound())
        onset, pointer, some = said(net, z)
        lines = [f"first {first}", f"some {some:.6f}"] + [features_line(z, frame) for frame in range(0, z.shape[2], 97)]
        lines += [name + " " + " ".join(f"{v:.5f}" for v in row) for name, row in (("onset", onset), ("pointer", pointer))]
    to = pathlib.Path(__file__).resolve().parent.parent / "reference" / (name + ".txt")
    to.write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    the_net = load(sys.argv[1])
    if len(sys.argv) == 2:
        write(the_net)
    for path in sys.argv[2:]:
        print(json.dumps(heard(the_net, path)), flush=True)
