"""Says which version of each asked-for package can be imported.

One JSON object a line: in {"package": name}, out {"package": name, "version": text}.
"""

import importlib
import importlib.metadata
import json
import sys

# A package may hold modules of other names than its own.
MODULES = {}
for module, packages in importlib.metadata.packages_distributions().items():
    for package in packages:
        MODULES.setdefault(package, module)

for line in sys.stdin:
    name = json.loads(line)["package"]
    importlib.import_module(MODULES.get(name, name))
    print(json.dumps({"package": name, "version": importlib.metadata.version(name)}))
