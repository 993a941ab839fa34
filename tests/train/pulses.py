"""Flow for training, as curves at 250 Hz: velocity or shape, flow amplitude, noise of the hand. Three makes.

`artery`: an artery under a cuff conducts while its pressure exceeds the cuff's (the physics of a simulator that was
written apart from `src/sim`). `burst`: flow that no simulated artery made, of drawn shape, length, growth and rhythm.
`never_closed`: a pulse that no cuff ever closed: free, lifted and put back, covered, or squeezed too little; nothing
returns there, since nothing was lost. The sound is made from the curves by `flow.py`, anew at every use.
Told of each are the `pulses` that came back after a closure, and all others as `free`: onset and end, seconds.
"""

import numpy as np
from scipy import signal

from rooms import lay, logu

SECONDS, HZ = 46, 250
COUNT = SECONDS * HZ
FINE = 1000
MOST, MOST_FREE = 40, 96


def intervals(rng, rhythm, beat_s, seconds):
    """Onsets of beats, seconds."""
    now, onsets, phase, uneven = rng.uniform(0, beat_s), [], rng.uniform(0, 6), rng.uniform(0.005, 0.07)
    while now < seconds:
        onsets.append(now)
        if rhythm == "fibrillation":
            step = np.clip(rng.gamma(rng.choice([12, 14, 25]), beat_s / 16), 0.33, 2.2)
        elif rhythm == "premature" and rng.random() < 0.13:
            onsets.append(now + rng.uniform(0.5, 0.75) * beat_s)
            step = rng.uniform(1.75, 2.05) * beat_s
        elif rhythm == "uneven":
            step = beat_s * (1 + uneven * rng.standard_normal())
        else:
            step = beat_s * (1 + 0.03 * np.sin(2 * np.pi * 0.25 * now + phase) + 0.01 * rng.standard_normal())
        now += max(step, 0.3)
    return np.array(onsets)


# ---- an artery under a cuff

def pressure(rng, beats, systolic, diastolic, n, damped):
    """Arterial pressure, mmHg: rise, notch, decay; the fuller the ventricle the higher the beat; breathing."""
    t, p = np.arange(n) / FINE, np.full(n, diastolic, float)
    for i, beat in enumerate(beats[:-1]):
        step = beats[i + 1] - beat
        before = beat - beats[i - 1] if i else step
        from_, to = int(beat * FINE), min(int(beats[i + 1] * FINE), n)
        if to - from_ < 4:
            continue
        breath = 2 * np.sin(2 * np.pi * 0.23 * beat)
        fill = np.clip((1 - np.exp(-(before - 0.2) / 0.22)) / 0.96, 0.3, 1.06)
        height = (systolic - diastolic) * fill + breath + rng.normal(0, 0.7)
        tau, up = t[from_:to] - beat, 0.17 if damped else 0.10
        rise = np.where(tau < up, 0.5 - 0.5 * np.cos(np.pi * tau / up), 1.0)
        wave = rise * np.exp(-np.maximum(tau - up, 0) / (0.42 * max(step, 0.5)))
        wave += 0 if damped else 0.08 * np.exp(-((tau - 0.32) / 0.035) ** 2)
        p[from_:to] = diastolic + breath * 0.3 + height * (wave - wave[-1] * np.clip(tau / step, 0, 1) ** 3)
    return p


def open_velocity(rng, beats, n, kind, peak):
    """Velocity with the cuff open, without its sign, m/s."""
    t, v = np.arange(n) / FINE, np.zeros(n)
    for i, beat in enumerate(beats[:-1]):
        from_, to = int(beat * FINE), min(int(beats[i + 1] * FINE), n)
        tau = t[from_:to] - beat
        if kind == "triphasic":
            w = np.exp(-((tau - 0.12) / 0.055) ** 2) - 0.32 * np.exp(-((tau - 0.30) / 0.05) ** 2) + 0.12 * np.exp(-((tau - 0.46) / 0.07) ** 2)
        elif kind == "biphasic":
            w = np.exp(-((tau - 0.13) / 0.065) ** 2) - 0.18 * np.exp(-((tau - 0.33) / 0.06) ** 2)
        else:
            w = 0.8 * np.where(tau < 0.2, np.sin(np.pi * np.clip(tau, 0, 0.2) / 0.4), np.exp(-(tau - 0.2) / 0.28)) + 0.08
        v[from_:to] = peak * (1 + 0.05 * rng.standard_normal()) * np.abs(w)
    return v


