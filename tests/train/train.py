"""Trains the frame scorer of src/signal/quick/scorer.rs and writes src/signal/quick/weights.txt.

Input: files written by `cuffnote trial --material frames`, one to train on and one (other sounds) to watch: for each case a header of two little-endian
u32 (frames, features), then frames x features i16 (value x 1000), then frames x u8 labels:
bit 0 pulse sounding, bit 1 pulse begins, bit 2 do not score, bit 3 counts more.
The network here must equal the one in scorer.rs: entry layer, eight dilated residual blocks, four heads.
Training begins at the weights that are there (`--anew`: at chance).
"""

import argparse
import functools

import jax
import jax.numpy as jnp
import numpy as np

DILATIONS = [1, 2, 4, 8, 16, 32, 64, 128]
TAPS, NEAR, FAR, LATE = 3, 8, 40, 280
HEADS = [(NEAR, 1), (FAR, 1), (FAR, 2), (LATE, 1)]  # frames of delay, bit of the label
MEMORY = 256  # frames until the network has heard enough to be held to its word


def read(path):
    raw = np.memmap(path, dtype=np.uint8, mode="r")
    at, cases = 0, []
    while at < len(raw):
        frames, features = (int(v) for v in raw[at:at + 8].view("<u4"))
        at += 8
        size = frames * features * 2
        if at + size + frames > len(raw):
            break  # written to until now
        x = raw[at:at + size].view("<i2").reshape(frames, features)
        at += size
        labels = raw[at:at + frames]
        at += frames
        cases.append((x, labels))
    return cases


def ended(x, y):
    """A sound ends, and the listener then hears nothing (zeros) until its delay has passed."""
    return np.pad(x, ((0, LATE + 8), (0, 0))), np.pad(y, (0, LATE + 8))


def start(key, features, width):
    keys = iter(jax.random.split(key, 32))
    he = lambda shape, fan: jax.random.normal(next(keys), shape) * np.sqrt(2.0 / fan)
    p = {"entry": he((features, width), features), "entry_bias": jnp.zeros(width)}
    p["block"] = [0.5 * he((TAPS, width, width), TAPS * width) for _ in DILATIONS]
    p["block_bias"] = [jnp.zeros(width) for _ in DILATIONS]
    p["head"] = 0.3 * he((len(HEADS), width), width)
    p["head_bias"] = jnp.array([-2.0, -2.0, -3.0, -2.0])
    return p


def read_weights(path):
    """The shipped file back as parameters, and its centre and scale."""
    sections = []
    for line in open(path):
        if line[0].isalpha():
            sections.append((line.strip(), []))
        else:
            sections[-1][1].append([float(v) for v in line.split()])
    of = lambda name: [jnp.asarray(np.array(rows, np.float32)) for n, rows in sections if n == name]
    width = of("entry")[0].shape[1]
    p = {"entry": of("entry")[0], "entry_bias": of("entry_bias")[0][0]}
    p["block"] = [b.reshape(TAPS, width, width) for b in of("block")]
    p["block_bias"] = [b[0] for b in of("block_bias")]
    p["head"] = jnp.concatenate(of("head"))
    p["head_bias"] = jnp.concatenate([b[0] for b in of("head_bias")])
    return p, np.asarray(of("centre")[0][0]), np.asarray(of("scale")[0][0])


def forward(p, x):
    """x: batch x time x features, normalised -> batch x time x 4 log-odds (delays not removed)."""
    h = jax.nn.relu(x @ p["entry"] + p["entry_bias"])
    for dilation, w, b in zip(DILATIONS, p["block"], p["block_bias"]):
        total = b
        for tap in range(TAPS):
            back = (TAPS - 1 - tap) * dilation
            moved = jnp.pad(h, ((0, 0), (back, 0), (0, 0)))[:, :h.shape[1], :]
            total = total + moved @ w[tap]
        h = h + jax.nn.relu(total)
    return h @ p["head"].T + p["head_bias"]


def losses(p, x, labels):
    z = forward(p, x)
    each = []
    for head, (delay, bit) in enumerate(HEADS):
        first = max(MEMORY, delay)
        zz, lab = z[:, first:, head], labels[:, first - delay:-delay]
        y = ((lab & bit) > 0).astype(jnp.float32)
        w = jnp.where((lab & 4) > 0, 0.0, 1.0) * jnp.where((lab & 8) > 0, 3.0, 1.0)
        bce = jnp.maximum(zz, 0) - zz * y + jnp.log1p(jnp.exp(-jnp.abs(zz)))
        each.append((bce * w).sum() / w.sum())
    return each


def loss(p, x, labels):
    return sum(losses(p, x, labels))


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
        x, y = ended(*cases[chance.integers(len(cases))])
        if len(x) < length:
            continue
        # Mostly around the closed time and the first beats after it.
        matters = np.flatnonzero(y & 8) if chance.random() < 0.7 else []
        middle = matters[chance.integers(len(matters))] if len(matters) else chance.integers(len(x))
        at = int(np.clip(middle - chance.integers(length), 0, len(x) - length))
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
    ap.add_argument("held")
    ap.add_argument("weights")
    ap.add_argument("--seed", type=int, default=1)
    ap.add_argument("--steps", type=int, default=3000)
    ap.add_argument("--width", type=int, default=32)
    ap.add_argument("--batch", type=int, default=22)
    ap.add_argument("--length", type=int, default=1536)
    ap.add_argument("--rate", type=float, default=3e-3)
    ap.add_argument("--anew", action="store_true")
    a = ap.parse_args()
    cases, held = read(a.features), read(a.held)
    print(f"{len(cases)} cases to train on, {len(held)} held out", flush=True)
    if a.anew:
        sample = np.concatenate([x[::50] for x, _ in cases]) * 0.001
        mean, scale = sample.mean(0), 1.0 / np.maximum(sample.std(0), 0.05)
        p = start(jax.random.key(a.seed), len(mean), a.width)
    else:
        p, mean, scale = read_weights(a.weights)
    zero = jax.tree.map(jnp.zeros_like, p)
    state = (zero, jax.tree.map(jnp.zeros_like, p), 0)
    chance = np.random.default_rng(a.seed)
    check = batch(np.random.default_rng(0), held, mean, scale, 192, a.length)
    running = None
    for n in range(a.steps):
        rate = a.rate * min(1.0, (n + 1) / 100) * 0.5 * (1 + np.cos(np.pi * n / a.steps)) + 2e-5
        x, y = batch(chance, cases, mean, scale, a.batch, a.length)
        p, state, value = step(p, state, x, y, rate)
        running = float(value) if running is None else 0.98 * running + 0.02 * float(value)
        if n % 250 == 0 or n == a.steps - 1:
            each = " ".join(f"{float(v):.4f}" for v in losses(p, *check))
            print(f"step {n}: training {running:.4f}, held out {each}", flush=True)
            write(a.weights, jax.tree.map(np.asarray, p), mean, scale)


if __name__ == "__main__":
    main()
