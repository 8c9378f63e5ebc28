//! Bar lines with repeat dots, and the clef, key and time that follow them.

use linewright_notation::{BarLine, TimeSignature};

use crate::geometry::{Bounds, SPACE};
use crate::glyph::Glyph;
use crate::mark::{Kind, Mark};
use crate::metrics::{BAR_GAP, DOTS_GAP, THICK, THIN};
use crate::staff::height;

/// By how much a round figure of a time signature may be higher than its two spaces, and deeper.
const OVERSHOOT: i64 = 10;

/// Marks placed from 0 to the right.
pub(crate) struct Strip {
    pub marks: Vec<Mark>,
    /// Where the strip ends.
    pub width: i64,
}

impl Strip {
    pub(crate) fn new() -> Strip {
        Strip {
            marks: Vec::new(),
            width: 0,
        }
    }

    pub(crate) fn gap(&mut self, width: i64) {
        self.width += width;
    }

    fn line(&mut self, width: i64) {
        let bounds = Bounds::new(self.width, -2 * SPACE, self.width + width, 2 * SPACE);
        self.marks.push(Mark::block(Kind::Barline, bounds));
        self.width += width;
    }

    fn dots(&mut self) {
        let mut pair = Mark::glyph(Kind::RepeatDots, Glyph::Dot, self.width, -SPACE / 2);
        let below = Mark::glyph(Kind::RepeatDots, Glyph::Dot, self.width, SPACE / 2);
        pair.bounds = pair.bounds.with(below.bounds);
        pair.shapes.extend(below.shapes);
        self.width = pair.bounds.right;
        self.marks.push(pair);
    }

    pub(crate) fn clef(&mut self) {
        // The clef names the second line from above.
        let mark = Mark::glyph(Kind::Clef, Glyph::BassClef, self.width, -SPACE);
        self.width = mark.bounds.right;
        self.marks.push(mark);
    }

    pub(crate) fn key(&mut self, signs: &[(Glyph, i64)]) {
        for &(glyph, place) in signs {
            let mark = Mark::glyph(Kind::KeySign, glyph, self.width, height(place));
            self.width = mark.bounds.right + 22;
            self.marks.push(mark);
        }
    }

    pub(crate) fn time(&mut self, time: TimeSignature) {
        let rows = [
            (Glyph::figures(time.beats), -SPACE - OVERSHOOT),
            (Glyph::figures(time.unit), SPACE + OVERSHOOT),
        ];
        let width = |figures: &[Glyph]| figures.iter().map(|g| g.width()).sum::<i64>();
        let widest = rows.iter().map(|(figures, _)| width(figures)).max();
        let widest = widest.unwrap_or(0);
        for (figures, y) in rows {
            let mut x = self.width + (widest - width(&figures)) / 2;
            for figure in figures {
                self.marks.push(Mark::glyph(Kind::TimeFigure, figure, x, y));
                x += figure.width();
            }
        }
        self.width += widest;
    }

    /// The bar line between two measures; `None` at the left end of a system.
    pub(crate) fn bar(&mut self, left: Option<BarLine>, opens_repeat: bool) {
        let closes = matches!(left, Some(BarLine::Repeat(_)));
        if closes {
            self.dots();
            self.gap(DOTS_GAP);
            self.line(THIN);
            self.gap(BAR_GAP);
            self.line(THICK);
        }
        match (left, opens_repeat) {
            (Some(BarLine::Repeat(_)), true) => {
                self.gap(BAR_GAP);
                self.line(THIN);
            }
            (_, true) => {
                if left == Some(BarLine::Final) {
                    self.line(THIN);
                    self.gap(BAR_GAP);
                }
                self.line(THICK);
                self.gap(BAR_GAP);
                self.line(THIN);
            }
            (Some(BarLine::Single), false) => self.line(THIN),
            (Some(BarLine::Double), false) => {
                self.line(THIN);
                self.gap(BAR_GAP);
                self.line(THIN);
            }
            (Some(BarLine::Final), false) => {
                self.line(THIN);
                self.gap(BAR_GAP);
                self.line(THICK);
            }
            (Some(BarLine::Repeat(_)) | None, false) => {}
        }
        if opens_repeat {
            self.gap(DOTS_GAP);
            self.dots();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(left: Option<BarLine>, opens: bool) -> (usize, usize) {
        let mut strip = Strip::new();
        strip.bar(left, opens);
        let count = |kind| strip.marks.iter().filter(|m| m.kind == kind).count();
        for (one, mark) in strip.marks.iter().enumerate() {
            for other in &strip.marks[one + 1..] {
                assert!(!mark.bounds.overlaps(&other.bounds), "{left:?} {opens}");
            }
        }
        (count(Kind::Barline), count(Kind::RepeatDots))
    }

    #[test]
    fn every_division_has_its_lines_and_dots() {
        assert_eq!(kinds(Some(BarLine::Single), false), (1, 0));
        assert_eq!(kinds(Some(BarLine::Double), false), (2, 0));
        assert_eq!(kinds(Some(BarLine::Final), false), (2, 0));
        assert_eq!(kinds(Some(BarLine::Repeat(2)), false), (2, 1));
        assert_eq!(kinds(Some(BarLine::Repeat(2)), true), (3, 2));
        assert_eq!(kinds(Some(BarLine::Single), true), (2, 1));
        assert_eq!(kinds(None, true), (2, 1));
        assert_eq!(kinds(None, false), (0, 0));
    }

    #[test]
    fn time_signatures_are_centred_on_each_other() {
        let mut strip = Strip::new();
        strip.time(TimeSignature { beats: 12, unit: 8 });
        assert_eq!(strip.marks.len(), 3);
        let unit = strip.marks[2].bounds();
        let middle = (unit.left + unit.right) / 2;
        assert!((middle - strip.width / 2).abs() < 30);
    }
}
