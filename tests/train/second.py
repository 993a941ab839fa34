"""Trains the network of second hearing: second.py PARTS SIM OUT SECONDS FROM TO.

PARTS is a folder that `parts.py` fills meanwhile; SIM a folder of files from `cuffnote trial --tuning --material sounds`
(none: no such sounds). Trains for SECONDS of wall time, the learning rate's schedule going from share FROM to share TO of a half cosine;
from FROM > 0 on it goes on where the run before stopped
(on the same machine, or from START, a state.pt, and MEMORY, an optimizer.pt). OUT gets second16.pt: the mean of the weights over the last thousand steps.
Settings by environment: SEED, DEV, BATCH, TRACKS_HELD, CURVES_HELD, SIM_HELD, NEED (tracks before it begins), LR.
"""

import glob
import json
import math
import os
import pathlib
import struct
import sys
import time

import numpy as np
import torch
import torch.nn.functional as F

from flow import HEARD, LENGTH, MOST, MOST_FREE, Maker
from network import Net

# Several accelerators train side by side, each on sounds of its own, and take the mean of their weights every so many steps (`torchrun`).
TOGETHER = 50
RANK, WORLD = int(os.environ.get("RANK", 0)), int(os.environ.get("WORLD_SIZE", 1))
DEVICE = os.environ.get("DEV", f"cuda:{RANK}" if WORLD > 1 else "cuda")
setting = lambda name, least: int(os.environ.get(name, least))
BATCH, TRACKS_HELD, CURVES_HELD, SIM_HELD = setting("BATCH", 52), setting("TRACKS_HELD", 14_000), setting("CURVES_HELD", 60_000), setting("SIM_HELD", 9_000)
NEED, STATE = setting("NEED", 3_000), os.environ.get("STATE", "/tmp/second.pt")
# Kept apart for validation.
V_TRACKS, V_CURVES, V_SIM = setting("V_TRACKS", 48), setting("V_CURVES", 240), setting("V_SIM", 160)
KINDS = ("artery", "burst", "never closed", "simulator")
SHARES = (0.15, 0.23, 0.18, 0.44)


