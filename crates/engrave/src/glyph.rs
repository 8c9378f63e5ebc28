//! The music glyphs: how large they are and what they stand for.

use crate::geometry::Bounds;
use crate::outline::Outline;
pub(crate) use crate::outlines::Glyph;
use crate::outlines::OUTLINES;

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
        &OUTLINES[self as usize]
    }

    /// Its bounds around the origin at a size in thousandths.
    pub(crate) fn bounds(self, size: i64) -> Bounds {
        let own = self.outline().bounds;
        Bounds {
            left: own.left * size / 1000,
            top: own.top * size / 1000,
            right: own.right * size / 1000,
            bottom: own.bottom * size / 1000,
        }
    }

    /// The distance from the origin to the right end, at full size.
    pub(crate) fn width(self) -> i64 {
        self.outline().bounds.right
    }

    /// The size, in thousandths, at which it is so high.
    pub(crate) fn size_of(self, height: i64) -> i64 {
        let own = self.outline().bounds;
        height * 1000 / (own.bottom - own.top)
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
    fn every_glyph_has_an_outline() {
        assert_eq!(OUTLINES.len(), Glyph::Beat as usize + 1);
        for outline in &OUTLINES {
            let own = outline.bounds;
            assert!(own.left < own.right && own.top < own.bottom);
            assert!(outline.path.starts_with('M'));
        }
    }

    #[cfg(feature = "print")]
    #[test]
    fn every_outline_is_read_whole_and_fills_its_box() {
        use crate::geometry::Step;

        for outline in &OUTLINES {
            let path = outline.path;
            let known = |c: char| "MLHVCZ -".contains(c) || c.is_ascii_digit();
            assert!(path.chars().all(known), "{path}");
            let mut numbers = path
                .split(|c: char| !(c.is_ascii_digit() || c == '-'))
                .filter(|number| !number.is_empty());
            assert!(numbers.all(|number| number.parse::<i64>().is_ok()));
            let ends: Vec<i64> = outline
                .steps()
                .into_iter()
                .filter_map(|step| match step {
                    Step::Move(x, _) | Step::Line(x, _) | Step::Curve(.., x, _) => Some(x),
                    Step::Close => None,
                })
                .collect();
            let near = |end: Option<&i64>, side: i64| end.is_some_and(|x| (x - side).abs() < 40);
            assert!(near(ends.iter().min(), outline.bounds.left), "{path}");
            assert!(near(ends.iter().max(), outline.bounds.right), "{path}");
        }
    }
}
