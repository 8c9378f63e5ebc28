"""Writes text.ttf, the text font, from a static OFL font: a subset under a name of its own.

    pip install fonttools==4.68.0
    python text.py FONT.ttf
"""

import sys

from fontTools import subset
from fontTools.ttLib import TTFont

NAME = "Linewright Text"
# Latin with Extended-A, Greek, Cyrillic, punctuation, a few arrows and signs.
RANGES = [(0x20, 0x7E), (0xA0, 0x17F), (0x218, 0x21B), (0x386, 0x3CE), (0x401, 0x45F),
          (0x2010, 0x2027), (0x2030, 0x203A), (0x2190, 0x2193), (0x2212, 0x2212), (0x20AC, 0x20AC),
          (0x2206, 0x2206), (0xFFFD, 0xFFFD)]


def main(path):
    options = subset.Options()
    options.layout_features = ["kern", "mark", "ccmp"]
    options.hinting = False
    options.notdef_outline = True
    options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
    font = TTFont(path)
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=[c for first, last in RANGES for c in range(first, last + 1)])
    subsetter.subset(font)
    names = font["name"]
    names.names = [n for n in names.names if n.nameID in (0, 13, 14) and n.platformID == 3]
    for number, text in ((1, NAME), (2, "Regular"), (3, NAME + " 1"), (4, NAME), (5, "Version 1"),
                         (6, NAME.replace(" ", "") + "-Regular")):
        names.setName(text, number, 3, 1, 0x409)
    font["OS/2"].usWeightClass = 400
    font["OS/2"].fsSelection = 0x40
    font["head"].macStyle = 0
    font.save("text.ttf")


main(sys.argv[1])
