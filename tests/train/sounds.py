"""Makes a folder of room sounds to train on: sounds.py WORK_DIR TO_DIR.

From Debian packages of free sounds, none of which is one from which the trial's recorded sounds come, so that those
stay unheard until they tune or report; and from sounds drawn by chance, which nobody recorded. Voices are strung
together, crowds are voices at once, clatter is strewn, drums are beaten in loops, chimes are repeated. A file is
known as voice, music, drum or effect by its package and folder. Every sound has a seed of its own. Needs apt-get,
dpkg-deb, ffmpeg, espeak-ng and flite. TO_DIR gets KIND/NUMBER.wav, 16 kHz mono, 12 s.
"""

import functools
import multiprocessing
import pathlib
import subprocess
import sys
import wave

import numpy as np

RATE, SECONDS = 16_000, 12
COUNT = RATE * SECONDS
VOICES = "fillets-ng-data-cs fillets-ng-data-nl ktuberling-data klettres-data"
EFFECTS = """tuxpaint-stamps-default hedgewars-data oxygen-sounds deepin-sound-theme yaru-theme-sound supertux-data supertuxkart-data torcs-data
megaglest-data freedroidrpg-data widelands-data ardentryst warmux-data boswars-data xmoto-data openclonk-data glob2-data pingus-data
stormbaancoureur-data trackballs-data frozen-bubble-data lbreakout2-data circuslinux-data madbomber-data tuxmath-data tuxtype-data bzflag-data
chromium-bsu-data tecnoballz-data unknown-horizons opencity-data scorched3d-data holotz-castle-data enigma-data monsterz-data pinball-data
pokerth-data starvoyager-data wing-data ri-li-data crrcsim-data torus-trooper-data noiz2sa-data rrootage-data tumiki-fighters-data mu-cade-data
titanion-data gunroar-data val-and-rick-data a7xpg-data parsec47-data starfighter-data minetest-data pidgin-data freedink-data renpy-demo
lugaru-data colobot-common-sounds alienblaster-data epiphany-data foobillardplus-data granatier kbounce kdiamond kolf kgoldrunner kapman kblocks
ksirk pathological powermanga-data psi-plus-sounds supertransball2-data tworld-data wordwarvi-sound amoebax-data blockout2 brainparty-data
burgerspace caveexpress-data gweled hex-a-hop-data komi lmarbles meritous-data mirrormagic-data overgod-data planetblupi-common
slimevolley-data tuxfootball heroes-sound-effects sound-icons"""
MUSIC = "warzone2100-music singularity-music hyperrogue-music lordsawar-data zaz-data fretsonfire-songs-sectoid planetblupi-music-ogg drascula-music asc-music"
DRUMS = "hydrogen-drumkits hydrogen-drumkits-effects hydrogen-data"
PACKAGES = " ".join([VOICES, EFFECTS, MUSIC, DRUMS]).split()
ENDINGS = {".ogg", ".oga", ".wav", ".flac", ".mp3"}
KINDS = {"speech": 760, "babble": 340, "handling": 1000, "rhythmic": 860, "music": 480, "alarm": 420, "ventilation": 200, "ambience": 140}
WORDS = """please lie still now the cuff will feel tight for a moment is that warm enough the window is open. have you had your tea
yes, the nurse comes later with a chair and the other bed? it was raining on monday, my daughter drove me here and we waited; thank you very
much, no, not at all. where does it hurt most when you walk up the hill in the morning""".split()
TONGUES = "en de fr es it nl sv da pl cs hu fi tr el pt ro hr sk".split()
VARIANTS = ["", "+m1", "+m3", "+m7", "+f1", "+f2", "+f4", "+croak", "+whisper"]


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


def sort(work):
    """The files as voices (by speaker), effects, music, drums."""
    files = sorted(p for package in PACKAGES for p in (work / package).rglob("*") if p.suffix in ENDINGS and p.is_file())
    of = {"voices": {}, "effects": [], "music": [], "drums": [], "chimes": []}
    for path in files:
        package, text = path.relative_to(work).parts[0], str(path).lower()
        spoken = package in VOICES or "_desc" in path.stem or "/voice" in text or "/speech" in text
        if spoken:
            tongue = path.stem.split("_", 1)[-1] if package.startswith("tuxpaint") else path.parent.name
            of["voices"].setdefault((package, tongue), []).append(path)
        elif package in DRUMS:
            of["drums"].append(path)
        elif package in MUSIC or "music" in text:
            of["music"].append(path)
        elif package in ("oxygen-sounds", "deepin-sound-theme", "yaru-theme-sound", "pidgin-data", "psi-plus-sounds"):
            of["chimes"].append(path)
        else:
            of["effects"].append(path)
    of["voices"] = [paths for paths in of["voices"].values() if len(paths) >= 15]
    return of


