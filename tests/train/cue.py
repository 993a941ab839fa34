"""Trains the network of the cue: cue.py PARTS SIM OUT SECONDS FROM TO, as `second.py`, on the same sounds.

It knows only the past: at each step of 20 ms the log-odds that a pulse came back, 80 ms after its first opening began at the soonest.
OUT gets cue16.pt, which `export.py` brings into the program (docs/signal.md).
"""

import torch
import torch.nn as nn
import torch.nn.functional as F

import second
from flow import FRAMES, TRACE, Maker
from network import WIDTH, bend
from second import DEVICE, V_CURVES, V_SIM

# How far apart the three taps of each block are, steps: together they look back over 41 s.
DILATIONS = (1, 2, 4, 8, 16, 32, 64, 128, 256, 512, 1, 8, 64)
# Frames of the means, frames between looks, looks in which the least is sought, and the share of the slow mean that stays from look to look.
BESIDE, EVERY, LOOKS, STAYS = 15, 5, 60, 0.99375
# What is loud in this sound falls by so much a frame, natural log of power.
FALLS = 0.0003
# A step is 20 ms; what it says is about 40 ms before its middle. It has heard 37 ms after its middle.
AGO_S, HEARD_S = 0.04, 0.037
LEAST = 1e-12


class Block(nn.Module):
    def __init__(self, width, apart):
        super().__init__()
        self.norm, self.a, self.b, self.apart = nn.LayerNorm(width), nn.Linear(3 * width, width), nn.Linear(width, width), apart

    def forward(self, h, inside):
        y = self.norm(h) * inside
        y = y.bfloat16() if y.is_cuda else y
        z, n = F.pad(y, (0, 0, 2 * self.apart, 0)), y.shape[1]
        return h + self.b(bend(self.a(torch.cat([z[:, :n], z[:, self.apart:self.apart + n], y], 2))))


class CueNet(nn.Module):
    """The convolutions over bands and time of `network.Net`, then residual blocks, all of the past alone."""

    def __init__(self, width=WIDTH, front=(16, 24, 32)):
        super().__init__()
        a, b, c = front
        self.c1, self.c2 = nn.Conv2d(4, a, (5, 5), (2, 1)), nn.Conv2d(a, b, (5, 3), (2, 1))
        self.c3, self.enter = nn.Conv2d(b, c, (3, 3), (2, 1)), nn.Conv1d(c * 8, width, 4, 2)
        self.blocks = nn.ModuleList([Block(width, d) for d in DILATIONS])
        self.norm, self.heads = nn.LayerNorm(width), nn.Linear(width, 2)

    def forward(self, x, inside):
        """x: B x 4 x 60 x T, T even; inside: B x T. Log-odds at each step that a pulse came back, and that one begins."""
        h = bend(self.c1(F.pad(x, (4, 0, 2, 2))))
        h = bend(self.c2(F.pad(h, (2, 0, 2, 2))))
        h = bend(self.c3(F.pad(h, (2, 0, 1, 1))))
        h = self.enter(F.pad(h.flatten(1, 2), (2, 0))).transpose(1, 2).float().contiguous()
        mask = inside[:, ::2, None].to(h.dtype)
        for block in self.blocks:
            h = block(h, mask)
        back, begins = self.heads(self.norm(h)).float().unbind(2)
        return back, begins


def causal_mean(x, n):
    """Of the last n along time; before the first, the first."""
    return F.avg_pool1d(F.pad(x, (n - 1, 0), mode="replicate"), n, 1)


