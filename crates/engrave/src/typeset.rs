//! Lines of text with drawn accidentals: chord symbols, degrees, words.

use linewright_theory::Name;

use crate::font::Font;
use crate::geometry::Bounds;
use crate::glyph::Glyph;
use crate::mark::{Kind, Mark, Shape};

/// Space around a drawn accidental, in thousandths of the text size.
const ASIDE: i64 = 35;
/// Size of a drawn accidental beside text of size 1000, in thousandths of a staff's accidental.
const SIGN: i64 = 1230;

/// Size of a disc beside text of size 1000, in thousandths of the dot of a note.
const DISC: i64 = 4600;

/// A line being set from left to right, its baseline at 0.
#[derive(Clone, Debug)]
pub(crate) struct Run {
    shapes: Vec<Shape>,
    bounds: Bounds,
}

impl Run {
    pub(crate) fn new() -> Run {
        Run {
            shapes: Vec::new(),
            bounds: Bounds::new(0, 0, 0, 0),
        }
    }

    /// Text as it is.
    pub(crate) fn plain(font: &Font, text: &str, size: i64) -> Run {
        let mut run = Run::new();
        run.text(font, text, size, 0);
        run
    }

    /// Text of a size, or as much smaller as fits a width.
    pub(crate) fn fitted(font: &Font, text: &str, size: i64, width: i64) -> Run {
        let run = Run::plain(font, text, size);
        if run.width() <= width {
            return run;
        }
        let size = (size * width / run.width().max(1)).max(1);
        Run::plain(font, text, size)
    }

    /// Text in which the accidentals of degrees and notes (`b7`, `Bb`) are drawn.
    pub(crate) fn signed(font: &Font, text: &str, size: i64) -> Run {
        let mut run = Run::new();
        run.degrees(font, text, size, 0);
        run
    }

    pub(crate) fn width(&self) -> i64 {
        self.bounds.right
    }

    /// Its box, from the origin on the baseline.
    pub(crate) fn bounds(&self) -> Bounds {
        self.bounds
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.shapes.is_empty()
    }

    /// The mark it makes with its origin at a point.
    pub(crate) fn mark(&self, kind: Kind, x: i64, y: i64) -> Mark {
        let mut mark = Mark {
            kind,
            bounds: self.bounds,
            place: None,
            shapes: self.shapes.clone(),
        };
        mark.shift(x, y);
        mark
    }

    /// Adds text, its baseline raised.
    pub(crate) fn text(&mut self, font: &Font, text: &str, size: i64, raise: i64) {
        if text.is_empty() {
            return;
        }
        let x = self.width();
        let bounds = font.measure(text, size).shifted(x, -raise);
        self.shapes.push(Shape::Text {
            x,
            y: -raise,
            size,
            width: bounds.right - bounds.left,
            text: text.to_owned(),
        });
        self.bounds = self.bounds.with(bounds);
    }

    /// Adds a glyph at a size in thousandths.
    pub(crate) fn glyph(&mut self, glyph: Glyph, size: i64, raise: i64) {
        let bounds = glyph.bounds(size);
        let x = self.width() - bounds.left;
        self.shapes.push(Shape::Glyph {
            glyph,
            x,
            y: -raise,
            size,
        });
        self.bounds = self.bounds.with(bounds.shifted(x, -raise));
    }

    pub(crate) fn gap(&mut self, width: i64) {
        self.bounds.right += width;
    }

    /// Adds a drawn accidental that fits text of a size.
    pub(crate) fn sign(&mut self, alter: i8, size: i64, raise: i64) {
        let glyph = Glyph::accidental(alter);
        let scale = SIGN * size / 1000;
        // Flats stand on the baseline, sharps around the middle of the figures.
        let lift = match glyph {
            Glyph::Flat | Glyph::DoubleFlat => 235,
            _ => 330,
        };
        self.gap(ASIDE * size / 1000);
        self.glyph(glyph, scale, raise + lift * size / 1000);
        self.gap(ASIDE * size / 1000);
    }

    /// Adds the name of a note.
    pub(crate) fn name(&mut self, font: &Font, name: Name, size: i64, raise: i64) {
        self.text(font, &name.letter.to_string(), size, raise);
        if name.alter != 0 {
            self.sign(name.alter, size, raise);
        }
    }

    /// Adds a disc as wide as a letter, which marks a place.
    fn disc(&mut self, size: i64, raise: i64) {
        let scale = DISC * size / 1000;
        self.glyph(Glyph::Dot, scale, raise + 345 * size / 1000);
        self.gap(2 * ASIDE * size / 1000);
    }

    /// Adds text, drawing every accidental that stands before a figure or after a note letter,
    /// and discs (`●`).
    pub(crate) fn degrees(&mut self, font: &Font, text: &str, size: i64, raise: i64) {
        let chars: Vec<char> = text.chars().collect();
        let mut pending = String::new();
        let mut at = 0;
        while at < chars.len() {
            if chars[at] == '●' {
                self.text(font, &pending, size, raise);
                pending.clear();
                self.disc(size, raise);
                at += 1;
                continue;
            }
            let Some((alter, end)) = accidental(&chars, at) else {
                pending.push(chars[at]);
                at += 1;
                continue;
            };
            self.text(font, &pending, size, raise);
            pending.clear();
            self.sign(alter, size, raise);
            at = end;
        }
        self.text(font, &pending, size, raise);
    }
}

/// The accidental that is written at a place, and where it ends.
fn accidental(chars: &[char], at: usize) -> Option<(i8, usize)> {
    let first = chars[at];
    let step = match first {
        'b' | '♭' => -1,
        '#' | '♯' => 1,
        '♮' => return Some((0, at + 1)),
        _ => return None,
    };
    let end = at + chars[at..].iter().take_while(|&&c| c == first).count();
    let before = at.checked_sub(1).map(|before| chars[before]);
    let word = |c: Option<char>| c.is_some_and(char::is_alphabetic);
    let of_degree = chars.get(end).is_some_and(char::is_ascii_digit) && !word(before);
    let of_note = before.is_some_and(|c| ('A'..='G').contains(&c))
        && !word(at.checked_sub(2).map(|two| chars[two]))
        && !chars
            .get(end)
            .is_some_and(|c| c.is_lowercase() && *c != 'm');
    let drawn = end - at <= 2 && (of_degree || of_note || first == '♭' || first == '♯');
    drawn.then_some((step * (end - at) as i8, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn signs(text: &str) -> usize {
        let run = Run::signed(&Font::new(), text, 1000);
        run.shapes
            .iter()
            .filter(|shape| matches!(shape, Shape::Glyph { .. }))
            .count()
    }

    #[test]
    fn accidentals_of_degrees_and_notes_are_drawn_and_words_stay_words() {
        assert_eq!(signs("b7"), 1);
        assert_eq!(signs("#9 b13"), 2);
        assert_eq!(signs("bb7"), 1);
        assert_eq!(signs("Bb"), 1);
        assert_eq!(signs("to F#"), 1);
        for word in ["by step", "above", "Abb", "number", "bar 5", "Ebony", "b"] {
            let expected = usize::from(word == "Abb");
            assert_eq!(signs(word), expected, "{word}");
        }
    }

    #[test]
    fn a_run_grows_to_the_right() {
        let font = Font::new();
        let mut run = Run::new();
        assert!(run.is_empty());
        run.text(&font, "C", 600, 0);
        let one = run.width();
        run.sign(-1, 600, 0);
        assert!(run.width() > one);
        assert!(run.bounds().top < -400);
    }
}
