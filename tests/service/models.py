"""Reads every resource of bundles into the models of `fhir.resources` (R4B, whose Observation, DiagnosticReport, Device,
Provenance and DocumentReference are those of R4). Usage: models.py FOLDER of *.fhir.json
"""

import json
import pathlib
import sys

from fhir.resources.R4B import get_fhir_model_class

count = 0
for path in sorted(pathlib.Path(sys.argv[1]).glob("*.fhir.json")):
    bundle = json.loads(path.read_text())
    for entry in bundle["entry"]:
        resource = entry["resource"]
        get_fhir_model_class(resource["resourceType"]).model_validate(resource)
        count += 1
    get_fhir_model_class("Bundle").model_validate(bundle)
if not count:
    sys.exit("no bundle to read")
print(f"{count} resources read")
