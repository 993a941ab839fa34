"""Makes the bank of room sounds that the second hearing learns on: bank.py WORK_DIR BANK.npz [SOURCES.csv].

Sounds of free Debian packages, none of which is one from which the trial's recorded sounds come, and synthetic voices.
Each is brought to 8 kHz, its loudest sample to 1, cut to a few seconds and kept in eight bits (mu-law), all of a kind in
one row. SOURCES.csv gets each package with its version, SHA-256 and licences. Needs apt-get, dpkg-deb, ffmpeg,
espeak-ng, flite, and festival with the voices of SPEAKERS installed. Seed 11 throughout.
"""

import csv
import hashlib
import pathlib
import random
import re
import subprocess
import sys
import zipfile
from concurrent.futures import ThreadPoolExecutor

import numpy as np

RATE = 8_000
VOICES = "fillets-ng-data-cs fillets-ng-data-nl asterisk-prompt-it-menardi-wav asterisk-prompt-fr-armelle asterisk-prompt-es-co".split()
WORDS = "klettres-data ktuberling-data gcin-voice".split()
DRUMS = "hydrogen-drumkits hydrogen-drumkits-effects hydrogen-data".split()
CHIMES = "oxygen-sounds deepin-sound-theme yaru-theme-sound pidgin-data psi-plus-sounds sound-icons gnome-audio eiskaltdcpp-sounds kanagram".split()
MUSIC = """singularity-music hyperrogue-music lordsawar-data zaz-data fretsonfire-songs-sectoid planetblupi-music-ogg drascula-music
asc-music warzone2100-music""".split()
EFFECTS = """hedgewars-data freedroidrpg-data supertux-data warmux-data pingus-data tuxpaint-stamps-default minetest-data
tuxmath-data tuxtype-data lbreakout2-data frozen-bubble-data heroes-sound-effects granatier kbounce kapman kolf ksirk
planetblupi-common holotz-castle-data enigma-data pokerth-data ri-li-data colobot-common-sounds foobillardplus-data
opencity-data widelands-data tworld-data amoebax-data gweled ardentryst boswars-data xmoto-data
openclonk-data glob2-data stormbaancoureur-data trackballs-data circuslinux-data madbomber-data bzflag-data chromium-bsu-data tecnoballz-data
scorched3d-data monsterz-data pinball-data starvoyager-data wing-data crrcsim-data torus-trooper-data noiz2sa-data
tumiki-fighters-data mu-cade-data titanion-data gunroar-data val-and-rick-data a7xpg-data parsec47-data starfighter-data freedink-data renpy-demo
lugaru-data alienblaster-data epiphany-data kdiamond kgoldrunner kblocks pathological powermanga-data supertransball2-data wordwarvi-sound
blockout2 brainparty-data burgerspace caveexpress-data hex-a-hop-data komi lmarbles meritous-data mirrormagic-data overgod-data
slimevolley-data tuxfootball ufoai-sound openarena-data warzone2100-data marsshooter-data endless-sky-data megaglest-data unknown-horizons nexuiz-data torcs-data
pysiogame flare-game supertuxkart-data""".split()
PACKAGES = VOICES + WORDS + DRUMS + CHIMES + MUSIC + EFFECTS
ENDINGS = {".ogg", ".oga", ".wav", ".flac", ".mp3", ".gsm"}
# Of each kind: seconds in all, the longest sound kept.
BUDGET = {"talk": (5000, 8.0), "words": (1500, 4.0), "effect": (4000, 3.0), "drum": (300, 1.0), "music": (1200, 10.0), "chime": (200, 3.0)}
SYNTHETIC_S = 3000
TONGUES = "en de fr es it nl sv da pl cs hu fi tr el pt ro hr sk ru uk bg lt lv et".split()
VARIANTS = ["", "+m1", "+m3", "+m7", "+f1", "+f2", "+f4", "+croak", "+whisper"]
# Voices of festival, of other makings than the two programs above; those of another script get words of their own.
# (Those of the last three packages gave no sound with Debian 12's festival, and were passed over.)
SPEAKERS = """festival festvox-ca-ona-hts festvox-czech-dita festvox-czech-krb festvox-czech-machac festvox-czech-ph festvox-italp16k festvox-itapc16k
festvox-kallpc16k festvox-kdlpc16k festvox-ru festvox-suopuhe-common festvox-suopuhe-lj festvox-suopuhe-mv festvox-us-slt-hts
festvox-hi-nsk festvox-mr-nsk festvox-te-nsk""".split()
FESTIVAL = dict(upc_ca_ona_hts="", czech_dita="", czech_krb="", czech_machac="", czech_ph="", kal_diphone="", ked_diphone="", hy_fi_mv_diphone="", suo_fi_lj_diphone="",
                lp_diphone="", pc_diphone="", cmu_us_slt_arctic_hts="", msu_ru_nsh_clunits="лежите спокойно манжета сейчас немного сожмёт ногу а потом отпустит вам тепло окно открыто сестра придёт позже",
                hindi_NSK_diphone="अब आराम से लेट जाइए पट्टी थोड़ी कसेगी फिर ढीली होगी खिड़की खुली है", marathi_NSK_diphone="आता शांत पडून राहा पट्टी थोडी घट्ट होईल मग सैल होईल खिडकी उघडी आहे",
                telugu_NSK_diphone="ఇప్పుడు కదలకుండా పడుకోండి పట్టీ కొంచెం బిగుతుగా ఉంటుంది తర్వాత వదులుతుంది")