@functools.lru_cache(2500)
def heard(path):
    """The first 30 s as mono at 16 kHz, its loudest sample at 1; `None` where nothing is heard."""
    x = decoded(["-t", "30", "-i", path])
    peak = np.abs(x).max() if len(x) > 400 else 0.0
    return x / peak if peak > 1e-3 else None


def decoded(source, given=None):
    command = ["ffmpeg", "-v", "quiet", *source, "-f", "f32le", "-ac", "1", "-ar", str(RATE), "-"]
    return np.frombuffer(subprocess.run(command, input=given, capture_output=True).stdout, "<f4")


def pick(c, paths, longest_s=30.0):
    for _ in range(30):
        x = heard(paths[c.integers(len(paths))])
        if x is not None and len(x) <= longest_s * RATE:
            return x
    return np.zeros(RATE, np.float32)


def lay(track, at, x, gain=1.0):
    n = min(len(x), len(track) - at)
    if n > 0:
        track[at:at + n] += x[:n] * gain


def strewn(c, draw, gap_s):
    """One after the other, with pauses drawn from this range."""
    track, at = np.zeros(COUNT), 0
    while at < COUNT:
        x = draw()
        lay(track, at, x, c.uniform(0.4, 1.0))
        at += len(x) + int(c.uniform(*gap_s) * RATE) + 1
    return track


def crowd(c, voice):
    return sum(np.roll(voice(), c.integers(COUNT)) * c.uniform(0.2, 1.0) for _ in range(c.integers(3, 12)))


def beaten(c, draw):
    """A loop of some steps with a few instruments."""
    steps = int(c.choice([3, 4, 6, 8, 12, 16]))
    step = int(RATE * 60 / c.uniform(50, 170) / 4)
    track = np.zeros(COUNT)
    for _ in range(c.integers(1, 6)):
        x = draw()
        pattern = np.flatnonzero(c.random(steps) < c.uniform(0.1, 0.5))
        for bar in range(0, COUNT, steps * step):
            for at in bar + pattern * step:
                lay(track, at, x, c.uniform(0.7, 1.0))
    return track


def repeated(c, x):
    """One sound, again and again at an even pace."""
    cut = x[:max(400, int(c.uniform(0.15, 1.0) * len(x)))][:6 * RATE]
    period = len(cut) + int(max(0.0, c.uniform(-0.3, 1.5)) * RATE)
    return np.resize(np.pad(cut, (0, period - len(cut))), COUNT)


def excerpt(c, x):
    return np.resize(np.roll(x, -c.integers(len(x))), COUNT)


def spoken(c):
    """A synthetic voice, for tongues and pitches that no recording has."""
    words = " ".join(c.choice(WORDS, 30))
    if c.random() < 0.25:
        made = subprocess.run(["flite", "-voice", c.choice(["awb", "rms", "slt", "kal16"]), "-t", words, "/dev/stdout"], capture_output=True)
    else:
        made = subprocess.run(["espeak-ng", "-v", c.choice(TONGUES) + c.choice(VARIANTS), "-p", str(c.integers(10, 95)), "-s",
                               str(c.integers(110, 220)), "-w", "/dev/stdout", words], capture_output=True)
    x = decoded(["-i", "-"], made.stdout)
    return np.resize(x, COUNT) if len(x) > RATE else np.zeros(COUNT)


def log_between(c, low, high):
    return float(np.exp(c.uniform(np.log(low), np.log(high))))


def coloured(c, count):
    """Noise of a drawn spectrum: a few humps over a slope."""
    hz = np.fft.rfftfreq(count, 1 / RATE) + 20.0
    gain = hz ** c.uniform(-1.5, 0.3)
    for _ in range(c.integers(1, 4)):
        width = c.uniform(0.05, 0.8)
        gain *= 1 + c.uniform(1, 30) * np.exp(-0.5 * (np.log(hz / log_between(c, 80, 6000)) / width) ** 2)
    x = np.fft.irfft(np.fft.rfft(c.normal(size=count)) * gain, count)
    return x / x.std()


def tone(c, t):
    """Partials, harmonic as of strings and sirens or not as of metal, gliding or not."""
    base = log_between(c, 60, 2500)
    glide = np.cumsum(np.exp(c.normal() * 0.3 * (c.random() < 0.4) * t / t[-1])) / RATE
    wobble = c.uniform(0, 0.01) * np.sin(2 * np.pi * c.uniform(3, 9) * t) * (c.random() < 0.3)
    harmonic, falls = c.random() < 0.6, c.random() < 0.5
    x = np.zeros(len(t))
    for n in range(1, c.integers(2, 14)):
        hz = base * (n if harmonic else log_between(c, 1, 9))
        if hz < 7500:
            dies = np.exp(-t * n * c.uniform(0, 12)) if falls else 1.0
            x += np.sin(2 * np.pi * hz * (glide + wobble) + c.uniform(0, 6.28)) * dies * n ** -c.uniform(0.3, 2)
    return x / max(x.std(), 1e-6)


