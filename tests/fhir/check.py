"""Checks FHIR R4 bundles with two independent validators and three invariants, and their own sharpness.

Usage: check.py FHIR_SCHEMA_JSON FOLDER DEFINITIONS. Every resource in DEFINITIONS, and every *.fhir.json in FOLDER must be accepted by fhirkit-rs (structure,
cardinality, dates) and by the R4 JSON schema (value sets), and must hold obs-6, obs-7 and qty-3 (fhirpathpy).
Then each bundle is broken in many ways, and at least one of the three must refuse each broken copy.
"""

import copy
import json
import pathlib
import sys

import fhirkit
import jsonschema
from fhirpathpy import evaluate
from fhirpathpy.models import models

# From the R4 definitions of Observation and Quantity (hl7.org/fhir/R4/observation.html and datatypes.html).
INVARIANTS = {
    "obs-6": ("Observation", "dataAbsentReason.empty() or value.empty()"),
    "obs-7": (
        "Observation",
        "value.empty() or component.code.where(coding.intersect(%resource.code.coding).exists()).empty()",
    ),
}
QTY_3 = "code.empty() or system.exists()"


class Checks:
    def __init__(self, schema):
        self.definitions = schema["definitions"]
        self.schemas = {}

    def by_library(self, bundle):
        issues = fhirkit.validate(json.dumps(bundle))
        return [str(issue) for issue in issues if "error" in str(issue).lower()] or [str(i) for i in issues]

    def of_kind(self, kind):
        if kind not in self.schemas:
            one = {"$schema": "http://json-schema.org/draft-06/schema#", "definitions": self.definitions,
                   "$ref": f"#/definitions/{kind}"}
            self.schemas[kind] = jsonschema.Draft6Validator(one)
        return self.schemas[kind]

    def by_schema(self, bundle):
        """The bundle's own frame, then each resource by its own kind: quicker than one search over all kinds."""
        entries = bundle.get("entry", [])
        frame = {**bundle, "entry": [{k: v for k, v in e.items() if k != "resource"} for e in entries]}
        faults = [f"{list(e.absolute_path)}: {e.message[:120]}" for e in self.of_kind("Bundle").iter_errors(frame)]
        for entry in entries:
            resource = entry.get("resource", {})
            kind = resource.get("resourceType")
            if kind in self.definitions:
                found = self.of_kind(kind).iter_errors(resource)
                faults += [f"{kind} {list(e.absolute_path)}: {e.message[:120]}" for e in found]
            else:
                faults.append(f"{kind} is no resource")
        return faults

    def by_invariant(self, bundle):
        faults = []
        for entry in bundle.get("entry", []):
            resource = entry.get("resource", {})
            for name, (kind, rule) in INVARIANTS.items():
                if resource.get("resourceType") == kind:
                    if evaluate(resource, rule, {"resource": resource}, models["r4"]) != [True]:
                        faults.append(name)
            for quantity in quantities(resource):
                if evaluate(quantity, QTY_3, {}, models["r4"]) != [True]:
                    faults.append("qty-3")
        return faults

    def all(self, bundle):
        return {"library": self.by_library(bundle), "schema": self.by_schema(bundle),
                "invariants": self.by_invariant(bundle)}


def quantities(value):
    if isinstance(value, dict):
        for name, inside in value.items():
            if name == "valueQuantity":
                yield inside
            yield from quantities(inside)
    elif isinstance(value, list):
        for inside in value:
            yield from quantities(inside)


def first(bundle, wanted):
    for entry in bundle["entry"]:
        if entry["resource"]["resourceType"] == "Observation" and wanted(entry["resource"]):
            return entry["resource"]
    return None


def with_value(resource):
    return "valueQuantity" in resource


def edit(wanted, change):
    """A way to break the first Observation that `wanted` picks; None where the bundle has none."""
    def broken(bundle):
        observation = first(bundle, wanted)
        if observation is None:
            return None
        change(observation)
        return bundle
    return broken


