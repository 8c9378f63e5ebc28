//! Marks: what stands where on a page.

use crate::geometry::{Bounds, Step};
use crate::glyph::Glyph;

/// The width of the boxes that a slanting beam or a tie is cut into.
const STEP_OF_BOXES: i64 = 50;

/// What a mark is.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Kind {
    StaffLine,
    Barline,
    RepeatDots,
    Clef,
    KeySign,
    TimeFigure,
    LedgerLine,
    Head,
    Stem,
    Flag,
    Beam,
    Dot,
    Accidental,
    Rest,
    Tie,
    Tuplet,
    TupletBracket,
    ChordSymbol,
    Ending,
    EndingNumber,
    /// A section's name and its frame.
    Section,
    /// A segno or coda sign.
    Sign,
    /// Feel and tempo; words such as `D.C. al Fine`.
    Words,
    BarNumber,
    /// A text under a note, in the row of this number.
    Under(usize),
    /// The tension curve of a system.
    Tension,
    TensionLabel,
    Title,
    /// Composer or student.
    Credit,
    Footer,
}

/// The event of the score that a mark belongs to.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// The measure, from 0, as in the score.
    pub measure: usize,
    /// The tick in its measure.
    pub tick: u32,
    /// The event in its measure, from 0; `None` for a chord symbol or a rest that only fills up.
    pub event: Option<usize>,
}

/// A drawn shape.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    /// A glyph with its origin, at a size in thousandths.
    Glyph {
        glyph: Glyph,
        x: i64,
        y: i64,
        size: i64,
    },
    /// A filled box.
    Block(Bounds),
    /// A text from a point on its baseline to the right.
    Text {
        x: i64,
        y: i64,
        size: i64,
        width: i64,
        text: String,
    },
    /// A filled path.
    Fill(Vec<Step>),
    /// A stroked path of a width.
    Stroke(i64, Vec<Step>),
    /// A light filled path.
    Wash(Vec<Step>),
}

impl Shape {
    pub(crate) fn shift(&mut self, dx: i64, dy: i64) {
        match self {
            Shape::Glyph { x, y, .. } | Shape::Text { x, y, .. } => {
                *x += dx;
                *y += dy;
            }
            Shape::Block(bounds) => *bounds = bounds.shifted(dx, dy),
            Shape::Fill(steps) | Shape::Stroke(_, steps) | Shape::Wash(steps) => {
                for step in steps {
                    step.shift(dx, dy);
                }
            }
        }
    }
}

/// Something on a page: a glyph, a line, a text, or a chord symbol of several pieces.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mark {
    pub(crate) kind: Kind,
    pub(crate) bounds: Bounds,
    pub(crate) place: Option<Place>,
    pub(crate) shapes: Vec<Shape>,
}

impl Mark {
    /// What it is.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// The box around all of it.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Boxes that together hold all of its ink: several for a beam that slants and for a tie,
    /// else the one around it.
    pub fn boxes(&self) -> Vec<Bounds> {
        let [Shape::Fill(steps)] = &self.shapes[..] else {
            return vec![self.bounds];
        };
        match steps[..] {
            [
                Step::Move(left, a),
                Step::Line(right, b),
                Step::Line(_, c),
                Step::Line(_, d),
                Step::Close,
            ] => {
                let (width, left) = ((right - left).max(1), left);
                let edge = move |from, to| move |x: i64| from + (to - from) * (x - left) / width;
                slices(left, right, edge(a, b), edge(d, c))
            }
            // A tie: from left to right on its outer side, and back on its inner side. The
            // control points lie at three and seven tenths, so that x is nearly the parameter.
            [
                Step::Move(left, y),
                Step::Curve(_, outer, .., right, _),
                Step::Curve(_, inner, ..),
                Step::Close,
            ] => {
                let width = (right - left).max(1);
                let curve = move |depth: i64| {
                    move |x: i64| {
                        let (t, s) = (x - left, right - x);
                        y + (depth - y) * 3 * t * s / (width * width)
                    }
                };
                slices(left, right, curve(outer), curve(inner))
            }
            _ => vec![self.bounds],
        }
    }

    /// The event that it belongs to, if any.
    pub fn place(&self) -> Option<Place> {
        self.place
    }

    /// Its text, with the drawn accidentals as `♭` and `♯`; empty for a mark that is no text.
    pub fn text(&self) -> String {
        let pieces = self.shapes.iter().map(|shape| match shape {
            Shape::Text { text, .. } => text.as_str(),
            Shape::Glyph { glyph, .. } => glyph.letter(),
            _ => "",
        });
        pieces.collect()
    }

    pub(crate) fn glyph(kind: Kind, glyph: Glyph, x: i64, y: i64) -> Mark {
        Mark::sized(kind, glyph, x, y, 1000)
    }

    pub(crate) fn sized(kind: Kind, glyph: Glyph, x: i64, y: i64, size: i64) -> Mark {
        Mark {
            kind,
            bounds: glyph.bounds(size).shifted(x, y),
            place: None,
            shapes: vec![Shape::Glyph { glyph, x, y, size }],
        }
    }

    pub(crate) fn block(kind: Kind, bounds: Bounds) -> Mark {
        Mark {
            kind,
            bounds,
            place: None,
            shapes: vec![Shape::Block(bounds)],
        }
    }

    pub(crate) fn path(kind: Kind, bounds: Bounds, shape: Shape) -> Mark {
        Mark {
            kind,
            bounds,
            place: None,
            shapes: vec![shape],
        }
    }

    pub(crate) fn at(mut self, place: Option<Place>) -> Mark {
        self.place = place;
        self
    }

    pub(crate) fn shift(&mut self, dx: i64, dy: i64) {
        self.bounds = self.bounds.shifted(dx, dy);
        for shape in &mut self.shapes {
            shape.shift(dx, dy);
        }
    }
}

/// Boxes side by side that hold what lies between two edges, each given by its y at an x.
fn slices(
    left: i64,
    right: i64,
    one: impl Fn(i64) -> i64,
    other: impl Fn(i64) -> i64,
) -> Vec<Bounds> {
    let mut boxes = Vec::new();
    let mut x = left;
    while x < right {
        let next = (x + STEP_OF_BOXES).min(right);
        let ys = [one(x), one(next), other(x), other(next)];
        let top = ys.into_iter().min().unwrap_or(0);
        let bottom = ys.into_iter().max().unwrap_or(0);
        boxes.push(Bounds::new(x, top, next, bottom));
        x = next;
    }
    boxes
}