def patient(rng):
    severe = rng.random() < 0.14
    systolic = float(rng.uniform(38, 80)) if severe else float(rng.uniform(90, 190))
    weak = severe or rng.random() < 0.25
    return dict(
        systolic=systolic, diastolic=systolic * float(rng.uniform(0.45, 0.68)), beat_s=60 / float(rng.uniform(42, 125)),
        rhythm=str(rng.choice(["regular", "fibrillation", "premature"], p=[0.73, 0.16, 0.11])),
        wave="monophasic" if severe else str(rng.choice(["triphasic", "biphasic", "monophasic"], p=[0.4, 0.3, 0.3])),
        peak=float(rng.uniform(0.1, 0.25)) if weak else float(rng.uniform(0.22, 0.85)),
        jet=rng.random() < 0.2, runs_on=rng.random() < 0.15)


def deflation(rng, who, over):
    """The cuff's pressure at 1 kHz and when pumping, holding and bleeding begin, seconds."""
    top, bleed = who["systolic"] + over, float(rng.uniform(1.8, 6.5))
    end = max(12.0, who["systolic"] - max(28.0, 6 * bleed) - float(rng.uniform(0, 14)))
    before, pump, hold, tail = rng.uniform(3, 9), rng.uniform(3, 7), rng.uniform(0.2, 2), rng.uniform(3, 8)
    n = int((before + pump + hold + max(0, top - end) / bleed + tail) * FINE)
    t, cuff = np.arange(n) / FINE, np.zeros(n)
    pumping, holding, bleeding = before, before + pump, before + pump + hold
    rise = np.clip((t - pumping) / pump, 0, 1)
    cuff = top * (rise + 0.03 * np.sin(2 * np.pi * 1.6 * (t - pumping)) * ((rise < 0.97) & (rise > 0)))
    fall = np.maximum(t - bleeding, 0)
    slope = bleed * (1 + rng.choice([0, 0.2, 0.5]) * np.sin(2 * np.pi * 0.35 * fall + rng.uniform(0, 6)))
    dropped = np.cumsum(np.where(t > bleeding, slope, 0)) / FINE
    cuff = np.where(t > bleeding, np.maximum(top - dropped, min(end, top)), cuff)
    if rng.random() < 0.12 and over > 0:       # pumped once more before anything is heard
        again = bleeding + over / bleed * 0.6
        cuff = np.where(t > again, np.minimum(cuff + np.clip((t - again) / 1.2, 0, 1) * 14, 300), cuff)
    return cuff, (pumping, holding, bleeding)


def inflation(rng, who, over):
    """Velocity, amplitude, openings after the closure and the times of one inflation, all at 1 kHz."""
    cuff, (pumping, holding, bleeding) = deflation(rng, who, over)
    n = len(cuff)
    beats = np.concatenate([intervals(rng, who["rhythm"], who["beat_s"], n / FINE + 3), [n / FINE + 5]])
    p = pressure(rng, beats, who["systolic"], who["diastolic"], n, who["wave"] == "monophasic")
    full = open_velocity(rng, beats, n, who["wave"], who["peak"])
    margin = p - cuff
    opening = np.clip(margin / 6, 0, 1)
    opening = opening ** 2 * (3 - 2 * opening)
    jet = 1.7 * who["peak"] * np.clip(margin / 10, 0, 1) ** 0.35 if who["jet"] else who["peak"] * np.clip(margin / 25, 0, 1) ** 0.6
    free = np.clip((who["diastolic"] + 10 - cuff) / 20, 0, 1)
    v = opening * (free * full + (1 - free) * jet)
    if who["runs_on"]:
        v = v + opening * 0.35 * who["peak"] * (np.arange(n) / FINE > bleeding) * np.clip((who["diastolic"] + 25 - cuff) / 20, 0, 1)
    lag = 1 - np.exp(-1 / (0.012 * FINE))
    smooth = lambda x: signal.lfilter([lag], [1, lag - 1], x)
    amp = smooth(opening) * (free * np.clip(full / who["peak"], 0.05, 1) ** 0.5 + (1 - free) * np.clip(margin / 25, 0, 1) ** 0.5)
    is_open = (margin[int(bleeding * FINE):] > 0).astype(int)
    edge = np.diff(np.concatenate([[0], is_open, [0]]))
    found = [(bleeding + s / FINE, bleeding + e / FINE) for s, e in zip(np.flatnonzero(edge == 1), np.flatnonzero(edge == -1)) if e - s >= 12]
    v = smooth(v)
    return v, amp, found, others(v * (amp > 0.03), beats, [a for a, _ in found]), (pumping, holding, bleeding)


