"""Trains the small networks that weigh what the scorer found, and writes their weights.

  judges.py beats ROWS NEAR FAR LATE     candidate beats: is it one? (src/signal/quick/judge.rs)
  judges.py chains ROWS FIRST CUE        which beat of a returned chain was the first; would a cue on a chain
                                         so far be right? (src/signal/quick/choice.rs)
  judges.py confidence OUT CSV...        returns: is it a hit? (the same)

ROWS is written by `cuffnote trial --tuning --material WHAT --out ROWS`: rows of f32, a head of three (beats:
hearing, label, weight; chains: case, label, 0 for a first beat and 1 for a cue), then the traits. CSV is written by `cuffnote trial --tuning
--out CSV`. One hidden layer of 32; a tenth of the cases is held out.
"""

import argparse
import csv
import functools

import jax
import jax.numpy as jnp
import numpy as np

BEAT_TRAITS, START_TRAITS, CUE_TRAITS = 65, 45, 48
EVIDENCE = ["first", "next", "rival", "beats", "margin", "rhythm", "sound", "choice"]
HIDDEN = 32
# What large weights cost, unless the words say otherwise: with too little the few wrong cues are learnt by heart.
SHRINK = 1e-4


def run(p, x):
    return jax.nn.relu(x @ p["entry"] + p["entry_bias"]) @ p["head"] + p["head_bias"]


def shrink(p):
    return SHRINK * (p["entry"] ** 2).sum()


def yes_or_no(p, x, y, w):
    z = run(p, x)
    bce = jnp.maximum(z, 0) - z * y + jnp.log1p(jnp.exp(-jnp.abs(z)))
    return (bce * w).sum() / w.sum() + shrink(p)


def one_of(p, x, y, w):
    """x: groups x members x traits; y: 1 where a member is right; w: 0 where there is no such member."""
    z = jnp.where(w > 0, run(p, x), -1e9)
    right = jax.nn.logsumexp(jnp.where(y > 0, z, -1e9), axis=1) - jax.nn.logsumexp(z, axis=1)
    return -right.mean() + shrink(p)


@functools.partial(jax.jit, static_argnums=0)
def step(loss, p, m, v, n, x, y, w, rate):
    g = jax.grad(functools.partial(loss))(p, x, y, w)
    m = jax.tree.map(lambda a, b: 0.9 * a + 0.1 * b, m, g)
    v = jax.tree.map(lambda a, b: 0.999 * a + 0.001 * b * b, v, g)
    move = lambda q, a, b: q - rate * (a / (1 - 0.9 ** n)) / (jnp.sqrt(b / (1 - 0.999 ** n)) + 1e-8)
    return jax.tree.map(move, p, m, v), m, v


def auc(z, y):
    order = np.argsort(z)
    ranks = np.empty(len(z))
    ranks[order] = np.arange(1, len(z) + 1)
    pos = y.sum()
    return (ranks[y > 0].sum() - pos * (pos + 1) / 2) / (pos * (len(y) - pos))


def fit(loss, x, y, w, steps, batch):
    traits = x.shape[-1]
    chance = np.random.default_rng(1)
    p = {
        "entry": jnp.asarray(chance.normal(size=(traits, HIDDEN)) * np.sqrt(2 / traits)),
        "entry_bias": jnp.zeros(HIDDEN),
        "head": jnp.asarray(chance.normal(size=HIDDEN) * 0.3),
        "head_bias": jnp.zeros(()),
    }
    m, v = jax.tree.map(jnp.zeros_like, p), jax.tree.map(jnp.zeros_like, p)
    for n in range(1, steps + 1):
        pick = chance.integers(len(x), size=batch)
        rate = 5e-3 * 0.5 * (1 + np.cos(np.pi * n / steps)) + 1e-5
        p, m, v = step(loss, p, m, v, n, x[pick], y[pick], w[pick], rate)
    return p


def normed(x):
    centre, scale = x.mean(0), 1.0 / np.maximum(x.std(0), 0.05)
    return centre, scale, lambda x: np.clip((x - centre) * scale, -4, 4)


