"""Noise for training: one track of a drawn kind, from the bank of sounds (`bank.py`) and from sounds that nobody recorded.

rooms.py BANK.npz TO_DIR COUNT [WORKERS] writes COUNT tracks of 12 s as 16 kHz WAV in folders, as `cuffnote trial --more` takes them.
"""

import functools
import multiprocessing
import pathlib
import sys

import numpy as np
from scipy import signal
from scipy.io import wavfile

RATE = 8_000
KINDS = {"speech": 9, "babble": 3, "handling": 3, "rhythmic": 3, "music": 1.3, "alarm": 2.3, "knocks": 1.2, "foot": 1.2, "drawn": 1.6, "steady": 1.4}
NAMES = list(KINDS)
SHARES = np.array(list(KINDS.values())) / sum(KINDS.values())
HIGH_PASS = signal.butter(3, 100, "high", fs=RATE, output="sos")


@functools.lru_cache(1)
def load(path):
    """The bank: of each kind a list of sounds in eight bits."""
    held, bank = np.load(path), {}
    for kind in ("talk", "words", "effect", "drum", "music", "chime"):
        ends = np.cumsum(held[kind + "_n"])
        bank[kind] = np.split(held[kind + "_x"], ends[:-1])
    return bank


def loud(x):
    return np.sqrt(np.mean(x ** 2) + 1e-12)


def logu(rng, low, high):
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def sound(rng, bank, kinds):
    of = bank[kinds[int(rng.integers(len(kinds)))]]
    return expanded(of[int(rng.integers(len(of)))])


def expanded(eight_bits):
    x = eight_bits.astype(np.float32) / 127
    return np.sign(x) * (np.exp(np.abs(x) * np.log(256)) - 1) / 255


def paced(rng, x, low=0.75, high=1.33):
    """Faster or slower, now and then backwards."""
    n = max(8, int(len(x) / rng.uniform(low, high)))
    y = np.interp(np.linspace(0, len(x) - 1, n), np.arange(len(x)), x)
    return y[::-1] if rng.random() < 0.1 else y


def coloured(rng, x):
    if rng.random() < 0.4:
        return x
    low, high = np.sort(rng.uniform(150, 3800, 2))
    kind = rng.integers(3)
    if kind == 0:
        sos = signal.butter(1, low, "low", fs=RATE, output="sos")
    elif kind == 1:
        sos = signal.butter(1, min(low, 2500), "high", fs=RATE, output="sos")
    else:
        sos = signal.butter(1, [low, max(high, low + 200)], "band", fs=RATE, output="sos")
    return signal.sosfilt(sos, x)


def lay(track, x, at):
    if at < 0:
        x, at = x[-at:], 0
    n = min(len(x), len(track) - at)
    if n > 0:
        track[at:at + n] += x[:n]


def talk(rng, bank, n, gap_s):
    """One voice (neighbours in the bank share a speaker), or two who take turns."""
    track, at = np.zeros(n), int(rng.uniform(-3, 1) * RATE)
    of = bank["words" if rng.random() < 0.25 else "talk"]
    one, other = rng.integers(len(of), size=2)
    pace, two, pauses = rng.uniform(0.8, 1.25), rng.random() < 0.3, rng.random() < 0.35
    while at < n:
        speaker = other if two and rng.random() < 0.5 else one
        x = paced(rng, expanded(of[(speaker + int(rng.integers(15))) % len(of)]), pace * 0.97, pace * 1.03)
        lay(track, x / (loud(x) + 1e-6) * rng.uniform(0.6, 1.4), at)
        at += len(x) + int(rng.exponential(gap_s) * RATE)
        if pauses and rng.random() < 0.18:       # a long pause, in which faint pulses stand alone
            at += int(rng.uniform(1.0, 7) * RATE)
        if rng.random() < 0.04:
            one = int(rng.integers(len(of)))
    return track


