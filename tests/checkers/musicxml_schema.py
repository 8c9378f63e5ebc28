"""Checks MusicXML against the schema of MusicXML 4.0 with lxml.

One JSON object a line: in {"text": the file}, out {"errors": what is wrong}. The schema is in
the package musicxml; the two schemas that it imports by URL are in the package xmlschema.
"""

import json
import sys
from importlib.resources import files

from lxml import etree

IMPORTED = {
    "http://www.musicxml.org/xsd/xml.xsd": "XML/xml.xsd",
    "http://www.musicxml.org/xsd/xlink.xsd": "XLINK/xlink.xsd",
}


class Imported(etree.Resolver):
    """Finds the imported schemas here instead of on the network."""

    def resolve(self, url, public_id, context):
        name = IMPORTED.get(url)
        if name is None and url.endswith("xml.xsd"):
            name = "XML/xml.xsd"
        if name is None:
            return None
        data = files("xmlschema").joinpath("schemas", name).read_bytes()
        return self.resolve_string(data, context, base_url=url)


parser = etree.XMLParser(no_network=True)
parser.resolvers.add(Imported())
main = files("musicxml").joinpath("generate_classes", "musicxml_4_0.xsd").read_bytes()
schema = etree.XMLSchema(etree.fromstring(main, parser, base_url="http://musicxml/main.xsd"))

for line in sys.stdin:
    text = json.loads(line)["text"]
    plain = etree.XMLParser(no_network=True, load_dtd=False)
    schema.validate(etree.fromstring(text.encode("utf-8"), plain))
    errors = [f"line {error.line}: {error.message}" for error in schema.error_log]
    print(json.dumps({"errors": errors}))
