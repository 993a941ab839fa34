"""Trains the two judges of src/signal/evidence.rs and writes their weights.

Input: a file written by `cuffnote trial --beats FILE`: rows of f32: near (1) or far (0), label, weight,
then the traits. One hidden layer; every tenth row is held out.
"""

import argparse
import functools

import jax
import jax.numpy as jnp
import numpy as np

TRAITS, HIDDEN = 55, 16


def run(p, x):
    return jax.nn.relu(x @ p["entry"] + p["entry_bias"]) @ p["head"] + p["head_bias"]


def loss(p, x, y, w):
    z = run(p, x)
    bce = jnp.maximum(z, 0) - z * y + jnp.log1p(jnp.exp(-jnp.abs(z)))
    return (bce * w).sum() / w.sum() + 1e-4 * (p["entry"] ** 2).sum()


@functools.partial(jax.jit)
def step(p, m, v, n, x, y, w, rate):
    g = jax.grad(loss)(p, x, y, w)
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


def train(rows, path, steps):
    y, w, x = rows[:, 1], rows[:, 2], rows[:, 3:]
    centre, scale = x.mean(0), 1.0 / np.maximum(x.std(0), 0.05)
    x = np.clip((x - centre) * scale, -4, 4)
    held = np.arange(len(x)) % 10 == 0
    chance = np.random.default_rng(1)
    p = {
        "entry": jnp.asarray(chance.normal(size=(TRAITS, HIDDEN)) * np.sqrt(2 / TRAITS)),
        "entry_bias": jnp.zeros(HIDDEN),
        "head": jnp.asarray(chance.normal(size=HIDDEN) * 0.3),
        "head_bias": jnp.zeros(()),
    }
    m = jax.tree.map(jnp.zeros_like, p)
    v = jax.tree.map(jnp.zeros_like, p)
    train_x, train_y, train_w = x[~held], y[~held], w[~held]
    for n in range(1, steps + 1):
        pick = chance.integers(len(train_x), size=4096)
        rate = 5e-3 * 0.5 * (1 + np.cos(np.pi * n / steps)) + 1e-5
        p, m, v = step(p, m, v, n, train_x[pick], train_y[pick], train_w[pick], rate)
    z, weighty = np.asarray(run(p, x[held])), w[held] == 1
    print(f"{path}: {len(x)} candidates, {y.mean():.2f} beats; held out: loss {float(loss(p, x[held], y[held], w[held])):.4f}, "
          f"area under the curve {auc(z[weighty], y[held][weighty]):.4f}, by height alone {auc(x[held][weighty, 0], y[held][weighty]):.4f}")
    text = lambda a: "\n".join(" ".join(f"{float(v):.4g}" for v in row) for row in np.atleast_2d(np.asarray(a)))
    with open(path, "w") as file:
        for name, values in [("centre", centre), ("scale", scale)] + list(p.items()):
            file.write(f"{name}\n{text(values)}\n")


def main():
    ap = argparse.ArgumentParser()
    ap.add_argument("beats")
    ap.add_argument("near")
    ap.add_argument("far")
    ap.add_argument("--steps", type=int, default=3000)
    a = ap.parse_args()
    rows = np.fromfile(a.beats, dtype="<f4").reshape(-1, 3 + TRAITS).astype(np.float64)
    train(rows[rows[:, 0] == 1], a.near, a.steps)
    train(rows[rows[:, 0] == 0], a.far, a.steps)


if __name__ == "__main__":
    main()