def handling(rng, bank, n):
    kinds = ["effect", "effect", "drum", "chime"]
    few = [sound(rng, bank, kinds) for _ in range(int(rng.integers(1, 9)))]
    track, at, gap_s = np.zeros(n), 0, rng.choice([0.3, 0.8, 1.5, 3])
    while at < n:
        x = few[int(rng.integers(len(few)))] if rng.random() < 0.7 else sound(rng, bank, kinds)
        x = coloured(rng, paced(rng, x) * rng.uniform(0.3, 2))
        lay(track, x, at)
        at += int(min(len(x), 1.5 * RATE) * rng.uniform(0.3, 1)) + int(rng.exponential(gap_s) * RATE) + 50
    return track


def rhythmic(rng, bank, n, source):
    """A few sounds in a loop, which may stop and start."""
    track, period_s = np.zeros(n), rng.uniform(0.3, 1.6)
    parts = [coloured(rng, source())[:int(rng.uniform(0.1, 2) * RATE)] for _ in range(int(rng.choice([1, 1, 2, 3])))]
    at = [0.0] + [rng.uniform(0.2, 0.8) for _ in parts[1:]]
    gains = [rng.uniform(0.3, 1.2) for _ in parts]
    uneven, stops = rng.choice([0, 0.005, 0.03]), rng.random() < 0.35
    on, now_s = rng.random() < 0.7 or not stops, rng.uniform(0, period_s)
    while now_s < n / RATE + 2:
        if stops and rng.random() < 0.05:
            on = not on
        for x, part, gain in zip(parts, at, gains):
            if on:
                lay(track, x * gain * rng.uniform(0.8, 1.2), int(max(0, now_s + part * period_s + rng.normal(0, uneven)) * RATE))
        now_s += period_s
    return track


def music(rng, bank, n):
    x, track, at = paced(rng, sound(rng, bank, ["music"]), 0.85, 1.2), np.zeros(n), int(rng.uniform(-3, 2) * RATE)
    while at < n:
        lay(track, x, at)
        at += len(x) + int(rng.choice([0, 0.3, 2]) * RATE)
        if rng.random() < 0.3:
            x = paced(rng, sound(rng, bank, ["music"]), 0.85, 1.2)
    return track


def beep(rng, seconds, hz, partials, glide, rough):
    t = np.arange(int(seconds * RATE)) / RATE
    phase = 2 * np.pi * hz * (t + (rng.uniform(-0.3, 0.8) * t * t / seconds / 2 if glide else 0))
    x = sum(a * np.sin(phase * (q + 1)) for q, a in enumerate(partials) if hz * (q + 1) < 3900) + 0 * t
    if rough:
        x = x * (1 + 0.9 * np.sin(2 * np.pi * rng.uniform(15, 90) * t))
    edge = np.minimum(1, np.minimum(t / 0.004, (seconds - t) / 0.004))
    return x * (edge if rng.random() < 0.7 else np.exp(-t / (seconds * 0.3)))


def alarm(rng, bank, n):
    track, now_s, again_s = np.zeros(n), rng.uniform(-1, 2), rng.choice([rng.uniform(0.15, 1), rng.uniform(0.5, 4)])
    if rng.random() < 0.35:
        x = paced(rng, sound(rng, bank, ["chime"]))
        while now_s < n / RATE + 1:
            lay(track, x, int(now_s * RATE))
            now_s += len(x) / RATE + again_s * rng.uniform(0.95, 1.05)
        return track
    hz, partials = rng.uniform(300, 3000), rng.uniform(0, 1, 5) * np.array([1, 1, 0.7, 0.5, 0.4])
    glide, rough = rng.random() < 0.25, rng.random() < 0.3
    notes = [(rng.uniform(0.04, 0.9), rng.uniform(0.02, 0.5), rng.choice([1, 1, 1.26, 1.5, 0.8, 0.67])) for _ in range(int(rng.integers(1, 6)))]
    while now_s < n / RATE + 1:
        for long_s, pause_s, step in notes:
            lay(track, beep(rng, long_s, hz * step, partials, glide, rough), int(now_s * RATE))
            now_s += long_s + pause_s
        now_s += again_s
    return track