def write(path, centre, scale, p):
    text = lambda a: "\n".join(" ".join(f"{float(v):.4g}" for v in row) for row in np.atleast_2d(np.asarray(a)))
    with open(path, "w") as file:
        for name, values in [("centre", centre), ("scale", scale)] + list(p.items()):
            file.write(f"{name}\n{text(values)}\n")


def binary(y, w, x, held, path, steps):
    centre, scale, norm = normed(x)
    x = norm(x)
    p = fit(yes_or_no, x[~held], y[~held], w[~held], steps, 4096)
    z, weighty = np.asarray(run(p, x[held])), w[held] == 1
    print(f"{path}: {len(x)} rows, {y.mean():.3f} right; held out: loss {float(yes_or_no(p, x[held], y[held], w[held])):.4f}, "
          f"area under the curve {auc(z[weighty], y[held][weighty]):.4f}, by the first trait alone {auc(x[held][weighty, 0], y[held][weighty]):.4f}")
    write(path, centre, scale, p)


def firsts(rows, path, steps):
    groups = [g for g in np.split(rows, np.flatnonzero(np.diff(rows[:, 0])) + 1) if g[:, 1].any()]
    most, traits = max(len(g) for g in groups), rows.shape[1] - 3
    x, y, w = np.zeros((len(groups), most, traits)), np.zeros((len(groups), most)), np.zeros((len(groups), most))
    centre, scale, norm = normed(rows[:, 3:])
    for i, g in enumerate(groups):
        x[i, :len(g)], y[i, :len(g)], w[i, :len(g)] = norm(g[:, 3:]), g[:, 1], 1
    held = np.array([g[0, 0] // 2 % 10 == 0 for g in groups])
    p = fit(one_of, x[~held], y[~held], w[~held], steps, 256)
    best = lambda z: y[held][np.arange(held.sum()), np.where(w[held] > 0, z, -1e9).argmax(1)].mean()
    # Trait 28 is the place in the chain: 0 is its own beginning.
    begins = -np.abs(x[held][:, :, 28] - norm(np.zeros((1, traits)))[0, 28])
    print(f"{path}: {len(groups)} returns; held out: right {best(np.asarray(run(p, x[held]))):.3f}, the chain's own first beat {best(begins):.3f}")
    write(path, centre, scale, p)


def confidence(paths, path, steps):
    rows = [r for one in paths for r in csv.DictReader(open(one)) if r["return_s"]]
    y = np.array([float(r["verdict"] == "Hit") for r in rows])
    x = np.array([[float(r[name]) for name in EVIDENCE] for r in rows])
    beats = np.maximum(x[:, 3:4], 1)
    x[:, 5:7] /= beats
    x[:, 3], x[:, 4] = np.minimum(x[:, 3], 10), np.minimum(x[:, 4], 40)
    binary(y, np.ones(len(y)), x, np.arange(len(y)) % 10 == 0, path, steps)


def main():
    global SHRINK
    ap = argparse.ArgumentParser()
    ap.add_argument("what", choices=["beats", "chains", "confidence"])
    ap.add_argument("files", nargs="+")
    ap.add_argument("--steps", type=int, default=3000)
    ap.add_argument("--shrink", type=float, default=SHRINK)
    a = ap.parse_args()
    SHRINK = a.shrink
    if a.what == "confidence":
        return confidence(a.files[1:], a.files[0], min(a.steps, 1000))
    traits = BEAT_TRAITS if a.what == "beats" else CUE_TRAITS
    rows = np.fromfile(a.files[0], dtype="<f4").reshape(-1, 3 + traits).astype(np.float64)
    if a.what == "chains":
        firsts(rows[rows[:, 2] == 0][:, :3 + START_TRAITS], a.files[1], a.steps)
        moments = rows[rows[:, 2] == 1]
        held = moments[:, 0] // 2 % 10 == 0  # every other case is a stranger: both kinds
        return binary(moments[:, 1], np.ones(len(moments)), moments[:, 3:], held, a.files[2], a.steps)
    for hearing, path in [(1, a.files[1]), (0, a.files[2]), (2, a.files[3])]:
        one = rows[rows[:, 0] == hearing]
        binary(one[:, 1], one[:, 2], one[:, 3:], np.arange(len(one)) >= 0.9 * len(one), path, a.steps)


if __name__ == "__main__":
    main()
