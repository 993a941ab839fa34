"""Trains the network of pulses: beats.py PARTS SIM OUT SECONDS FROM TO, as `second.py`, on the same sounds.

It is the cue's, of half the width, and says of each step of 20 ms what it was 300 ms before: the log-odds that a pulse sounded,
and that one began; free pulses, those under a cuff that closes or bleeds, all. In one of ten sounds there is none at all.
OUT gets pulses16.pt, which `export.py` brings into the program (docs/signal.md).
"""

import torch
import torch.nn.functional as F

import second
from cue import CueMaker, CueNet, said
from flow import c2
from second import DEVICE, KINDS, V_CURVES, V_SIM

WIDTH, FRONT = 64, (8, 16, 16)
# What it says is about so many steps before: with the steps that are worked out at a time, 400 ms after the frame.
AGO = 15
# This plain (d') a pulse is to be found, this faint it is none; of a long flow the first 0.3 s are the pulse.
PLAIN, NONE, PULSE_S = 5.0, 1.0, 0.3
SILENT = 0.1


def net():
    return CueNet(WIDTH, FRONT)


class PulseMaker(CueMaker):
    """What the network of the cue sees, and where every pulse is."""

    def flow(self, draw, made, v, amp):
        flow, own = super().flow(draw, made, v, amp)
        return flow * c2(~draw.chance(SILENT)), own

    def targets(self, x, on, end, d, occ, dur, beat_s, free):
        free_on, free_end, free_d, known = free
        on, end, d = (torch.cat(pair, 1) for pair in ((on, free_on), (end, free_end), (d, free_d)))
        since, t = (self.step_s[None, None] - on[:, :, None]), self.step_s[None, None]
        there, plain, faint = ((z & (on >= 0))[:, :, None] for z in (d > NONE, d >= PLAIN, (d > NONE) & (d < PLAIN)))
        last = torch.minimum(end, on + PULSE_S)[:, :, None]
        sounds = (plain & (since >= -0.01) & (t < last)).any(1)
        around = there & (since > -0.07) & (t < end[:, :, None] + 0.05)
        begins = (plain & (since.abs() < 0.025)).any(1)
        unsure = (faint & around).any(1)
        inside = (self.frame_s[None, ::2] < dur[:, None]) & (known > 0)[:, None]
        later = lambda z: F.pad(z[:, :-AGO].float(), (AGO, 0))
        scored = later(inside)
        edges = (there & ((since.abs() < 0.07) | ((t - last).abs() < 0.04))).any(1)
        return dict(x=self.features(self.as_loud(x), (dur * 100).long()), inside=self.frame_s[None] < dur[:, None],
                    sounds=later(sounds), begins=later(begins), scored=scored * later(sounds | ~(around.any(1) | unsure)),
                    scored_begins=scored * later(begins | ~(unsure | edges)), on=on, d=d, known=known)


def objective(net, b):
    sounds, begins = said(net, b)
    s = (F.binary_cross_entropy_with_logits(sounds, b["sounds"], reduction="none") * b["scored"]).sum() / b["scored"].sum()
    y = (F.binary_cross_entropy_with_logits(begins, b["begins"], reduction="none") * (1 + 6 * b["begins"]) * b["scored_begins"]).sum() / b["scored_begins"].sum()
    return 3 * s + y, (s, y, s * 0)


@torch.no_grad()
def validate(net, maker, pools):
    """At some log-odds, of each kind: plain pulses (d' of 8) found, and false stretches a minute."""
    net.eval()
    g, step = torch.Generator(device=DEVICE), min(second.BATCH, 40)
    g.manual_seed(77)
    odds, counts = (-1.0, 0.0, 1.0, 2.0, 3.0), torch.zeros(5, 4, 4)
    for kind, of, size in (("curves", pools.kind, min(V_CURVES, pools.filled["curves"])), ("sim", None, min(V_SIM, pools.filled["sim"]))):
        for at in range(0, size, step):
            rows = second.np.arange(at, min(at + step, size))
            b = maker.batch(rows, g, 0, min(second.V_TRACKS, pools.filled["noise"])) if kind == "curves" else maker.simulated(rows, g)
            sounds = said(net, b)[0].masked_fill(~b["inside"][:, ::2], -99)
            sounds = F.pad(sounds[:, AGO:], (0, AGO), value=-99)
            since = maker.step_s[None, None] - b["on"][:, :, None]
            plain, real = (b["d"] >= 8) & (b["on"] >= 0), (b["d"] > NONE) & (b["on"] >= 0)
            heard = (since > -0.05) & (since < PULSE_S)
            beside = (real[:, :, None] & (since > -0.15) & (since < 0.7)).any(1)
            for n, least in enumerate(odds):
                over = sounds > least
                found = ((heard & over[:, None]).any(2) & plain).sum(1)
                wrong = over & ~beside
                false = (wrong[:, 1:] & ~wrong[:, :-1]).sum(1)
                for row, which in enumerate(of[rows] if of is not None else [3] * len(rows)):
                    if b["known"][row]:
                        counts[n, which] += torch.tensor([found[row], plain[row].sum(), false[row], b["inside"][row].sum() / 6000.0])
    net.train()
    rows = [", ".join(f"{kind} {100 * float(c[0] / c[1].clamp(min=1)):.1f} % of {int(c[1])}, {float(c[2] / c[3].clamp(min=0.1)):.2f} a minute" for kind, c in zip(KINDS, of)) for of in counts]
    return "\n  " + "\n  ".join(f"over {least:.0f}: {row}" for least, row in zip(odds, rows))


if __name__ == "__main__":
    second.train(net(), PulseMaker, objective, validate, "pulses16.pt")