class CueMaker(Maker):
    """What the cue's network sees: levels over what was heard until then."""

    def __init__(self, device, pools):
        super().__init__(device, pools)
        looks = torch.arange(FRAMES // EVERY, device=device).float()
        far = looks[:, None] - looks[None]
        kept = torch.where(far >= 0, STAYS ** far.clamp(min=0), torch.zeros_like(far))
        self.slow = (kept / kept.sum(1, keepdim=True)).T.contiguous()

    def features(self, x, n):
        """As `reference.features_of_cue` makes it in NumPy. x in full scale; p and q are powers, a full-scale sine 1."""
        p = self.power(x, 256, self.w256, 3, 123) / 4096
        p = F.avg_pool1d(p.transpose(1, 2), 2, 2).transpose(1, 2)
        q = self.power(x, 512, self.w512, 6, 246) / 4096 + 4 * LEAST
        level = torch.log(p + LEAST)
        mean = causal_mean(level, BESIDE)
        looks = mean[:, :, ::EVERY]
        least = -F.max_pool1d(F.pad(-looks, (LOOKS - 1, 0), value=-1e4), LOOKS, 1)
        slow = looks @ self.slow
        held = lambda z: z.repeat_interleave(EVERY, 2)
        rises = torch.arange(FRAMES, device=x.device) * FALLS
        loud = (causal_mean(level.mean(1, keepdim=True), 5) + rises).cummax(2).values - rises
        beside = F.avg_pool1d(q.transpose(1, 2), 21, 1, 10, count_include_pad=False).transpose(1, 2)
        tone = torch.log(F.max_pool1d((q / beside).transpose(1, 2), 4, 4).transpose(1, 2) + 1e-3)
        rows = [(level - held(least)).clamp(-4, 10) / 3, (level - held(slow)).clamp(-6, 8) / 3, (level - loud).clamp(-10, 4) / 3, tone.clamp(-2, 3) / 1.5]
        z = torch.stack(rows, 1)
        inside = torch.arange(FRAMES, device=self.device)[None] < n[:, None]
        return torch.where(inside[:, None, None], z, torch.zeros_like(z))

    def as_loud(self, x):
        """As it may come, in full scale: the level was drawn with the rounding to 16 bits, and is drawn anew here."""
        return x * 10 ** (-torch.rand(len(x), 1, device=x.device) * 1.9) / (x.abs().amax(1, keepdim=True) + 1e-9)

    def targets(self, x, on, end, d, occ, dur, beat_s, free):
        b = super().targets(self.as_loud(x), on, end, d, occ, dur, beat_s, free)
        t, ok = self.step_s[None], on >= 0
        first = torch.where(b["right"] & (d >= TRACE), on, torch.full_like(on, 1e3)).amin(1)
        any_trace = torch.where(ok & (d >= TRACE), on, torch.full_like(on, 1e3)).amin(1)
        ref = torch.where(b["has"], b["ref_s"], torch.full_like(b["ref_s"], 1e3))
        back = (t >= ref[:, None] + AGO_S).float()
        before = t < torch.where(b["has"], first, any_trace)[:, None]
        none = ~b["has"] & (b["sure"] > 0)
        scored = before | (back > 0) | none[:, None]
        weight = torch.where(before & (t > occ[:, None]) & b["has"][:, None], 2.0, 1.0) + 3.0 * ((back > 0) & (t < ref[:, None] + 2.5)) - 0.5 * (t > ref[:, None] + 2.5)
        inside = self.frame_s[None, ::2] < dur[:, None]
        later = lambda z: F.pad(z[:, :-2], (2, 0))
        return dict(x=b["x"], inside=b["inside"], back=back, weight=weight * scored * inside, y=later(b["y"]), scored=later(b["scored"]) * inside,
                    has=b["has"], none=none, first=torch.minimum(first, ref), ref=ref)


def said(net, b):
    with torch.autocast(DEVICE.split(":")[0], dtype=torch.bfloat16, enabled=DEVICE != "cpu"):
        return net(b["x"], b["inside"])


def objective(net, b):
    back, begins = said(net, b)
    o = (F.binary_cross_entropy_with_logits(back, b["back"], reduction="none") * b["weight"]).sum() / b["weight"].sum()
    y = (F.binary_cross_entropy_with_logits(begins, b["y"], reduction="none") * (1 + 6 * b["y"]) * b["scored"]).sum() / b["scored"].sum()
    return 3 * o + y, (o, y, o * 0)


@torch.no_grad()
def validate(net, maker, pools):
    """At some log-odds: early and false (of each kind), missed, and how long after the first plain opening (median, 95 %)."""
    net.eval()
    g, step, rows_of = torch.Generator(device=DEVICE), min(second.BATCH, 40), []
    g.manual_seed(77)
    for kind, of, size in (("curves", pools.kind, min(V_CURVES, pools.filled["curves"])), ("sim", None, min(V_SIM, pools.filled["sim"]))):
        for at in range(0, size, step):
            rows = second.np.arange(at, min(at + step, size))
            b = maker.batch(rows, g, 0, min(second.V_TRACKS, pools.filled["noise"])) if kind == "curves" else maker.simulated(rows, g)
            back = said(net, b)[0].masked_fill(~b["inside"][:, ::2], -99)
            which = torch.from_numpy(of[rows]).to(DEVICE) if of is not None else torch.full((len(rows),), 3, device=DEVICE)
            rows_of.append((back.cummax(1).values, which, b["has"], b["none"], b["first"], b["ref"]))
    net.train()
    out = []
    for odds in (2.0, 3.0, 4.0, 5.0, 6.0):
        early, false, of, none, missed, waits = [0] * 4, [0] * 4, [0] * 4, [0] * 4, 0, []
        for top, which, has, nothing, first, ref in rows_of:
            over = top > odds
            at = torch.where(over.any(1), maker.step_s[over.float().argmax(1)] + HEARD_S, torch.full_like(ref, 1e3))
            for k in range(4):
                z = which == k
                early[k] += int((z & has & (at < first)).sum()); of[k] += int((z & has).sum())
                false[k] += int((z & nothing & (at < 900)).sum()); none[k] += int((z & nothing).sum())
            missed += int((has & (at > 900)).sum())
            waits += (at - ref)[has & (at < 900) & (at >= first)].tolist()
        q = second.np.quantile(waits, [0.5, 0.95]) if waits else (0, 0)
        out.append(f"over {odds:.0f}: early {early} of {of}, false {false} of {none}, missed {missed}, {q[0]:.2f} / {q[1]:.2f} s")
    return "\n  " + "\n  ".join(out)


if __name__ == "__main__":
    second.train(CueNet(), CueMaker, objective, validate, "cue16.pt")