def others(v, beats, found):
    """Onset and end of the beats that flow through a cuff which does not close in between."""
    free = []
    for beat, after in zip(beats, beats[1:]):
        part = v[int(beat * FINE):int(min(after, beat + 0.5) * FINE)]
        on = np.flatnonzero(part > 0.2 * part.max()) if len(part) and part.max() > 0.02 else []
        if len(on) > 11 and all(abs(beat + on[0] / FINE - a) > 0.15 for a in found):
            free.append((float(beat + on[0] / FINE), float(beat + on[-1] / FINE)))
    return free


def hand(rng, total, pumping, holding, bleeding):
    """Squeezes of the bulb, the valve's hiss, knocks on probe and cable: an envelope of noise."""
    u = np.zeros(COUNT)
    if rng.random() < 0.6:
        now, gain, wide, step = pumping, 10 ** rng.uniform(-1.3, 0.3), rng.uniform(0.08, 0.3), rng.uniform(0.35, 0.9)
        while now < holding:
            lay(u, gain * np.hanning(int(wide * HZ)) * rng.uniform(0.5, 1.3), int(now * HZ))
            now += step * rng.uniform(0.85, 1.15)
    if rng.random() < 0.25:
        t = np.arange(COUNT) / HZ
        hiss = 1 / (1 + np.exp(-np.clip((t - bleeding - 0.2) / rng.uniform(0.03, 0.3), -50, 50)))
        if rng.random() < 0.4:
            hiss *= np.exp(-np.clip(t - bleeding, 0, None) / rng.uniform(2, 15))
        u += 10 ** rng.uniform(-2, -0.4) * hiss
    for _ in range(int(rng.choice([0, 0, 0, 1, 2, 4, 8]))):
        lay(u, knock(rng), int(rng.uniform(0, total) * HZ))
    return u


def knock(rng):
    m = int(10 ** rng.uniform(-2, -0.5) * HZ) + 2
    return 10 ** rng.uniform(-1, 0.6) * np.exp(-np.arange(m) / (m / 3))


def shifted(curves, meta, by_s):
    """Without its first `by_s` seconds."""
    by = int(by_s * HZ)
    if by <= 0:
        return curves, meta
    by_s, cut = by / HZ, np.zeros_like(curves)
    cut[:, :COUNT - by] = curves[:, by:]
    return cut, dict(meta, dur=meta["dur"] - by_s, occ=max(0.0, meta["occ"] - by_s), pulses=earlier(meta["pulses"], by_s), free=earlier(meta["free"], by_s))


def earlier(pulses, by_s):
    return [(a - by_s, b - by_s) for a, b in pulses if a > by_s]


def ended(curves, meta, at_s):
    """Without what follows `at_s`."""
    curves[:, int(at_s * HZ):] = 0
    until = lambda pulses: [(a, min(b, at_s)) for a, b in pulses if a < at_s - 0.1]
    return curves, dict(meta, dur=float(min(at_s, meta["dur"])), pulses=until(meta["pulses"]), free=until(meta["free"]))


