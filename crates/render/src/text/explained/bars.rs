//! Every bar in a row: its cell, how that is ordered, how clear and how tense it is.

use linewright_compose::Line;
use linewright_study::explain::Explanation;

use super::super::paint::Paint;
use super::super::plan::{hundredths, rival};
use super::super::table::table;
use crate::wording;
use crate::wording::study::order;

const HEADS: [&str; 6] = [
    "bar",
    "cell",
    "clarity",
    "could be",
    "tension",
    "order of notes",
];

/// One row for each bar with notes that is shown.
pub(super) fn bars(line: &Line, explained: &Explanation, shown: &[usize], paint: Paint) -> String {
    let readings = line.reading.bars.iter().zip(&explained.orders);
    let rows: Vec<Vec<String>> = readings
        .filter(|(bar, _)| shown.contains(&bar.bar))
        .map(|(bar, ordered)| {
            let cell: Vec<String> = bar.cell.iter().map(ToString::to_string).collect();
            vec![
                line.timeline.bar_number(bar.bar).to_string(),
                cell.join("-"),
                wording::heard_clarity(bar.clarity).to_owned(),
                rival(bar, line.timeline.bars[bar.bar].key),
                hundredths(bar.tension),
                order(ordered),
            ]
        })
        .collect();
    table(&HEADS, &rows, paint)
}