class Pools:
    """Parts held on the accelerator; new ones replace the oldest, those for validation stay."""

    def __init__(self, parts, sim):
        at = dict(device=DEVICE)
        self.parts, self.sims, self.seen, self.files, self.chance = parts, sim, {}, {}, np.random.default_rng(12)
        self.noise = torch.zeros(TRACKS_HELD, LENGTH, dtype=torch.int16, **at)
        self.curves = torch.zeros(CURVES_HELD, 3, LENGTH // 32, dtype=torch.int16, **at)
        self.on, self.end = (torch.full((CURVES_HELD, MOST), -1.0, **at) for _ in range(2))
        self.occ, self.dur, self.beat, self.make = (torch.zeros(CURVES_HELD, **at) for _ in range(4))
        self.kind = np.full(CURVES_HELD, -1)
        self.sim = torch.zeros(SIM_HELD, LENGTH, dtype=torch.int16, **at)
        self.s_on, self.s_end = (torch.full((SIM_HELD, MOST), -1.0, **at) for _ in range(2))
        self.s_d, (self.s_occ, self.s_dur, self.s_beat) = torch.zeros(SIM_HELD, MOST, **at), (torch.zeros(SIM_HELD, **at) for _ in range(3))
        self.free_on, self.free_end = (torch.full((CURVES_HELD, MOST_FREE), -1.0, **at) for _ in range(2))
        self.s_free_on, self.s_free_end = (torch.full((SIM_HELD, MOST_FREE), -1.0, **at) for _ in range(2))
        self.s_free_d, self.s_free_known = torch.zeros(SIM_HELD, MOST_FREE, **at), torch.zeros(SIM_HELD, **at)
        self.filled = dict(noise=0, curves=0, sim=0)
        self.next = dict(noise=0, curves=0, sim=0)

    def slot(self, name, held, kept):
        i = self.next[name]
        self.filled[name] = max(self.filled[name], i + 1)
        self.next[name] = i + 1 if i + 1 < held else kept
        return i

    def poll(self, most):
        """Takes in up to `most` new chunks; deletes those that every trainer has had time to read."""
        got = 0
        for path in sorted(glob.glob(self.parts + "/c*.json"), key=age):
            name = path[:-5]
            if path in self.seen:
                if RANK == 0 and time.time() - self.seen[path] > 60:
                    for ending in (".json", ".noise.npy", ".curves.npy"):
                        pathlib.Path(name + ending).unlink(missing_ok=True)
                continue
            if got >= most:
                break
            self.seen[path], got = time.time(), got + 1
            try:
                known = json.load(open(path))["meta"]
                noise, curves = np.load(name + ".noise.npy"), np.load(name + ".curves.npy")
            except FileNotFoundError:      # another trainer was sooner
                continue
            self.take(torch.from_numpy(noise), torch.from_numpy(curves), known)
        self.poll_sim()

    def take(self, noise, curves, known):
        for x in noise:
            self.noise[self.slot("noise", TRACKS_HELD, V_TRACKS)] = x.to(DEVICE)
        to = [self.slot("curves", CURVES_HELD, V_CURVES) for _ in known]
        self.kind[to] = [one["type"] for one in known]
        at = torch.tensor(to, device=DEVICE)
        self.curves[at] = curves.to(DEVICE)
        for name, most, onsets, ends in (("pulses", MOST, self.on, self.end), ("free", MOST_FREE, self.free_on, self.free_end)):
            on, end = np.full((len(to), most), -1, np.float32), np.full((len(to), most), -1, np.float32)
            for i, one in enumerate(known):
                for j, (a, b) in enumerate(one[name][:most]):
                    on[i, j], end[i, j] = a, min(b, a + 0.5) + 0.03
            onsets[at], ends[at] = torch.from_numpy(on).to(DEVICE), torch.from_numpy(end).to(DEVICE)
        make = [0 if one["type"] == 0 or one.get("artery") else 1 for one in known]
        for row, values in ((self.occ, [o["occ"] for o in known]), (self.dur, [o["dur"] for o in known]), (self.beat, [o["rr"] for o in known]), (self.make, make)):
            row[at] = torch.tensor([float(v) for v in values], device=DEVICE)

    def poll_sim(self):
        """Reads on in the simulator's files: length and JSON, length and samples, again and again."""
        for path in sorted(glob.glob(self.sims + "/*.sounds")) if self.sims != "none" else []:
            with open(path, "rb") as file:
                file.seek(self.files.get(path, 0))
                data = file.read(120_000_000)
            at = 0
            while at + 4 <= len(data):
                m = struct.unpack_from("<I", data, at)[0]
                if at + 8 + m > len(data):
                    break
                n = struct.unpack_from("<I", data, at + 4 + m)[0]
                if at + 8 + m + 2 * n > len(data):
                    break
                self.take_sim(json.loads(data[at + 4:at + 4 + m]), np.frombuffer(data, "<i2", n, at + 8 + m))
                at += 8 + m + 2 * n
            self.files[path] = self.files.get(path, 0) + at

    def take_sim(self, known, x):
        x, pulses = self.heard_until(known, x)
        skip = max(0, len(x) - LENGTH + 80)
        skip_s = skip / 8000
        # The closure may lie before what is kept, a pulse of the return may not.
        if any(a < skip_s + 0.1 for a, _, plain in pulses if plain > 1):
            return
        i, x = self.slot("sim", SIM_HELD, V_SIM), x[skip:]
        self.sim[i] = 0
        self.sim[i, :len(x)] = torch.from_numpy(x.copy()).to(DEVICE)
        pulses = [p for p in pulses if p[0] > skip_s]
        free = pulses[MOST:] + [(a, min(b, skip_s + len(x) / 8000), d) for a, b, d in known["free"] or [] if a < skip_s + len(x) / 8000 - 0.1]
        for told, most, onsets, ends, plains in ((pulses, MOST, self.s_on, self.s_end, self.s_d), (free, MOST_FREE, self.s_free_on, self.s_free_end, self.s_free_d)):
            on, end, d = (torch.full((most,), -1.0), torch.full((most,), -1.0), torch.zeros(most))
            for j, (a, b, plain) in enumerate([p for p in told if p[0] > skip_s][:most]):
                on[j], end[j], d[j] = a - skip_s, b - skip_s, plain
            onsets[i], ends[i], plains[i] = on.to(DEVICE), end.to(DEVICE), d.to(DEVICE)
        self.s_free_known[i] = float(known["free"] is not None)
        self.s_occ[i], self.s_dur[i], self.s_beat[i] = max(0.0, known["closed_s"] - skip_s), len(x) / 8000, known["beat_s"]

    def heard_until(self, known, x):
        """Half of the sounds are heard only until a moment at which the program might ask, and no more than their last 46 s are kept."""
        pulses = known["pulses"]
        plain = [a for a, _, d in pulses if d >= HEARD]
        if self.chance.random() < 0.5:
            return x, pulses
        end_s = plain[0] + self.chance.uniform(2, 12) if plain else self.chance.uniform(known["closed_s"] + 2, max(known["closed_s"] + 3, len(x) / 8000))
        return x[:int(end_s * 8000)], [(a, min(b, end_s), d) for a, b, d in pulses if a < end_s - 0.1]


@torch.no_grad()
def averaged(net, *more):
    """All accelerators go on from the mean of their weights."""
    held = [p for p in net.parameters()] + [v for state in more for v in state.values() if v.dtype.is_floating_point]
    flat = torch.cat([p.reshape(-1).float() for p in held])
    torch.distributed.all_reduce(flat)
    for p, mean in zip(held, (flat / WORLD).split([p.numel() for p in held])):
        p.copy_(mean.view_as(p))


def agreed(step, go_on):
    """Whether all go on: the first one's clock decides, whenever they meet."""
    if WORLD == 1:
        return go_on
    if step % TOGETHER:
        return True
    word = torch.tensor(float(go_on), device=DEVICE)
    torch.distributed.broadcast(word, 0)
    return bool(word)


def age(path):
    try:
        return os.path.getmtime(path)
    except OSError:
        return 0.0


def losses(net, b):
    with torch.autocast(DEVICE.split(":")[0], dtype=torch.bfloat16, enabled=DEVICE != "cpu"):
        onset, pointer, some = net(b["x"], b["inside"])
    has = b["has"].float()
    o = (F.binary_cross_entropy_with_logits(onset, b["y"], reduction="none") * (1 + 6 * b["y"]) * b["scored"]).sum() / b["scored"].sum()
    share = torch.where(b["weight"] > 0, pointer + torch.log(b["weight"].clamp(min=1e-3)), torch.full_like(pointer, -1e4))
    p = -((torch.logsumexp(share, 1) - torch.logsumexp(pointer, 1)) * has).sum() / has.sum().clamp(min=1)
    s = (F.binary_cross_entropy_with_logits(some, has, reduction="none") * b["sure"]).sum() / b["sure"].sum().clamp(min=1)
    return o, p, s, pointer, some


def objective(net, b):
    o, p, s = losses(net, b)[:3]
    return 3 * o + p + s, (o, p, s)


def joined(a, b):
    return {name: torch.cat([a[name], b[name]]) for name in a}


def draw(pools, rng, sizes):
    of = [np.flatnonzero(pools.kind[V_CURVES:pools.filled["curves"]] == k) + V_CURVES for k in range(3)]
    return np.concatenate([rng.choice(rows, n) for rows, n in zip(of, sizes)])


def batch(maker, pools, rng, g):
    sims = int(round(BATCH * SHARES[3])) if pools.filled["sim"] > V_SIM + 200 else 0
    rest = BATCH - sims
    never = int(round(rest * SHARES[2] / sum(SHARES[:3])))
    artery = int(round(rest * SHARES[0] / sum(SHARES[:3])))
    b = maker.batch(draw(pools, rng, (artery, rest - never - artery, never)), g, V_TRACKS, pools.filled["noise"])
    return joined(b, maker.simulated(rng.integers(V_SIM, pools.filled["sim"], sims), g)) if sims else b


@torch.no_grad()
def counted(net, maker, pools):
    """Of the sounds kept apart, a row for each kind: hits, early, missed, how many returns; false, how many without one."""
    net.eval()
    g, counts, step = torch.Generator(device=DEVICE), np.zeros((4, 6), int), min(BATCH, 40)
    g.manual_seed(77)
    for kind, of, size in (("curves", pools.kind, min(V_CURVES, pools.filled["curves"])), ("sim", None, min(V_SIM, pools.filled["sim"]))):
        for at in range(0, size, step):
            rows = np.arange(at, min(at + step, size))
            b = maker.batch(rows, g, 0, min(V_TRACKS, pools.filled["noise"])) if kind == "curves" else maker.simulated(rows, g)
            pointer, some = losses(net, b)[3:]
            share = F.avg_pool1d(torch.softmax(pointer, 1)[:, None], 5, 1, 2)[:, 0]
            t = maker.step_s[share.argmax(1)]
            right = (((t[:, None] - b["on"]).abs() < 0.15) & b["right"]).any(1) & b["has"]
            early = b["has"] & ~right & (t < b["ref_s"])
            yes, sure = some > 0, b["sure"] > 0
            which = torch.from_numpy(of[rows]).to(DEVICE) if of is not None else torch.full((len(rows),), 3, device=DEVICE)
            for k in range(4):
                z = which == k
                counts[k] += np.array([int(q.sum()) for q in (z & right & yes, z & early & yes, z & b["has"] & ~yes, z & b["has"], z & sure & ~b["has"] & yes, z & sure & ~b["has"])])
    net.train()
    return counts


def validate(net, maker, pools):
    """What was counted, as a line."""
    counts = counted(net, maker, pools)
    return "; ".join(f"{name}: hit {c[0]}/{c[3]} early {c[1]} missed {c[2]} false {c[4]}/{c[5]}" for name, c in zip(KINDS, counts))


def rate(share, step, since):
    peak = float(os.environ.get("LR", "1e-3"))
    return peak * min(1, (step + 1) / 400, (since + 1) / 150) * (0.02 + 0.98 * (0.5 + 0.5 * math.cos(math.pi * min(1, share))))


def save(to, ema):
    kept = {k: v.half() if v.dtype.is_floating_point else v for k, v in ema.items()}
    torch.save(kept, to + ".part")
    os.replace(to + ".part", to)


def train(net, make, objective, validate, name):
    """Trains this network on what `make` makes of the parts; OUT gets NAME, the mean weights in half precision."""
    began = time.time()
    parts, sim, out, seconds, from_, to = *sys.argv[1:4], *map(float, sys.argv[4:7])
    if DEVICE != "cpu":
        torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = torch.backends.cudnn.benchmark = True
    if WORLD > 1:
        if DEVICE != "cpu":
            torch.cuda.set_device(RANK)
        torch.distributed.init_process_group("nccl" if DEVICE != "cpu" else "gloo")
    torch.manual_seed(1)
    own = setting("SEED", 5) + int(from_ * 1000)
    rng, g = np.random.default_rng([own, RANK]), torch.Generator(device=DEVICE)
    g.manual_seed(1000 * (own + 1) + RANK)
    pools, net = Pools(parts, sim), net.to(DEVICE)
    maker = make(DEVICE, pools)
    optimizer, step = torch.optim.AdamW(net.parameters(), 1e-3, weight_decay=0.02, betas=(0.9, 0.98)), 0
    ema = {k: v.clone() for k, v in net.state_dict().items()}
    if from_ > 0:
        held = torch.load(STATE if os.path.exists(STATE) else os.environ["START"], map_location=DEVICE, **({} if torch.__version__ < "2" else dict(weights_only=False)))
        net.load_state_dict(held["net"])
        memory = held.get("optimizer") or os.environ.get("MEMORY") and torch.load(os.environ["MEMORY"], map_location=DEVICE)
        if memory:
            optimizer.load_state_dict(memory)
        ema, step = {k: v.to(ema[k].dtype) for k, v in held["ema"].items()}, held["step"]
    while pools.filled["noise"] < NEED and time.time() - began < 120:
        pools.poll(40)
        time.sleep(0.3)
    start, first, last, sums, n = time.time(), step, time.time(), torch.zeros(4, device=DEVICE), 0
    print("parameters", sum(p.numel() for p in net.parameters()), pools.filled, f"after {start - began:.0f} s", flush=True)
    net.train()
    while agreed(step, time.time() < began + seconds):
        share = from_ + (to - from_) * (time.time() - start) / max(1e-3, began + seconds - start)
        for group in optimizer.param_groups:
            group["lr"] = rate(share, step, step - first if from_ > 0 else step)
        # Where several train, all read at the same step, so that none waits for another.
        if step % TOGETHER == 0 if WORLD > 1 else time.time() - last > 3:
            pools.poll(20)
            last = time.time()
        with torch.no_grad():
            b = batch(maker, pools, rng, g)
        loss, these = objective(net, b)
        optimizer.zero_grad(set_to_none=True)
        loss.backward()
        norm = torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0)
        step += 1
        if bool(torch.isfinite(norm)):
            optimizer.step()
        else:
            print("skipped", step, flush=True)
        with torch.no_grad():
            keep, now = min(0.999, step / (step + 30.0)), net.state_dict()
            floats = [k for k, v in ema.items() if v.dtype.is_floating_point]
            torch._foreach_mul_([ema[k] for k in floats], keep)
            torch._foreach_add_([ema[k] for k in floats], [now[k] for k in floats], alpha=1 - keep)
            sums, n = sums + torch.stack([*these, norm]).detach().float(), n + 1
        if WORLD > 1 and step % TOGETHER == 0:
            averaged(net)
        if RANK == 0 and (step in (20, 100) or step % 250 == 0):
            memory = 0 if DEVICE == "cpu" else torch.cuda.max_memory_allocated() / 2 ** 30
            said = validate(net, maker, pools) if step % 1000 == 0 else ""
            print(step, f"{time.time() - start:.0f} s, {(step - first) / (time.time() - start):.2f} a second, {memory:.0f} GiB", pools.filled,
                  [round(float(q) / max(n, 1), 4) for q in sums], said, flush=True)
            sums, n = sums * 0, 0
        if RANK == 0 and step % 500 == 0:
            save(f"{out}/{name}", ema)
    if WORLD > 1:
        averaged(net, ema)
    if RANK > 0:
        return
    save(f"{out}/{name}", ema)
    torch.save(dict(net=net.state_dict(), optimizer=optimizer.state_dict(), ema=ema, step=step), STATE)
    torch.save(dict(net=net.state_dict(), ema=ema, step=step), f"{out}/state.pt")
    torch.save(optimizer.state_dict(), f"{out}/optimizer.pt")
    net.load_state_dict(ema)
    print("mean weights", step, validate(net, maker, pools), f"{time.time() - began:.0f} s", flush=True)


if __name__ == "__main__":
    train(Net(), Maker, objective, validate, "second16.pt")
