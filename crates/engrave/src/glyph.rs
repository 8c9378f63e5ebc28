//! The music glyphs.

use crate::geometry::Bounds;
use crate::outlines::OUTLINES;

/// A music glyph. Its outline is drawn around its origin: the left end of its middle line, for a
/// clef the line that it names.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Glyph {
    Coda,
    Segno,
    BassClef,
    Time0,
    Time1,
    Time2,
    Time3,
    Time4,
    Time5,
    Time6,
    Time7,
    Time8,
    Time9,
    HeadWhole,
    HeadHalf,
    HeadBlack,
    HeadCross,
    Dot,
    Flag8Up,
    Flag8Down,
    Flag16Up,
    Flag16Down,
    Flag32Up,
    Flag32Down,
    Flag64Up,
    Flag64Down,
    Flat,
    Natural,
    Sharp,
    DoubleSharp,
    DoubleFlat,
    ParenLeft,
    ParenRight,
    RestWhole,
    RestHalf,
    RestQuarter,
    Rest8,
    Rest16,
    Rest32,
    Rest64,
    Tuplet3,
    Tuplet5,
    Tuplet7,
    Beat,
}

/// The outline of a glyph, in units of a 250th of a staff space, y downwards.
#[derive(Debug)]
pub(crate) struct Outline {
    pub left: i64,
    pub top: i64,
    pub right: i64,
    pub bottom: i64,
    /// How far below the origin a stem meets it: the end of a downward stem at a head (an upward
    /// one ends as far above), the tip of the stem at a flag. 0 for a glyph without a stem.
    pub stem: i64,
    /// SVG path data.
    pub path: &'static str,
}

/// The figures of a time signature.
const FIGURES: [Glyph; 10] = [
    Glyph::Time0,
    Glyph::Time1,
    Glyph::Time2,
    Glyph::Time3,
    Glyph::Time4,
    Glyph::Time5,
    Glyph::Time6,
    Glyph::Time7,
    Glyph::Time8,
    Glyph::Time9,
];

impl Glyph {
    pub(crate) fn outline(self) -> &'static Outline {
        &OUTLINES[self as usize].1
    }

    /// Its bounds around the origin at a size in thousandths.
    pub(crate) fn bounds(self, size: i64) -> Bounds {
        let outline = self.outline();
        Bounds {
            left: outline.left * size / 1000,
            top: outline.top * size / 1000,
            right: outline.right * size / 1000,
            bottom: outline.bottom * size / 1000,
        }
    }

    /// The distance from the origin to the right end, at full size.
    pub(crate) fn width(self) -> i64 {
        self.outline().right
    }

    /// The size, in thousandths, at which it is so high.
    pub(crate) fn size_of(self, height: i64) -> i64 {
        let outline = self.outline();
        height * 1000 / (outline.bottom - outline.top)
    }

    /// The sign of an accidental; further ones than double are drawn as double.
    pub(crate) fn accidental(alter: i8) -> Glyph {
        match alter {
            ..=-2 => Glyph::DoubleFlat,
            -1 => Glyph::Flat,
            0 => Glyph::Natural,
            1 => Glyph::Sharp,
            2.. => Glyph::DoubleSharp,
        }
    }

    /// What stands for it in a line of text.
    pub(crate) fn letter(self) -> &'static str {
        match self {
            Glyph::DoubleFlat => "♭♭",
            Glyph::Flat => "♭",
            Glyph::Natural => "♮",
            Glyph::Sharp => "♯",
            Glyph::DoubleSharp => "♯♯",
            Glyph::Beat => "♩ ",
            _ => "",
        }
    }

    /// The figures of a number in a time signature.
    pub(crate) fn figures(number: u8) -> Vec<Glyph> {
        number
            .to_string()
            .bytes()
            .map(|digit| FIGURES[usize::from(digit - b'0')])
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_glyph_has_its_own_outline() {
        for (at, (glyph, outline)) in OUTLINES.iter().enumerate() {
            assert_eq!(*glyph as usize, at, "{glyph:?}");
            assert!(outline.left < outline.right && outline.top < outline.bottom);
            assert!(outline.path.starts_with('M'), "{glyph:?}");
        }
        assert_eq!(OUTLINES.len(), Glyph::Beat as usize + 1);
    }
}
