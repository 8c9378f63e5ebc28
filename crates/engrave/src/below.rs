//! The rows of texts under the notes.

use crate::geometry::{Bounds, Kind, Mark, SPACE};
use crate::metrics::CLEARANCE;
use crate::skyline::Skyline;
use crate::system::Layout;

/// The nearest that a row comes to the staff.
const NEAREST: i64 = 2 * SPACE + 130;

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
                let own = run.bounds();
                let above = skyline.bottom(
                    x - CLEARANCE,
                    x + run.width() + CLEARANCE,
                    NEAREST - CLEARANCE,
                );
                baseline = baseline.max(above + CLEARANCE - own.top);
                texts.push(run.mark(Kind::Under(row), x, 0).at(Some(item.place)));
            }
        }
        for mut text in texts {
            text.shift(0, baseline);
            skyline.add(Bounds {
                left: 0,
                right: layout.width,
                ..text.bounds
            });
            marks.push(text);
        }
    }
}
