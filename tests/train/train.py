"""Trains the frame scorer of src/signal/scorer.rs and writes src/signal/weights.txt.

Input: a file written by `cuffnote trial --features FILE`: for each case a header of two little-endian
u32 (frames, features), then frames x features i16 (value x 1000), then frames x u8 labels:
bit 0 pulse sounding, bit 1 pulse begins, bit 2 do not score, bit 3 counts more.
The network here must equal the one in scorer.rs: entry layer, six dilated residual blocks, three heads.
"""

import argparse
import functools

import jax
import jax.numpy as jnp
import numpy as np

DILATIONS = [1, 2, 4, 8, 16, 32]
TAPS, NEAR, FAR = 3, 8, 40


def read(path):
    raw = np.fromfile(path, dtype=np.uint8)
    at, cases = 0, []
    while at < len(raw):
        frames, features = raw[at:at + 8].view("<u4")
        at += 8
        size = int(frames) * int(features) * 2
        x = raw[at:at + size].view("<i2").reshape(frames, features)
        at += size
        cases.append((x, raw[at:at + frames]))
        at += int(frames)
    return cases


def start(key, features, width):
    keys = iter(jax.random.split(key, 32))
    he = lambda shape, fan: jax.random.normal(next(keys), shape) * np.sqrt(2.0 / fan)
    p = {"entry": he((features, width), features), "entry_bias": jnp.zeros(width)}
    p["block"] = [0.5 * he((TAPS, width, width), TAPS * width) for _ in DILATIONS]
    p["block_bias"] = [jnp.zeros(width) for _ in DILATIONS]
    p["head"] = 0.3 * he((3, width), width)
    p["head_bias"] = jnp.array([-2.0, -2.0, -3.0])
    return p


def forward(p, x):
    """x: batch x time x features, normalised -> batch x time x 3 log-odds (delays not removed)."""
    h = jax.nn.relu(x @ p["entry"] + p["entry_bias"])
    for dilation, w, b in zip(DILATIONS, p["block"], p["block_bias"]):
        total = b
        for tap in range(TAPS):
            back = (TAPS - 1 - tap) * dilation
            moved = jnp.pad(h, ((0, 0), (back, 0), (0, 0)))[:, :h.shape[1], :]
            total = total + moved @ w[tap]
        h = h + jax.nn.relu(total)
    return h @ p["head"].T + p["head_bias"]


def loss(p, x, labels):
    z = forward(p, x)
    skip = 128  # the network's memory is not filled yet
    total = 0.0
    for head, delay, bit in [(0, NEAR, 1), (1, FAR, 1), (2, FAR, 2)]:
        zz, lab = z[:, delay:, head][:, skip:], labels[:, :-delay][:, skip:]
        y = ((lab & bit) > 0).astype(jnp.float32)
        w = jnp.where((lab & 4) > 0, 0.0, 1.0) * jnp.where((lab & 8) > 0, 3.0, 1.0)
        bce = jnp.maximum(zz, 0) - zz * y + jnp.log1p(jnp.exp(-jnp.abs(zz)))
        total = total + (bce * w).sum() / w.sum()
    return total


@functools.partial(jax.jit, donate_argnums=(0, 1))
def step(p, state, x, labels, rate):
    value, g = jax.value_and_grad(loss)(p, x, labels)
    m, v, n = state
    n = n + 1
    m = jax.tree.map(lambda a, b: 0.9 * a + 0.1 * b, m, g)
    v = jax.tree.map(lambda a, b: 0.999 * a + 0.001 * b * b, v, g)
    move = lambda q, a, b: q - rate * (a / (1 - 0.9 ** n)) / (jnp.sqrt(b / (1 - 0.999 ** n)) + 1e-8)
    return jax.tree.map(move, p, m, v), (m, v, n), value


def batch(chance, cases, mean, scale, count, length):
    xs, ys = [], []
    while len(xs) < count:
        x, y = cases[chance.integers(len(cases))]
        if len(x) < length:
            continue
        at = chance.integers(len(x) - length + 1)
        xs.append((x[at:at + length] * 0.001 - mean) * scale)
        ys.append(y[at:at + length])
    return jnp.asarray(np.stack(xs), jnp.float32), jnp.asarray(np.stack(ys).astype(np.int32))


def write(path, p, mean, scale):
    rows = lambda a: "\n".join(" ".join(f"{v:.4g}" for v in row) for row in np.atleast_2d(a))
    out = [("centre", mean), ("scale", scale), ("entry", p["entry"]), ("entry_bias", p["entry_bias"])]
    for w, b in zip(p["block"], p["block_bias"]):
        out += [("block", np.asarray(w).reshape(-1, w.shape[-1])), ("block_bias", b)]
    for w, b in zip(p["head"], p["head_bias"]):
        out += [("head", w), ("head_bias", [b])]
    with open(path, "w") as file:
        for name, values in out:
            file.write(f"{name}\n{rows(np.asarray(values))}\n")


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("features")
    ap.add_argument("weights")
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--steps", type=int, default=3000)
    ap.add_argument("--width", type=int, default=24)
    ap.add_argument("--batch", type=int, default=48)
    ap.add_argument("--length", type=int, default=1024)
    a = ap.parse_args()
    cases = read(a.features)
    held, cases = cases[::20], [c for i, c in enumerate(cases) if i % 20]
    sample = np.concatenate([x[::50] for x, _ in cases]) * 0.001
    mean, scale = sample.mean(0), 1.0 / np.maximum(sample.std(0), 0.05)
    p = start(jax.random.key(a.seed), len(mean), a.width)
    zero = jax.tree.map(jnp.zeros_like, p)
    state = (zero, jax.tree.map(jnp.zeros_like, p), 0)
    chance = np.random.default_rng(a.seed)
    check = batch(np.random.default_rng(0), held, mean, scale, 96, a.length)
    running = None
    for n in range(a.steps):
        rate = 3e-3 * min(1.0, (n + 1) / 100) * 0.5 * (1 + np.cos(np.pi * n / a.steps)) + 2e-5
        x, y = batch(chance, cases, mean, scale, a.batch, a.length)
        p, state, value = step(p, state, x, y, rate)
        running = float(value) if running is None else 0.98 * running + 0.02 * float(value)
        if n % 200 == 0 or n == a.steps - 1:
            print(f"step {n}: training {running:.4f}, held out {float(loss(p, *check)):.4f}", flush=True)
            write(a.weights, jax.tree.map(np.asarray, p), mean, scale)


if __name__ == "__main__":
    main()