def event(c, tonal):
    """A short sound that nobody recorded: noise, tone, a ratchet, or two of these, under a drawn envelope."""
    length_s = log_between(c, 0.02, 1.2)
    t = np.arange(1, int(length_s * RATE) + 400) / RATE
    x = np.zeros(len(t))
    for _ in range(c.integers(1, 3)):
        part = tone(c, t) if c.random() < tonal else coloured(c, len(t))
        if c.random() < 0.15:
            part = part * (np.sin(2 * np.pi * c.uniform(8, 70) * t) > c.uniform(-0.5, 0.8))
        x += part * c.uniform(0.2, 1.0)
    rises = np.minimum(1.0, t / log_between(c, 0.001, 0.4 * length_s + 0.002))
    falls = np.exp(-t / (length_s * c.uniform(0.1, 0.6))) if c.random() < 0.6 else np.minimum(1.0, (t[-1] - t) / log_between(c, 0.003, length_s))
    x = x * rises * falls
    return x / max(np.abs(x).max(), 1e-6)


def steady(c):
    """A fan, a road, water: noise of a drawn colour that swells slowly, with or without a hum."""
    x = coloured(c, COUNT)
    if c.random() < 0.4:
        x += c.uniform(0.1, 2.0) * tone(c, np.arange(1, COUNT + 1) / RATE)
    points = int(c.integers(3, 60))
    swell = np.interp(np.arange(COUNT), np.linspace(0, COUNT, points), c.uniform(c.uniform(0.2, 1.0), 1.0, points))
    return x * swell


def make(of, c, kind):
    voice = lambda: strewn(c, lambda paths=of["voices"][c.integers(len(of["voices"]))]: pick(c, paths), (0.0, 0.9)) if c.random() < 0.75 else spoken(c)
    effect = lambda longest_s=2.5: pick(c, of["effects"], longest_s)
    drawn = c.random() < 0.4
    if kind == "speech":
        return voice()
    if kind == "babble":
        return crowd(c, voice)
    if kind == "handling":
        tonal, few = c.uniform(0, 0.5), [event(c, 0.3) for _ in range(c.integers(1, 5))]
        return strewn(c, (lambda: event(c, tonal) if c.random() < 0.5 else few[c.integers(len(few))]) if drawn else effect, (0.0, c.uniform(0.2, 2.0)))
    if kind == "rhythmic":
        source = c.random()
        if source < 0.35:
            return beaten(c, lambda: pick(c, of["drums"]))
        if source < 0.6:
            return beaten(c, lambda: event(c, 0.3))
        return repeated(c, effect(4.0)) if source < 0.8 else beaten(c, lambda: effect(1.5))
    if kind == "music":
        return excerpt(c, pick(c, of["music"])) if c.random() < 0.7 else sum(beaten(c, lambda: event(c, 1.0)) for _ in range(c.integers(1, 4)))
    if kind == "alarm":
        return beaten(c, lambda: event(c, 1.0)) if drawn else repeated(c, pick(c, of["chimes"] if c.random() < 0.6 else of["effects"], 6.0))
    if kind == "ventilation":
        return steady(c)
    return strewn(c, lambda: effect(8.0), (0.0, 2.0))


def write(to, x):
    with wave.open(str(to), "wb") as out:
        out.setparams((1, 2, RATE, 0, "NONE", ""))
        out.writeframes((x / np.abs(x).max() * 26000).astype("<i2").tobytes())


def one(of, kind, number, to):
    x = make(of, np.random.default_rng([7, list(KINDS).index(kind), number]), kind)
    if np.abs(x).max() > 1e-3:
        write(to, x)


def main():
    work, to = map(pathlib.Path, sys.argv[1:3])
    unpack(work)
    of = sort(work)
    print({name: len(paths) for name, paths in of.items()}, flush=True)
    tasks = []
    for kind, count in KINDS.items():
        (to / kind).mkdir(parents=True, exist_ok=True)
        tasks += [(kind, n, to / kind / f"{n:04}.wav") for n in range(count)]
    with multiprocessing.Pool() as pool:
        pool.starmap(functools.partial(one, of), tasks, chunksize=64)


if __name__ == "__main__":
    main()