def curves_of(v, amp, u):
    n = min(len(v) // 4, COUNT)
    k = np.zeros((3, COUNT))
    k[0, :n], k[1, :n] = (x[:n * 4].reshape(-1, 4).mean(1) for x in (v, amp))
    k[2] = u
    return k


def artery(rng):
    """One inflation of a simulated artery; some begin late, some in the flow after an earlier one."""
    who = patient(rng)
    v, amp, found, free, (pumping, holding, bleeding) = inflation(rng, who, float(rng.uniform(10, 50)))
    if rng.random() < 0.2:
        amp[int(holding * FINE):] = 0
        found, free = [], [one for one in free if one[0] < holding]
    if rng.random() < 0.15:       # what is left of the inflation before this one: a pulse that still grows
        v1, amp1, found1, free1, _ = inflation(rng, who, float(rng.uniform(10, 50)))
        if len(found1) > 4:
            from_ = int((found1[0][0] + rng.uniform(2.5, 9)) * FINE)
            v1, amp1 = v1[from_:], amp1[from_:]
            by = len(v1) / FINE
            v, amp = np.concatenate([v1, v]), np.concatenate([amp1, amp])
            before = earlier(sorted(found1 + free1), from_ / FINE)
            found, free = ([(a + by, b + by) for a, b in these] for these in (found, free))
            free = before + free
            pumping, holding, bleeding = pumping + by, holding + by, bleeding + by
    total = len(v) / FINE
    k = curves_of(v, amp, hand(rng, total, pumping, holding, bleeding))
    meta = dict(type=0, dur=float(total), occ=float(holding), pulses=found, free=free, rr=who["beat_s"])
    if total > SECONDS:
        if total - SECONDS > holding:
            return None
        full = np.zeros((3, len(v) // 4))
        full[0], full[1] = (x[:len(v) // 4 * 4].reshape(-1, 4).mean(1) for x in (v, amp))
        by = total - SECONDS + 0.01
        cut = int(by * HZ)
        k[:2] = 0
        rest = full[:2, cut:][:, :COUNT]
        k[:2, :rest.shape[1]] = rest
        k[2] = np.concatenate([k[2][cut:], np.zeros(cut)])
        return k, dict(meta, dur=total - by, occ=holding - by, pulses=earlier(found, by), free=earlier(free, by))
    return shifted(k, meta, rng.uniform(0, bleeding)) if rng.random() < 0.12 else (k, meta)


# ---- bursts

def lobe(tau, rise, top, fall, shape):
    """One beat's envelope."""
    up = np.clip(tau / rise, 0, 1)
    up = 0.5 - 0.5 * np.cos(np.pi * up) if shape != 2 else up
    z = np.clip(tau - rise - top, 0, None)
    down = np.exp(-z / (0.5 * fall)) if shape == 0 else 0.5 + 0.5 * np.cos(np.pi * np.clip(z / (1.4 * fall), 0, 1)) if shape == 1 else np.exp(-(z / (0.8 * fall)) ** 2)
    return np.where(tau > 0, up * down, 0)


class Shape:
    """How one make of burst looks: drawn once a sound."""

    def __init__(self, rng, beat_s):
        self.rise, self.top, self.fall = logu(rng, 0.025, 0.15), rng.choice([0, rng.uniform(0, 0.1)]), logu(rng, 0.04, 0.28)
        self.shape = int(rng.integers(3))
        while self.whole > min(0.55, 0.75 * beat_s):
            self.rise, self.top, self.fall = (0.8 * x for x in (self.rise, self.top, self.fall))
        self.second = (rng.uniform(0.05, 0.25), rng.uniform(0.1, 0.6), rng.uniform(0.03, 0.09)) if rng.random() < 0.45 else None
        self.between, self.dies_s = (0 if rng.random() < 0.5 else rng.uniform(0.03, 0.4)), rng.uniform(0.2, 1.2)
        self.power, self.breath, self.phase, self.uneven = rng.uniform(0.3, 1.3), rng.uniform(0, 0.25), rng.uniform(0, 6), rng.uniform(0.03, 0.2)
        self.mode = rng.choice(["cut", "cut", "scale", "level", "both"])
        self.width_s, self.wider_s = logu(rng, 0.03, 0.2), logu(rng, 0.008, 0.09)
        self.level, self.louder = (rng.uniform(0.08, 1) if rng.random() < 0.85 else 1.0), logu(rng, 0.02, 0.4)
        # Under a falling cuff the first opening is short, or faint, or both; what comes back whole was never shut (`lifted`).
        if self.mode in ("level", "scale") or self.width_s > 0.6 * self.whole:
            self.level, self.louder = min(self.level, rng.uniform(0.08, 0.5)), min(self.louder, 0.2)
        if self.mode == "scale":
            self.width_s = min(self.width_s, rng.uniform(0.2, 0.7) * self.whole)
        self.pitch, self.pitch0, self.pitch_beats = rng.choice(["grow", "flat", "jet"], p=[0.45, 0.35, 0.2]), rng.uniform(0.25, 0.9), rng.uniform(2, 15)
        self.skips, self.between_from = rng.choice([0, 0, 0.06, 0.2]), rng.uniform(2, 16)
        self.edge_s, self.shift, self.closing_s = logu(rng, 0.008, 0.04), rng.uniform(-0.5, 0.5), rng.uniform(0.4, 3.5)
        self.runs_on, self.gain = rng.random() < 0.15, 10 ** (rng.uniform(-9, 5) / 20)

    @property
    def whole(self):
        return self.rise + self.top + self.fall


def beat(rng, s, tau, step, amp, grown=None, open_share=None):
    """Shape and amplitude of one beat; `grown`: the number of its opening after a closure; `open_share`: under a cuff that closes."""
    stretch, full, width = 1.0, True, 9.0
    if grown is not None:
        width, level = (s.width_s + s.wider_s * grown) * np.exp(0.15 * rng.standard_normal()), min(1, s.level + s.louder * grown)
        amp *= s.gain * (level if s.mode in ("level", "both", "cut") else min(1, 0.5 + 0.5 * level))
        full = s.mode in ("level", "scale") or width >= s.whole * 1.2
        stretch = min(1, width / s.whole) if s.mode == "scale" else 1.0
    elif open_share is not None:
        amp, width = amp * (0.3 + 0.7 * open_share), 0.05 + 0.9 * s.whole * open_share
        full, stretch = width >= s.whole or s.mode in ("level", "scale"), 1.0 if s.mode != "scale" else max(0.3, open_share)
    p = lobe(tau, s.rise * stretch, s.top * stretch, s.fall * stretch, s.shape)
    if s.second and stretch > 0.9:
        late, high, wide = s.second
        p = p + high * np.exp(-((tau - s.whole - late) / wide) ** 2)
    tail = s.between * np.exp(-np.clip(tau - s.rise, 0, None) / s.dies_s) * (tau > s.rise * 0.5) * np.clip((step - tau) / 0.06, 0, 1)
    if grown is not None:
        tail = tail * (np.clip((grown - 1) / 4, 0, 1) * 1.5 if s.runs_on else np.clip((grown - s.between_from) / 6, 0, 1))
    window = 1.0
    if not full:
        low, edge = max(s.rise + s.top * 0.5 + s.shift * 0.5 * s.rise - width * 0.5, 0), min(s.edge_s, width / 3)
        window, tail = np.clip((tau - low) / edge, 0, 1) * np.clip((low + width - tau) / edge, 0, 1), tail * 0
    y, v = p * window + tail, p + tail
    if grown is not None:
        share = min(1, grown / s.pitch_beats)
        v = v * (1 if s.pitch == "flat" else s.pitch0 + (1 - s.pitch0) * share if s.pitch == "grow" else 1 + 0.7 * (1 - share))
    return y, v, amp * np.clip(y, 0, None) ** s.power


def burst(rng):
    """A closure and a return, or none, by drawn flow."""
    beat_s, late = 60 / logu(rng, 42, 125), rng.random() < 0.1
    before, pump = (0.0, rng.uniform(0, 2)) if late else (rng.uniform(3, 11), rng.uniform(2.5, 7))
    closed, tail, none = rng.uniform(1.2, 14) if rng.random() < 0.8 else rng.uniform(14, 28), rng.uniform(5, 16), rng.random() < 0.22
    total = before + pump + closed + tail
    if total > SECONDS:
        return None
    shut, full, back = before + pump * rng.uniform(0.25, 0.95), before + pump, before + pump + closed
    # Of some nothing, of some next to nothing is heard before the closure.
    s, faint = Shape(rng, beat_s), rng.choice([0, 0.03, 1], p=[0.1, 0.05, 0.85])
    earlier = int(rng.integers(3, 14)) if rng.random() < 0.2 and not late else None     # an earlier return still grows
    t, v, a, pulses, free, k = np.arange(COUNT) / HZ, np.zeros(COUNT), np.zeros(COUNT), [], [], 0
    onsets = intervals(rng, str(rng.choice(["regular", "fibrillation", "premature", "uneven"], p=[0.58, 0.15, 0.15, 0.12])), beat_s, total)
    for i, at in enumerate(onsets):
        step = onsets[i + 1] - at if i + 1 < len(onsets) else beat_s
        prev = at - onsets[i - 1] if i else beat_s
        from_, to = int(at * HZ), min(int((at + max(step, s.rise + s.top + 2 * s.fall)) * HZ), COUNT)
        if shut <= at < back or at >= back and none or to - from_ < 4:
            continue
        if at >= back and (rng.random() < s.skips and k < 8 or prev < 0.75 * beat_s and k < 5 and rng.random() < 0.6):
            k += int(prev >= 0.75 * beat_s)      # a premature beat does not reach the cuff's edge
            continue
        tau = t[from_:to] - at
        amp = np.exp(s.uneven * rng.standard_normal()) * (1 + s.breath * np.sin(2 * np.pi * 0.24 * at + s.phase))
        amp *= min(np.clip(1 - np.exp(-(prev - 0.2) / 0.25), 0.2, 1.1) / 0.95, 1.1) * (faint if at < shut else 1)
        if at >= back:
            y, vv, z = beat(rng, s, tau, step, amp, grown=k)
        elif shut - at < s.closing_s:
            y, vv, z = beat(rng, s, tau, step, amp, open_share=(shut - at) / s.closing_s)
        elif earlier is not None and i + earlier < 25:
            y, vv, z = beat(rng, s, tau, step, amp, grown=earlier + i)
        else:
            y, vv, z = beat(rng, s, tau, step, amp)
        a[from_:to], v[from_:to] = np.maximum(a[from_:to], z), np.maximum(v[from_:to], vv)
        k += at >= back
        (pulses if at >= back else free).extend(span(tau, y, at))
    curves = np.stack([v, a, hand(rng, total, before, full, full + rng.uniform(0, 2))])
    curves[:2, int(total * HZ):] = 0
    within = lambda pulses: [(p, min(q, total)) for p, q in pulses if p < total - 0.1]
    return curves, dict(type=1, dur=float(total), occ=float(full), pulses=within(pulses), free=within(free), rr=beat_s)


def span(tau, y, at):
    """Onset and end of the beat at `at` whose shape is `y`, if it has any."""
    on = np.flatnonzero(y > 0.1 * y.max())
    return [(float(at + tau[on[0]]), float(at + tau[on[-1]]))] if len(on) > 1 else []


# ---- nothing was ever closed

def lifted(rng, gain, u, total):
    """The probe taken off and put back, once or often, with or without a knock."""
    now = rng.uniform(2, 10)
    for _ in range(int(rng.choice([1, 1, 2, 3, 4]))):
        off = logu(rng, 0.8, 14)
        if now + off > total - 1:
            break
        i, j, edge = int(now * HZ), int((now + off) * HZ), max(1, int(logu(rng, 0.005, 0.4) * HZ))
        hole = np.ones(COUNT)
        hole[i:j] = 0 if rng.random() < 0.5 else 10 ** (-rng.uniform(20, 60) / 20)
        gain *= np.convolve(hole, np.ones(edge) / edge, "same")
        gain[j:] *= 10 ** (rng.uniform(-5, 3) / 20)      # not quite the same place
        for at in (i, j):
            for _ in range(int(rng.choice([0, 0, 1, 2, 4]))):
                lay(u, knock(rng), at + int(rng.normal(0, 0.25) * HZ))
            if rng.random() < 0.35:      # it rubs over the skin
                m = int(logu(rng, 0.1, 1.5) * HZ) + 2
                lay(u, 10 ** rng.uniform(-1.3, 0.5) * np.hanning(m) * rng.uniform(0.4, 1.3, m), at - int(rng.uniform(0, 1) * m))
        now += off + rng.uniform(2, 10)


def covered(rng, u, total):
    """Something louder than the pulse lies over it for some seconds."""
    now = rng.uniform(2, 9)
    for _ in range(int(rng.choice([1, 1, 2, 3]))):
        m = int(logu(rng, 0.6, 12) * HZ)
        swell = np.minimum(1, np.minimum(np.arange(m), m - np.arange(m)) / (logu(rng, 0.01, 1.0) * HZ))
        lay(u, 10 ** rng.uniform(-0.3, 0.9) * swell, int(now * HZ))
        now += m / HZ + rng.uniform(1.5, 10)
        if now > total:
            break


def never_closed(rng):
    """A pulse that was never closed; see this file's purpose."""
    kind = str(rng.choice(["free", "lifted", "covered", "squeezed", "late", "growing", "absent"], p=[0.08, 0.42, 0.15, 0.17, 0.08, 0.05, 0.05]))
    total, beat_s = float(rng.uniform(9, SECONDS)), 60 / logu(rng, 42, 125)
    squeezed = (0.0, 0.0, 0.0, 0.0)
    if kind == "squeezed" and rng.random() < 0.5:
        who = patient(rng)
        v, amp, found, free, times = inflation(rng, dict(who, systolic=max(who["systolic"], 75)), -float(rng.uniform(12, 55)))
        total = min(len(v) / FINE, SECONDS)
        curves = curves_of(v, amp, hand(rng, total, *times))
        free = [one for one in sorted(found + free) if one[0] < total - 0.1]
        return curves, dict(type=2, artery=1, dur=total, occ=float(min(times[1], total - 2)), pulses=[], free=free, rr=who["beat_s"])
    s = Shape(rng, beat_s)
    t, v, a, free = np.arange(COUNT) / HZ, np.zeros(COUNT), np.zeros(COUNT), []
    from_s = rng.uniform(0.5, 14) if kind == "late" else 0.0
    first = int(rng.integers(2, 12))
    if kind == "squeezed":
        on = rng.uniform(3, 9)
        squeezed = (on, on + rng.uniform(1, 6), on + rng.uniform(7, 16), rng.uniform(0.2, 0.8))
    onsets = intervals(rng, str(rng.choice(["regular", "fibrillation", "premature", "uneven"], p=[0.58, 0.15, 0.15, 0.12])), beat_s, total)
    for i, at in enumerate(onsets):
        step = onsets[i + 1] - at if i + 1 < len(onsets) else beat_s
        i0, i1 = int(at * HZ), min(int((at + max(step, s.rise + s.top + 2 * s.fall)) * HZ), COUNT)
        if at < from_s or i1 - i0 < 4:
            continue
        tau = t[i0:i1] - at
        amp = np.exp(s.uneven * rng.standard_normal()) * (1 + s.breath * np.sin(2 * np.pi * 0.24 * at + s.phase))
        down, low, up, least = squeezed
        share = np.interp(at, [down, low, up, up + 6], [1, least, least, 1]) if up else 1
        if kind == "growing" and i < 25:
            y, vv, z = beat(rng, s, tau, step, amp, grown=first + i)
        elif share < 1:
            y, vv, z = beat(rng, s, tau, step, amp, open_share=share)
        else:
            y, vv, z = beat(rng, s, tau, step, amp)
        a[i0:i1], v[i0:i1] = np.maximum(a[i0:i1], z), np.maximum(v[i0:i1], vv)
        free += span(tau, y, at)
    u = hand(rng, total, *((squeezed[0], squeezed[1], squeezed[2]) if squeezed[2] else (rng.uniform(0, total),) * 3))
    if kind == "lifted":
        gain = np.ones(COUNT)
        lifted(rng, gain, u, total)
        a *= gain
    if kind == "absent":
        a *= 0
    if kind == "covered" or rng.random() < 0.1:
        covered(rng, u, total)
    curves = np.stack([v, a, u])
    curves[:2, int(total * HZ):] = 0
    free = [one for one in free if one[0] < total - 0.1]
    return curves, dict(type=2, dur=total, occ=float(rng.uniform(1, total - 3)), pulses=[], free=free, rr=beat_s)


def one(rng):
    """Curves and what is known of them, of a drawn make; some are heard only until some moment."""
    make = rng.random()
    made = artery(rng) if make < 0.42 else burst(rng) if make < 0.86 else never_closed(rng)
    if made is None:
        return None
    curves, meta = made
    if rng.random() < 0.4 and meta["dur"] > meta["occ"] + 4:
        curves, meta = ended(curves, meta, rng.uniform(meta["occ"] + 1, meta["dur"]))
    if meta["type"] < 2 and rng.random() < 0.1:       # no pulse before the closure is known: recording began late
        curves, meta = shifted(curves, meta, rng.uniform(0, max(0.1, meta["occ"])))
    return curves, dict(meta, pulses=meta["pulses"][:MOST], free=(meta["free"] + meta["pulses"][MOST:])[:MOST_FREE])