TEXT = """please lie still now the cuff will feel tight for a moment is that warm enough the window is open. have you had your tea
yes, the nurse comes later with a chair and the other bed? it was raining on monday, my daughter drove me here and we waited; thank you very
much, no, not at all. where does it hurt most when you walk up the hill in the morning""".split()


def unpack(work):
    """Fetches and unpacks what is missing; the packages' version, hash and licences."""
    rows = []
    for package in PACKAGES + SPEAKERS:
        archives = list(work.glob(f"{package}_*.deb"))
        if not archives:
            subprocess.run(["apt-get", "download", "-qq", package], cwd=work, check=True)
            archives = list(work.glob(f"{package}_*.deb"))
        to = work / "x" / package
        if not to.exists():
            to.mkdir(parents=True)
            subprocess.run(["dpkg-deb", "-x", archives[0], to], check=True)
            for packed in [p for p in to.rglob("*") if p.suffix in (".pk3", ".wz") and p.is_file()]:
                with zipfile.ZipFile(packed) as file:
                    file.extractall(packed.with_suffix(".unpacked"), [n for n in file.namelist() if pathlib.Path(n).suffix in ENDINGS])
        version = archives[0].name.split("_")[1].replace("%3a", ":")
        terms = (to / "usr/share/doc" / package / "copyright")
        said = terms.read_text(errors="replace") if terms.exists() else ""
        licences = sorted(set(re.findall(r"^License: *(\S.*)$", said, re.M))) or ["as in the package's copyright file"]
        rows.append([package, version, hashlib.sha256(archives[0].read_bytes()).hexdigest(), "; ".join(licences)])
    return rows


def kind(path, root):
    """What a file is, by its package and folder."""
    package, text = path.relative_to(root).parts[0], str(path).lower()
    if package in VOICES:
        return "music" if "music" in text else "talk"
    if package in WORDS or "_desc" in path.stem or "/voice" in text or "speech" in text:
        return "words"
    if package in DRUMS:
        return "drum"
    if package in MUSIC or "music" in text:
        return "music"
    return "chime" if package in CHIMES else "effect"


def trimmed(x):
    """Without silence at its ends, loudest sample 1; `None` where nothing is heard."""
    peak = np.abs(x).max() if len(x) > 0.05 * RATE else 0.0
    if peak < 50 / 32_768:
        return None
    x = x / peak
    heard = np.flatnonzero(np.abs(x) > 0.02)
    return x[heard[0]:heard[-1] + 1]


