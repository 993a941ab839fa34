"""Makes a folder of room sounds to train on from Debian packages of free sounds: sounds.py WORK_DIR TO_DIR.

None of the packages is one from which the trial's recorded sounds come, so that those stay unheard until they
tune or report. Voices are strung together, crowds are voices at once, clatter is strewn, drums are beaten
in loops, chimes are repeated. A sound is known by words in its path: some of `music` and most of `ventilation` are
voices that speak such a word, to be mended before the next training. Needs apt-get, dpkg-deb, ffmpeg, espeak-ng. TO_DIR gets KIND/NUMBER.wav, 16 kHz mono.
"""

import functools
import pathlib
import subprocess
import sys
import wave

import numpy as np

RATE, SECONDS = 16_000, 12
PACKAGES = """fillets-ng-data-cs fillets-ng-data-nl ktuberling-data klettres-data tuxpaint-stamps-default hedgewars-data
oxygen-sounds deepin-sound-theme yaru-theme-sound hydrogen-drumkits supertux-data supertuxkart-data torcs-data
megaglest-data freedroidrpg-data widelands-data ardentryst warzone2100-music hydrogen-data warmux-data boswars-data xmoto-data
openclonk-data""".split()
ENDINGS = {".ogg", ".oga", ".wav", ".flac"}
chance = np.random.default_rng(7)


def unpack(work):
    for package in PACKAGES:
        to = work / package
        if to.exists():
            continue
        subprocess.run(["apt-get", "download", "-q", package], cwd=work, check=True, stdout=subprocess.DEVNULL)
        archive = next(work.glob(f"{package}_*.deb"))
        to.mkdir()
        subprocess.run(["dpkg-deb", "-x", archive, to], check=True)
        archive.unlink()


@functools.cache
def heard(path):
    """The first 30 s as mono at 16 kHz, its loudest sample at 1; `None` where nothing is heard."""
    done = subprocess.run(["ffmpeg", "-v", "quiet", "-t", "30", "-i", path, "-f", "f32le", "-ac", "1", "-ar", str(RATE), "-"],
                          capture_output=True)
    x = np.frombuffer(done.stdout, "<f4")
    peak = np.abs(x).max() if len(x) > 400 else 0.0
    return x / peak if peak > 1e-3 else None


def pick(paths, longest_s=30.0):
    for _ in range(20):
        x = heard(paths[chance.integers(len(paths))])
        if x is not None and len(x) < longest_s * RATE:
            return x
    return None


def strewn(paths, gap_s, longest_s=30.0):
    """One after the other, with pauses drawn from this range."""
    track, at = np.zeros(SECONDS * RATE, np.float32), 0
    while at < len(track):
        x = pick(paths, longest_s)
        if x is None:
            return None
        n = min(len(x), len(track) - at)
        track[at:at + n] += x[:n] * chance.uniform(0.4, 1.0)
        at += len(x) + int(chance.uniform(*gap_s) * RATE)
    return track


def crowd(voices):
    parts = [voices[chance.integers(len(voices))] for _ in range(chance.integers(3, 15))]
    return sum(np.roll(x, chance.integers(len(x))) * chance.uniform(0.2, 1.0) for x in parts)


def beaten(hits):
    """A loop of 16 steps with three to five instruments."""
    step = int(RATE * 60 / chance.uniform(50, 170) / 4)
    track = np.zeros(SECONDS * RATE, np.float32)
    for _ in range(chance.integers(2, 6)):
        x = pick(hits)
        if x is None:
            continue
        pattern = np.flatnonzero(chance.random(16) < chance.uniform(0.1, 0.5))
        for bar in range(0, len(track), 16 * step):
            for at in bar + pattern * step:
                n = min(len(x), max(0, len(track) - at))
                track[at:at + n] += x[:n] * chance.uniform(0.7, 1.0)
    return track


def repeated(paths):
    """One chime, again and again at an even pace."""
    x = pick(paths, 6.0)
    if x is None:
        return None
    cut = x[:int(chance.uniform(0.15, 1.0) * len(x))]
    period = len(cut) + int(chance.uniform(0.05, 1.5) * RATE)
    return np.resize(np.pad(cut, (0, period - len(cut))), SECONDS * RATE)


def excerpt(paths):
    x = pick(paths)
    if x is None:
        return None
    return np.resize(np.roll(x, -chance.integers(len(x))), SECONDS * RATE)


