"""Makes parts for training while it runs: parts.py BANK.npz OUT SECONDS [WORKERS].

Each worker writes chunks: noise tracks (`rooms.py`) as int16 at 8 kHz, curves of flow (`pulses.py`) as int16 at 250 Hz,
and what is known of them as JSON, which is written last. `second.py` reads and deletes them. Worker k has seed FIRST_SEED + k,
so the same number of chunks of a worker is always the same; how many there are depends on the machine.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import json
import pathlib
import sys
import time
from multiprocessing import Process

import numpy as np

import pulses
import rooms

# At first as fast as the cores can, then so many noise tracks a second in all, so that there is room for other work.
FIRST_SEED = int(os.environ.get("FIRST_SEED", 170_000))
HURRY_S, TRACKS_A_SECOND = float(os.environ.get("HURRY_S", 25)), float(os.environ.get("TRACKS", 60))


def chunk(rng, bank, tracks, curves_each, faults):
    """Tracks and curves of one chunk."""
    noise, kinds, curves, known = [], [], [], []
    for _ in range(tracks):
        x, kind = rooms.track(rng, bank, pulses.SECONDS * rooms.RATE)
        noise.append(np.clip(x * 16_000, -32_767, 32_767).astype(np.int16))
        kinds.append(kind)
        for _ in range(curves_each):
            try:
                made = pulses.one(rng)
            except (ValueError, IndexError, FloatingPointError) as fault:
                faults.append(repr(fault))
                continue
            if made is not None:
                curves.append(np.clip(made[0] * 4096, -32_767, 32_767).astype(np.int16))
                known.append(made[1])
    return np.stack(noise), np.stack(curves), dict(meta=known, kinds=kinds)


def work(k, workers, bank_path, out, seconds, began):
    rng, bank, faults, n = np.random.default_rng(FIRST_SEED + k), rooms.load(bank_path), [], 0
    while time.time() - began < seconds:
        start = time.time()
        noise, curves, known = chunk(rng, bank, 6 if n == 0 else 30, 8 if n == 0 else 4, faults)
        name = f"{out}/c{k}_{n}"
        np.save(name + ".noise.npy", noise)
        np.save(name + ".curves.npy", curves)
        pathlib.Path(name + ".part").write_text(json.dumps(known))
        os.rename(name + ".part", name + ".json")
        n += 1
        if time.time() - began > HURRY_S:
            time.sleep(max(0.0, min(workers * 30 / TRACKS_A_SECOND - (time.time() - start), began + seconds - time.time())))
    print(k, "chunks", n, "faults", len(faults), faults[:2], flush=True)


def main():
    bank_path, out, seconds = sys.argv[1], sys.argv[2], float(sys.argv[3])
    workers = int(sys.argv[4]) if len(sys.argv) > 4 else os.cpu_count()
    os.makedirs(out, exist_ok=True)
    began = time.time()
    all_ = [Process(target=work, args=(k, workers, bank_path, out, seconds, began)) for k in range(workers)]
    for process in all_:
        process.start()
    for process in all_:
        process.join()


if __name__ == "__main__":
    main()