def whole(change):
    def broken(bundle):
        change(bundle)
        return bundle
    return broken


BREAKS = {
    "no code": edit(with_value, lambda o: o.pop("code")),
    "no status": edit(with_value, lambda o: o.pop("status")),
    "unknown status": edit(with_value, lambda o: o.update(status="done")),
    "a number as text": edit(with_value, lambda o: o["valueQuantity"].update(value="104")),
    "unknown field": edit(with_value, lambda o: o.update(pressure=104)),
    "no date": edit(with_value, lambda o: o.update(effectiveDateTime="yesterday")),
    "a day in the wrong order": edit(with_value, lambda o: o.update(effectiveDateTime="24-11-2026")),
    "value and its absence (obs-6)": edit(with_value, lambda o: o.update(dataAbsentReason={"text": "none"})),
    "a component with the code of the whole (obs-7)": edit(
        with_value, lambda o: o.update(component=[{"code": copy.deepcopy(o["code"])}])),
    "a unit's code without its system (qty-3)": edit(with_value, lambda o: o["valueQuantity"].pop("system")),
    "hasMember as text": edit(lambda o: "hasMember" in o, lambda o: o.update(hasMember="all")),
    "derivedFrom as an object": edit(
        lambda o: "derivedFrom" in o, lambda o: o.update(derivedFrom=o["derivedFrom"][0])),
    "two body sites": edit(with_value, lambda o: o.update(bodySite=[o.get("bodySite", {})] * 2)),
    "unknown comparator": edit(with_value, lambda o: o["valueQuantity"].update(comparator="~")),
    "an extension without url": edit(lambda o: "extension" in o, lambda o: o["extension"][0].pop("url")),
    "unknown kind of bundle": whole(lambda b: b.update(type="parcel")),
    "unknown resource": whole(lambda b: b["entry"][0]["resource"].update(resourceType="Gauge")),
    "request without method": whole(lambda b: b["entry"][0]["request"].pop("method")),
    "unknown method": whole(lambda b: b["entry"][0]["request"].update(method="SEND")),
    "bundle without type": whole(lambda b: b.pop("type")),
}


def main():
    checks = Checks(json.loads(pathlib.Path(sys.argv[1]).read_text()))
    files = sorted(pathlib.Path(sys.argv[2]).glob("*.fhir.json"))
    if not files:
        sys.exit("no bundle to check")
    bad, caught, tried = [], {}, set()
    definitions = sorted(pathlib.Path(sys.argv[3]).glob("*.json"))
    if len(definitions) < 5:
        sys.exit("no definitions to check")
    for path in definitions:
        resource = json.loads(path.read_text())
        found = [e.message[:120] for e in checks.of_kind(resource["resourceType"]).iter_errors(resource)]
        found += [str(issue) for issue in fhirkit.validate(json.dumps(resource))]
        bad += [f"{path.name}: {fault}" for fault in found]
    for path in files:
        text = path.read_text()
        bundle = json.loads(text)
        for who, faults in checks.all(bundle).items():
            bad += [f"{path.name}: {who}: {fault}" for fault in faults]
        for name, change in BREAKS.items():
            broken = change(json.loads(text))
            if broken is None:
                continue
            tried.add(name)
            refused = [who for who, faults in checks.all(broken).items() if faults]
            caught.setdefault(name, set()).update(refused)
            if not refused:
                bad.append(f"{path.name}: nobody refused: {name}")
    bad += [f"never tried: {name}" for name in BREAKS if name not in tried]
    for name, who in caught.items():
        print(f"{name}: refused by {', '.join(sorted(who))}")
    if bad:
        sys.exit("\n".join(bad[:40]))
    print(f"{len(files)} bundles accepted by both validators, {len(BREAKS)} ways to break them refused")


if __name__ == "__main__":
    main()
