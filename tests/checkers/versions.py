"""Says which version of each asked-for package can be imported.

One JSON object a line: in {"package": name}, out {"package": name, "version": text}.
"""

import importlib
import importlib.metadata
import json
import sys

for line in sys.stdin:
    name = json.loads(line)["package"]
    importlib.import_module(name)
    print(json.dumps({"package": name, "version": importlib.metadata.version(name)}))