def knocks(rng, n):
    track, at, gap_s = np.zeros(n), 0, rng.choice([0.3, 0.9, 2])
    while at < n:
        at += int(rng.exponential(gap_s) * RATE) + 200
        m = int(rng.uniform(0.008, 0.25) * RATE)
        lay(track, coloured(rng, rng.standard_normal(m) * np.exp(-np.arange(m) / (m * rng.uniform(0.15, 0.5)))) * rng.uniform(0.3, 3), at)
    return track


def steps(rng, n):
    track, now_s, period_s = np.zeros(n), rng.uniform(0, 1), rng.uniform(0.42, 0.9)
    sos, stops, on = signal.butter(2, rng.uniform(150, 900), "low", fs=RATE, output="sos"), rng.random() < 0.4, True
    while now_s < n / RATE + 1:
        if stops and rng.random() < 0.05:
            on = not on
        m = int(rng.uniform(0.05, 0.2) * RATE)
        if on:
            lay(track, signal.sosfilt(sos, rng.standard_normal(m) * np.exp(-np.arange(m) / (m / 5))) * rng.uniform(0.7, 1.3), int(max(0, now_s) * RATE))
        now_s += period_s + rng.normal(0, 0.03)
    return track


def event(rng):
    """A short sound that nobody recorded: noise with a hump or partials, perhaps a ratchet, under a drawn envelope."""
    long_s = logu(rng, 0.03, 1.2)
    t = np.arange(1, int(long_s * RATE) + 200) / RATE
    x = np.zeros(len(t))
    for _ in range(int(rng.integers(1, 3))):
        if rng.random() < 0.4:
            base, harmonic = logu(rng, 60, 2500), rng.random() < 0.6
            hz = [base * (q if harmonic else logu(rng, 1, 9)) for q in range(1, int(rng.integers(2, 12)))]
            part = sum(np.sin(2 * np.pi * f * t + rng.uniform(0, 6)) * np.exp(-t * q * rng.uniform(0, 8)) / (q + 1) for q, f in enumerate(hz) if f < 3900) + 0 * t
        else:
            f = np.fft.rfftfreq(len(t), 1 / RATE) + 20
            gain = f ** rng.uniform(-1.5, 0.3) * (1 + rng.uniform(1, 30) * np.exp(-0.5 * (np.log(f / logu(rng, 80, 3900)) / rng.uniform(0.05, 0.8)) ** 2))
            part = np.fft.irfft(np.fft.rfft(rng.standard_normal(len(t))) * gain, len(t))
        if rng.random() < 0.15:
            part = part * (np.sin(2 * np.pi * rng.uniform(8, 70) * t) > rng.uniform(-0.5, 0.8))
        x += part / (loud(part) + 1e-6) * rng.uniform(0.2, 1)
    rise = np.minimum(1, t / logu(rng, 0.001, 0.4 * long_s + 0.002))
    fall = np.exp(-t / (long_s * rng.uniform(0.1, 0.6))) if rng.random() < 0.6 else np.minimum(1, (t[-1] - t) / logu(rng, 0.003, long_s))
    return x * rise * fall


