"""Checks JSON documents against a JSON Schema, with the package jsonschema.

In: one JSON object a line, {"name", "schema", "document"}, all with one schema, which must be
one of draft 2020-12. Out: {"name", "errors": [text]}.
"""

import json
import sys

from jsonschema import Draft202012Validator

checked = None
for line in sys.stdin:
    asked = json.loads(line)
    if checked is None:
        Draft202012Validator.check_schema(asked["schema"])
        checked = Draft202012Validator(asked["schema"])
    errors = [error.message[:300] for error in checked.iter_errors(asked["document"])]
    print(json.dumps({"name": asked["name"], "errors": errors}))
