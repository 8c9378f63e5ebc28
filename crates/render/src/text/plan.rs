//! The plan as a table: what every bar was meant to do, and what it does.

use linewright_compose::Line;
use linewright_rulebook::BarReading;

use super::paint::{Paint, Part};
use super::table::table;
use crate::bars::{bar_reading, cadence};
use crate::wording;
use linewright_theory::{class_name, pitch_name};

/// One row for each bar that is shown.
pub(super) fn plan(line: &Line, shown: &[usize], paint: Paint) -> String {
    let rows: Vec<Vec<String>> = shown.iter().map(|&bar| row(line, bar).to_vec()).collect();
    let title = paint.paint(Part::Section, wording::PLAN);
    let table = table(&wording::PLAN_HEADS, &rows, paint);
    format!("{title}  {}\n{table}\n", wording::PLAN_NOTE)
}

fn row(line: &Line, bar: usize) -> [String; 7] {
    let number = line.timeline.bar_number(bar).to_string();
    let plan = &line.plan.bars[bar];
    let key = line.timeline.bars[bar].key;
    let Some(heard) = bar_reading(line, bar) else {
        let mut silent: [String; 7] = Default::default();
        silent[0] = number;
        silent[1] = wording::RESTS.to_owned();
        return silent;
    };
    let cadence = cadence(line, bar).map_or(String::new(), |(cadence, kept)| {
        format!("{cadence}: {}", wording::kept(kept))
    });
    let shift = if plan.shift { wording::MOVES_HERE } else { "" };
    [
        number,
        plan.role.to_string(),
        format!(
            "{} → {}",
            hundredths(plan.tension.into()),
            hundredths(heard.tension)
        ),
        format!(
            "{} → {}",
            wording::wished_clarity(plan.clarity),
            wording::heard_clarity(heard.clarity)
        ),
        cadence,
        format!("{}{shift}", pitch_name(plan.centre, key)),
        rival(heard, key),
    ]
}

/// Tension with two decimals, from thousandths.
pub(super) fn hundredths(thousandths: i32) -> String {
    let hundredths = (thousandths.max(0) + 5) / 10;
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}

/// The chord that a bar which is not clear could be instead.
pub(super) fn rival(heard: &BarReading, key: linewright_theory::Key) -> String {
    if heard.clarity < linewright_rulebook::CLEAR {
        format!(
            "{}{}",
            class_name(heard.rival.root, key),
            heard.rival.suffix
        )
    } else {
        String::new()
    }
}