def spoken():
    """A synthetic voice, for tongues and pitches that no recording has."""
    tongue = chance.choice("en de fr es it nl sv da pl cs hu fi tr el pt ro hr sk".split())
    variant = chance.choice(["", "+m1", "+m3", "+m7", "+f1", "+f2", "+f4", "+croak", "+whisper"])
    words = " ".join(chance.choice(WORDS, 30))
    command = ["espeak-ng", "-v", tongue + variant, "-p", str(chance.integers(10, 95)), "-s", str(chance.integers(110, 220)), "-w",
               "/dev/stdout", words]
    done = subprocess.run(command, capture_output=True)
    x = subprocess.run(["ffmpeg", "-v", "quiet", "-i", "-", "-f", "f32le", "-ac", "1", "-ar", str(RATE), "-"], input=done.stdout,
                       capture_output=True).stdout
    x = np.frombuffer(x, "<f4")
    return np.resize(x, SECONDS * RATE) if len(x) > RATE else None


WORDS = """please lie still now the cuff will feel tight for a moment is that warm enough the window is open. have you had your tea
yes, the nurse comes later with a chair and the other bed? it was raining on monday, my daughter drove me here and we waited; thank you very
much, no, not at all. where does it hurt most when you walk up the hill in the morning""".split()


def main():
    work, to = map(pathlib.Path, sys.argv[1:3])
    unpack(work)
    files = sorted(p for p in work.rglob("*") if p.suffix in ENDINGS and p.is_file())
    of = lambda *parts: [p for p in files if any(part in str(p) for part in parts)]
    tongues = {}
    for path in of("ktuberling-data", "klettres-data"):
        tongues.setdefault(("letters", *path.parts[-3:-1]), []).append(path)
    for path in of("tuxpaint-stamps"):
        tongues.setdefault(("stamps", path.stem.split("_", 1)[-1] if "_" in path.stem else ""), []).append(path)
    for path in of("hedgewars/Data/Sounds/voices"):
        tongues.setdefault(("hedge", path.parent.name), []).append(path)
    groups = [(paths, 2) for paths in tongues.values() if len(paths) >= 15] + [(of("data-cs"), 80), (of("data-nl"), 70)]
    voices = [strewn(paths, (0.0, 0.9)) for paths, count in groups for _ in range(count)] + [spoken() for _ in range(80)]
    voices = [v for v in voices if v is not None]
    clatter = of("supertux2/sounds", "data/sfx", "commondata/sounds", "hedgewars/Data/Sounds/", "ardentryst/Sounds", "sound/effects", "torcs/data")
    clatter = [p for p in clatter if "voice" not in str(p)]
    music = of("/music", "/Music", "warzone2100-music")
    hum = of("torcs/data", "engine", "river", "machine", "spaceship", "wind", "road", "water", "rain", "fire")
    drums = of("drumkits/")
    made = {
        "speech": lambda: voices.pop() if voices else None,
        "babble": lambda: crowd(speakers),
        "handling": lambda: strewn(clatter, (0.0, 1.5), 2.5),
        "rhythmic": lambda: beaten(drums) if chance.random() < 0.8 else excerpt(hum),
        "music": lambda: excerpt(music),
        "alarm": lambda: repeated(of("oxygen-sounds", "deepin-sound", "yaru-theme")),
        "ventilation": lambda: excerpt(hum),
        "ambience": lambda: strewn(of("sound/animals", "sound/farm", "exotic-birds"), (0.0, 2.0), 8.0),
    }
    speakers = list(voices)
    counts = {"speech": len(voices), "babble": 160, "handling": 220, "rhythmic": 150, "music": 120, "alarm": 100, "ventilation": 40, "ambience": 30}
    for kind, make in made.items():
        (to / kind).mkdir(parents=True, exist_ok=True)
        for number in range(counts[kind]):
            x = make()
            if x is None or np.abs(x).max() < 1e-3:
                continue
            with wave.open(str(to / kind / f"{number:04}.wav"), "wb") as out:
                out.setparams((1, 2, RATE, 0, "NONE", ""))
                out.writeframes((x / np.abs(x).max() * 26000).astype("<i2").tobytes())
        print(kind, len(list((to / kind).iterdir())), flush=True)


if __name__ == "__main__":
    main()
