//! The rows of texts under the notes.

use crate::content::UNDER;
use crate::geometry::{Bounds, SPACE};
use crate::layout::Layout;
use crate::mark::{Kind, Mark};
use crate::metrics::CLEARANCE;
use crate::skyline::Skyline;

/// The nearest that a row comes to the staff.
const NEAREST: i64 = 2 * SPACE + 130;

/// Every row is at least as high as capitals and as deep as most letters, so that rows lie
/// evenly whatever stands in them.
const ASCENT: i64 = UNDER * 68 / 100;
const DESCENT: i64 = UNDER * 16 / 100;

/// Draws the rows, each on one line all along the system.
pub(crate) fn draw(layout: &Layout, marks: &mut Vec<Mark>) {
    let rows = layout
        .measures
        .iter()
        .flat_map(|measure| &measure.content.items)
        .map(|item| item.under.len())
        .max()
        .unwrap_or(0);
    let mut skyline = Skyline::new(marks.iter().map(|mark| mark.bounds));
    for row in 0..rows {
        let mut texts: Vec<Mark> = Vec::new();
        let mut baseline = NEAREST;
        for measure in &layout.measures {
            for (at, item) in measure.content.items.iter().enumerate() {
                let Some(run) = item.under.get(row).filter(|run| !run.is_empty()) else {
                    continue;
                };
                let x = measure.middle(at) - run.width() / 2;
                let top = run.bounds().top.min(-ASCENT);
                let above = skyline.bottom(
                    x - CLEARANCE,
                    x + run.width() + CLEARANCE,
                    NEAREST - CLEARANCE,
                );
                baseline = baseline.max(above + CLEARANCE - top);
                texts.push(run.mark(Kind::Under(row), x, 0).at(Some(item.place)));
            }
        }
        for mut text in texts {
            text.shift(0, baseline);
            skyline.add(Bounds {
                left: 0,
                right: layout.width,
                bottom: text.bounds.bottom.max(baseline + DESCENT),
                ..text.bounds
            });
            marks.push(text);
        }
    }
}
