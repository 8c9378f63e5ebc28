"""Writes ../src/outlines.rs, the outlines of the music glyphs, from a SMuFL font.

    pip install fonttools==4.68.0
    python outlines.py MUSIC-FONT.otf METADATA.json > ../src/outlines.rs && rustfmt ../src/outlines.rs

The font needs 1000 units to the em, so that a staff space is 250 units. Its metadata tell where a
stem meets a head or a flag (SMuFL, "glyphsWithAnchors"; spaces, y upwards).
"""

import json
import sys

from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont

GLYPHS = [
    ("Coda", 0xE048, "The coda sign."),
    ("Segno", 0xE047, "The sign a dal segno goes back to."),
    ("BassClef", 0xE062, "The bass clef; its origin lies on the F line."),
    *((f"Time{n}", 0xE080 + n, f"The figure {n} of a time signature.") for n in range(10)),
    ("HeadWhole", 0xE0A2, "The head of a whole note."),
    ("HeadHalf", 0xE0A3, "The head of a half note."),
    ("HeadBlack", 0xE0A4, "The head of a quarter note and shorter ones."),
    ("HeadCross", 0xE0A9, "The head of a ghost note."),
    ("Dot", 0xE1E7, "The dot that lengthens a note."),
    ("Flag8Up", 0xE240, "The flag of an eighth, stem up."),
    ("Flag8Down", 0xE241, "The flag of an eighth, stem down."),
    ("Flag16Up", 0xE242, "The flags of a sixteenth, stem up."),
    ("Flag16Down", 0xE243, "The flags of a sixteenth, stem down."),
    ("Flag32Up", 0xE244, "The flags of a 32nd, stem up."),
    ("Flag32Down", 0xE245, "The flags of a 32nd, stem down."),
    ("Flag64Up", 0xE246, "The flags of a 64th, stem up."),
    ("Flag64Down", 0xE247, "The flags of a 64th, stem down."),
    ("Flat", 0xE260, "A flat."),
    ("Natural", 0xE261, "A natural."),
    ("Sharp", 0xE262, "A sharp."),
    ("DoubleSharp", 0xE263, "A double sharp."),
    ("DoubleFlat", 0xE264, "A double flat."),
    ("ParenLeft", 0xE26A, "Opens the parentheses around an accidental."),
    ("ParenRight", 0xE26B, "Closes the parentheses around an accidental."),
    ("RestWhole", 0xE4E3, "A whole rest; it hangs from its origin."),
    ("RestHalf", 0xE4E4, "A half rest."),
    ("RestQuarter", 0xE4E5, "A quarter rest."),
    ("Rest8", 0xE4E6, "An eighth rest."),
    ("Rest16", 0xE4E7, "A sixteenth rest."),
    ("Rest32", 0xE4E8, "A 32nd rest."),
    ("Rest64", 0xE4E9, "A 64th rest."),
    *((f"Tuplet{n}", 0xE880 + n, f"The figure {n} of a tuplet.") for n in (3, 5, 7)),
    ("Beat", 0xECA5, "The quarter note of a tempo mark."),
]


# Where the glyphs that a stem meets have their anchor.
ANCHORS = {
    "HeadHalf": ("noteheadHalf", "stemDownNW"),
    "HeadBlack": ("noteheadBlack", "stemDownNW"),
    "HeadCross": ("noteheadXBlack", "stemDownNW"),
    "Flag8Up": ("flag8thUp", "stemUpNW"),
    "Flag8Down": ("flag8thDown", "stemDownSW"),
    "Flag16Up": ("flag16thUp", "stemUpNW"),
    "Flag16Down": ("flag16thDown", "stemDownSW"),
    "Flag32Up": ("flag32ndUp", "stemUpNW"),
    "Flag32Down": ("flag32ndDown", "stemDownSW"),
    "Flag64Up": ("flag64thUp", "stemUpNW"),
    "Flag64Down": ("flag64thDown", "stemDownSW"),
}


def main(path, metadata):
    font = TTFont(path)
    with open(metadata, encoding="utf-8") as file:
        anchors = json.load(file)["glyphsWithAnchors"]
    glyphs, cmap = font.getGlyphSet(), font.getBestCmap()
    if font["head"].unitsPerEm != 1000:
        sys.exit("the font must have 1000 units to the em")
    print("//! The music glyphs and their outlines, in units of a 250th of a staff space, y downwards.")
    print("//! Written by `font/outlines.py`; the licence stands in `font/MUSIC-OFL.txt`.")
    print("\nuse crate::geometry::Bounds;\nuse crate::outline::Outline;\n")
    print("/// A music glyph. Its outline is drawn around its origin: the left end of its middle line, for a")
    print("/// clef the line that it names.")
    print("#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]")
    print("pub(crate) enum Glyph {")
    for name, _, what in GLYPHS:
        print(f"/// {what}\n{name},")
    print("}\n\n/// The outline of every glyph, in their order.\n#[rustfmt::skip]")
    print(f"pub(crate) static OUTLINES: [Outline; {len(GLYPHS)}] = [")
    for name, code, _ in GLYPHS:
        glyph = cmap[code]
        pen = SVGPathPen(glyphs, ntos=lambda v: str(round(v)))
        glyphs[glyph].draw(TransformPen(pen, (1, 0, 0, -1, 0, 0)))
        box = BoundsPen(glyphs)
        glyphs[glyph].draw(box)
        left, bottom, right, top = (round(v) for v in box.bounds)
        stem = 0
        if name in ANCHORS:
            of, corner = ANCHORS[name]
            stem = round(-250 * anchors[of][corner][1])
        print(
            f"    // {name}\n    Outline {{ bounds: Bounds::new({left}, {-top}, {right}, {-bottom}),"
            f' stem: {stem}, path: "{pen.getCommands()}" }},'
        )
    print("];")


main(sys.argv[1], sys.argv[2])
