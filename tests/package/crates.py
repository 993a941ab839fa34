#!/usr/bin/env python3
"""What a package is made of: the licences of all crates in it, and its bill of materials (CycloneDX 1.5).

Reads `cargo metadata` for one target without dev-dependencies, `Cargo.lock` for the hashes, and the licence files that the
crates bring. Nothing in the output depends on the machine or the day.

usage: crates.py TARGET LICENCES BOM
"""

import hashlib
import json
import os
import re
import subprocess
import sys
import tomllib
import uuid

LICENCE = re.compile(r"^(licen[cs]e|copying|notice|unlicense|copyright)", re.IGNORECASE)
# Where in a package's folder licence files lie.
FOLDERS = ["", "LICENSES", "licenses", "license", "LICENSE"]


def metadata(target):
    """The packages that are built into the program for this target, and who needs whom."""
    cargo = os.environ.get("CARGO", "cargo")
    words = [cargo, "metadata", "--format-version", "1", "--locked", "--filter-platform", target]
    told = json.loads(subprocess.run(words, check=True, capture_output=True, text=True).stdout)
    packages = {package["id"]: package for package in told["packages"]}
    nodes = {node["id"]: node for node in told["resolve"]["nodes"]}
    root = told["resolve"]["root"]
    needs, open_ = {}, [root]
    while open_:
        one = open_.pop()
        if one in needs:
            continue
        # Build-dependencies are in it too: some write code that is then compiled in.
        kinds = lambda dep: any(kind["kind"] != "dev" for kind in dep["dep_kinds"])
        needs[one] = sorted(dep["pkg"] for dep in nodes[one]["deps"] if kinds(dep))
        open_ += needs[one]
    return packages, needs, root


def texts(package):
    """The licence files of a crate: (name, text)."""
    folder = os.path.dirname(package["manifest_path"])
    found = []
    for within in FOLDERS:
        place = os.path.join(folder, within)
        for name in sorted(os.listdir(place)) if os.path.isdir(place) else []:
            path = os.path.join(place, name)
            if LICENCE.match(name) and os.path.isfile(path):
                with open(path, encoding="utf-8", errors="replace") as file:
                    found.append((name, file.read().replace("\r\n", "\n").strip()))
    if package.get("license_file") and not found:
        with open(os.path.join(folder, package["license_file"]), encoding="utf-8", errors="replace") as file:
            found.append((package["license_file"], file.read().strip()))
    return found


def licences(packages, needs, root, target):
    """Every crate with its licence; each text once, with the crates that it is of."""
    lines = [
        f"Crates that are built into Cuffnote {packages[root]['version']} for {target}, with their licences.",
        "What is under MPL-2.0 is used unchanged; its source is in the public crate registry under the name and version given.",
        "The standard library of Rust is in it too (MIT OR Apache-2.0, the Rust project's developers)"
        + (", and the start-up code of mingw-w64 (public domain, or under its terms without conditions on programs)." if "windows" in target else "."),
        "The program's own licence and those of its fonts and weights stand in NOTICE.",
        "",
    ]
    by_text, bare = {}, []
    ids = sorted((one for one in needs if one != root), key=lambda one: (packages[one]["name"], packages[one]["version"]))
    for one in ids:
        package = packages[one]
        name = f"{package['name']} {package['version']}"
        lines.append(f"{name}: {package['license'] or 'see its licence file'}")
        found = texts(package)
        if not found:
            by = f", by {', '.join(package['authors'])}" if package["authors"] else ""
            bare.append((name, f"{package['license']}{by}"))
        for file, text in found:
            by_text.setdefault(text, []).append(f"{name} ({file})")
    if bare:
        lines += ["", "These bring no licence text of their own and are used under the expression given above;", "the texts of MIT and of Apache-2.0 stand below or beside this file:"]
        lines += [f"  {name}: {expression}" for name, expression in bare]
    for text, names in sorted(by_text.items(), key=lambda item: item[1]):
        lines += ["", "-" * 80, *names, "-" * 80, "", text]
    return "\n".join(lines) + "\n", bare


def bom(packages, needs, root, target):
    with open("Cargo.lock", "rb") as file:
        locked = {(p["name"], p["version"]): p.get("checksum") for p in tomllib.load(file)["package"]}
    ref = lambda one: f"pkg:cargo/{packages[one]['name']}@{packages[one]['version']}"

    def component(one, kind):
        package = packages[one]
        made = {"type": kind, "bom-ref": ref(one), "name": package["name"], "version": package["version"]}
        if package.get("description"):
            made["description"] = " ".join(package["description"].split())
        checksum = locked.get((package["name"], package["version"]))
        if checksum:
            made["hashes"] = [{"alg": "SHA-256", "content": checksum}]
        if package["license"]:
            made["licenses"] = [{"expression": package["license"].replace("/", " OR ")}]
        if one != root:
            made["purl"] = ref(one)
        return made

    ids = sorted(needs, key=ref)
    document = {
        "bomFormat": "CycloneDX",
        "specVersion": "1.5",
        "version": 1,
        "metadata": {"component": component(root, "application"), "properties": [{"name": "target", "value": target}]},
        "components": [component(one, "library") for one in ids if one != root],
        "dependencies": [{"ref": ref(one), "dependsOn": sorted({ref(dep) for dep in needs[one]})} for one in ids],
    }
    digest = hashlib.sha256(json.dumps(document, sort_keys=True).encode()).digest()
    document["serialNumber"] = f"urn:uuid:{uuid.UUID(bytes=digest[:16], version=4)}"
    return json.dumps(document, indent=1, sort_keys=True) + "\n"


def main():
    target, licence_file, bom_file = sys.argv[1:]
    packages, needs, root = metadata(target)
    text, bare = licences(packages, needs, root, target)
    with open(licence_file, "w", encoding="utf-8", newline="\n") as file:
        file.write(text)
    with open(bom_file, "w", encoding="utf-8", newline="\n") as file:
        file.write(bom(packages, needs, root, target))
    print(f"{len(needs) - 1} crates for {target}; {len(bare)} without a licence text of their own", file=sys.stderr)


main()
