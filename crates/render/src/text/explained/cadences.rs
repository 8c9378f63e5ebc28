//! Where the line cadences, how, and how strongly.

use linewright_compose::Line;
use linewright_study::explain::Explanation;

use super::super::paint::Paint;
use super::super::table::table;
use crate::wording;
use crate::wording::study::phrase_place;
use linewright_compose::thousandths::decimal;

const HEADS: [&str; 5] = ["bar", "cadence", "strength", "where", "plan"];

/// One row for each cadence in the bars that are shown.
pub(super) fn cadences(
    line: &Line,
    explained: &Explanation,
    shown: &[usize],
    paint: Paint,
) -> String {
    let landings = explained
        .landings
        .iter()
        .filter(|landing| shown.contains(&landing.bar));
    let rows: Vec<Vec<String>> = landings
        .map(|landing| {
            let planned = if landing.planned { "planned" } else { "" };
            vec![
                line.timeline.bar_number(landing.bar).to_string(),
                wording::long_cadence(landing.kind),
                decimal(landing.strength.abs().into()),
                phrase_place(landing.place).to_owned(),
                planned.to_owned(),
            ]
        })
        .collect();
    if rows.is_empty() {
        return "none\n".to_owned();
    }
    table(&HEADS, &rows, paint)
}
