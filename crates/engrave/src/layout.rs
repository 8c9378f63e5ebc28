//! Where the measures of a system are, with the points of each.

use linewright_notation::Ticks;

use crate::content::Content;
use crate::context::Context;
use crate::glyph::Glyph;
use crate::notes::Stem;
use crate::plan::{HALF_HEAD, Plan, Point};
use crate::typeset::Run;

/// Where the measures of a system are, for everything that stands above and below the staff.
pub(crate) struct Layout<'a> {
    pub measures: Vec<Spot<'a>>,
    /// The right end of the staff.
    pub width: i64,
}

/// One measure of a system in its place.
pub(crate) struct Spot<'a> {
    pub number: usize,
    pub content: &'a Content,
    /// Where the measure begins: its bar line, or the left end of the system.
    pub left: i64,
    /// Where its notes may begin.
    pub inner: i64,
    /// The left side of the bar line after it.
    pub right: i64,
    /// The right side of that bar line.
    pub end: i64,
    /// The left ends of the heads, by item.
    pub xs: Vec<i64>,
    /// Where chord symbols begin.
    pub symbols: Vec<(Ticks, i64, &'a Run)>,
    pub stems: Vec<Option<Stem>>,
}

impl<'a> Layout<'a> {
    /// Puts the measures of a system that is stretched to a width in their places.
    pub(crate) fn new(context: &'a Context, plan: &Plan, width: i64) -> Layout<'a> {
        let xs = plan.springs.points(width - plan.tail());
        let mut measures: Vec<Spot> = Vec::new();
        let mut left = 0;
        let mut inner = plan.head.width;
        let mut bars = plan.bars.iter();
        for number in plan.measures.clone() {
            let content = &context.contents[number];
            let bar = bars.next().map_or(0, |bar| bar.width);
            let mut measure = Spot {
                number,
                content,
                left,
                inner,
                right: 0,
                end: 0,
                xs: vec![0; content.items.len()],
                symbols: Vec::new(),
                stems: vec![None; content.items.len()],
            };
            for (point, &x) in plan.points.iter().zip(&xs) {
                match *point {
                    Point::Item { measure: of, item } if of == number => {
                        measure.xs[item] = x;
                        measure.symbol(content.items[item].at, x);
                    }
                    Point::Anchor { measure: of, at } if of == number => measure.symbol(at, x),
                    Point::Bar { measure: of } if of == number => measure.right = x,
                    _ => {}
                }
            }
            measure.end = measure.right + bar;
            if content.silent {
                let middle = (inner + measure.right) / 2;
                measure.xs[0] = middle - Glyph::RestWhole.width() / 2;
            }
            left = measure.right;
            inner = measure.end;
            measures.push(measure);
        }
        Layout {
            width: measures.last().map_or(width, |last| last.end),
            measures,
        }
    }
}

impl Spot<'_> {
    fn symbol(&mut self, at: Ticks, x: i64) {
        if self.symbols.iter().any(|(tick, ..)| *tick == at) {
            return;
        }
        for (tick, run) in &self.content.chords {
            if *tick == at {
                self.symbols.push((at, x, run));
                break;
            }
        }
    }

    /// The middle of an item's head.
    pub(crate) fn middle(&self, item: usize) -> i64 {
        self.xs[item] + HALF_HEAD
    }
}