def steady(rng, n):
    """Air, a road, mains hum, or a vein that breathes."""
    t = np.arange(n) / RATE
    x = np.fft.irfft(np.fft.rfft(rng.standard_normal(n)) / np.maximum(np.fft.rfftfreq(n, 1 / RATE), 40) ** rng.uniform(0, 1.2), n)
    x *= 1 + rng.uniform(0, 0.8) * np.sin(2 * np.pi * rng.uniform(0.05, 0.5) * t + rng.uniform(0, 6))
    kind = rng.random()
    if kind < 0.4:
        mains = rng.choice([50, 60])
        return x / loud(x) + rng.uniform(0.3, 3) * sum(rng.uniform(0, 1) / h * np.sin(2 * np.pi * mains * h * t + rng.uniform(0, 6)) for h in range(1, 20))
    if kind < 0.64:
        sos = signal.butter(2, [rng.uniform(90, 200), rng.uniform(400, 1200)], "band", fs=RATE, output="sos")
        return signal.sosfilt(sos, rng.standard_normal(n)) * (0.3 + 0.7 * (0.5 + 0.5 * np.sin(2 * np.pi * rng.uniform(0.15, 0.35) * t + rng.uniform(0, 6))))
    return x


def track(rng, bank, n, kind=None):
    """One track of `n` samples at 8 kHz and its kind."""
    kind = kind or str(rng.choice(NAMES, p=SHARES))
    beats = lambda: paced(rng, sound(rng, bank, ["effect", "drum", "drum", "effect", "chime"]))
    if kind == "drawn":
        few = [event(rng) for _ in range(int(rng.integers(2, 8)))]
        gap_s = rng.choice([0.2, 0.8, 2])
        if rng.random() < 0.5:
            x = rhythmic(rng, bank, n, lambda: few[int(rng.integers(len(few)))])
        else:
            x, at = np.zeros(n), 0
            while at < n:
                part = few[int(rng.integers(len(few)))] * rng.uniform(0.3, 2)
                lay(x, part, at)
                at += int(len(part) * rng.uniform(0.3, 1)) + int(rng.exponential(gap_s) * RATE) + 50
    else:
        x = {
            "speech": lambda: sum(talk(rng, bank, n, rng.choice([0.1, 0.3, 0.6, 1.2])) for _ in range(int(rng.choice([1, 1, 1, 1, 2])))),
            "babble": lambda: sum(talk(rng, bank, n, 0.2) * rng.uniform(0.3, 1) for _ in range(int(rng.integers(3, 9)))),
            "handling": lambda: handling(rng, bank, n),
            "rhythmic": lambda: rhythmic(rng, bank, n, beats),
            "music": lambda: music(rng, bank, n),
            "alarm": lambda: alarm(rng, bank, n),
            "knocks": lambda: knocks(rng, n),
            "foot": lambda: steps(rng, n),
            "steady": lambda: steady(rng, n),
        }[kind]()
    if rng.random() < 0.2:
        x = coloured(rng, x)
    if rng.random() < 0.35:
        m = int(0.4 * RATE)
        echo = rng.standard_normal(m) * np.exp(-np.arange(m) / (rng.uniform(0.02, 0.12) * RATE))
        echo *= rng.uniform(0.3, 0.9) / np.sqrt(np.sum(echo ** 2))
        echo[0] = 1
        x = signal.fftconvolve(x, echo)[:n]
    x = signal.sosfilt(HIGH_PASS, x)
    return x / (4 * loud(x) + 1e-9), kind


FOLDERS = {"knocks": "handling", "drawn": "handling", "foot": "rhythmic", "steady": "ventilation"}


def write(bank_path, to, number):
    x, kind = track(np.random.default_rng([9, number]), load(bank_path), 12 * RATE)
    folder = pathlib.Path(to) / FOLDERS.get(kind, kind)
    folder.mkdir(parents=True, exist_ok=True)
    x = signal.resample_poly(x, 2, 1)
    wavfile.write(folder / f"{number:05}.wav", 16_000, (x / (np.abs(x).max() + 1e-9) * 26_000).astype(np.int16))


if __name__ == "__main__":
    with multiprocessing.Pool(int(sys.argv[4]) if len(sys.argv) > 4 else None) as pool:
        pool.map(functools.partial(write, sys.argv[1], sys.argv[2]), range(int(sys.argv[3])), chunksize=8)