def decoded(source, given=None):
    command = ["ffmpeg", "-v", "quiet", *source, "-f", "f32le", "-ac", "1", "-ar", str(RATE), "-"]
    try:
        x = np.frombuffer(subprocess.run(command, input=given, capture_output=True, timeout=40).stdout, "<f4")
    except subprocess.TimeoutExpired:
        return None
    return trimmed(x[8 * RATE:] if len(x) > 30 * RATE else x)


def in_order(paths, what, chance):
    """By chance; voices in runs of one folder, so that neighbours share a speaker."""
    if what not in ("talk", "words"):
        chance.shuffle(paths)
        return paths
    folders, length = {}, 40 if what == "talk" else 20
    for path in sorted(paths):
        folders.setdefault(path.parent, []).append(path)
    runs = [of[i:i + length] for of in folders.values() for i in range(0, len(of), length)]
    chance.shuffle(runs)
    return [path for run in runs for path in run]


def gathered(paths, seconds, longest_s):
    """Sounds of these files until there are so many seconds."""
    kept, total = [], 0
    with ThreadPoolExecutor(2) as pool:
        for at in range(0, len(paths), 40):
            for x in pool.map(lambda p: decoded(["-t", "40", "-i", str(p)]), paths[at:at + 40]):
                if x is None or len(x) < 0.04 * RATE or total >= seconds * RATE:
                    continue
                kept.append(x[:int(longest_s * RATE)])
                total += len(kept[-1])
            if total >= seconds * RATE:
                break
    return kept


def spoken(chance):
    """A sentence in a synthetic voice, for tongues and pitches that no recording has."""
    words = " ".join(chance.choices(TEXT, k=14))
    which = chance.random()
    if which < 0.4:
        name = chance.choice(list(FESTIVAL))
        words = " ".join(chance.choices(FESTIVAL[name].split() or TEXT, k=14))
        pace = f"(Parameter.set 'Duration_Stretch {chance.uniform(0.75, 1.3):.2f})"
        made = subprocess.run(["text2wave", "-eval", f"(voice_{name})", "-eval", pace], input=words.encode(), capture_output=True)
    elif which < 0.55:
        made = subprocess.run(["flite", "-voice", chance.choice(["awb", "rms", "slt", "kal16"]), "-t", words, "/dev/stdout"], capture_output=True)
    else:
        voice = chance.choice(TONGUES) + chance.choice(VARIANTS)
        made = subprocess.run(["espeak-ng", "-v", voice, "-p", str(chance.randint(10, 95)), "-s", str(chance.randint(110, 220)), "-w", "/dev/stdout", words], capture_output=True)
    return decoded(["-i", "-"], made.stdout)


def main():
    work, to = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    chance = random.Random(11)
    rows = unpack(work)
    if len(sys.argv) > 3:
        with open(sys.argv[3], "w", newline="") as out:
            csv.writer(out, lineterminator="\n").writerows([["package", "version", "sha256", "licences"], *rows])
    root = work / "x"
    files = sorted(p for package in PACKAGES for p in (root / package).rglob("*") if p.suffix in ENDINGS and p.is_file())
    by = {what: [p for p in files if kind(p, root) == what] for what in BUDGET}
    bank = {}
    for what, (seconds, longest_s) in BUDGET.items():
        sounds = gathered(in_order(by[what], what, chance), seconds, longest_s)
        if what == "talk":
            while sum(map(len, sounds)) < (seconds + SYNTHETIC_S) * RATE:
                voice = spoken(chance)
                sounds += [] if voice is None else [voice[:int(longest_s * RATE)]]
        print(what, len(by[what]), "files,", len(sounds), "sounds,", round(sum(map(len, sounds)) / RATE), "s", flush=True)
        law = [(np.sign(x) * np.log1p(255 * np.abs(x)) / np.log(256) * 127).round().astype(np.int8) for x in sounds]
        bank[what + "_x"], bank[what + "_n"] = np.concatenate(law), np.array([len(x) for x in law])
    np.savez_compressed(to, **bank)
    print("SHA-256 of the sounds:", hashlib.sha256(b"".join(bank[k].tobytes() for k in sorted(bank))).hexdigest())


if __name__ == "__main__":
    main()
