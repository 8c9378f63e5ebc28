//! The plan as a table: what every bar was meant to do, and what it does.

use linewright_rules::{BarReading, Line};

use super::bar::{bar_reading, cadence};
use super::paint::{Paint, Part};
use crate::names::{class_name, pitch_name};
use crate::wording;

/// One row for each bar that is shown.
pub(super) fn plan(line: &Line, shown: &[usize], paint: Paint) -> String {
    let mut table = vec![wording::PLAN_HEADS.map(str::to_owned)];
    table.extend(shown.iter().map(|&bar| row(line, bar)));
    let widths: Vec<usize> = (0..wording::PLAN_HEADS.len())
        .map(|column| {
            table
                .iter()
                .map(|row| row[column].chars().count())
                .max()
                .unwrap_or(0)
        })
        .collect();
    let title = paint.paint(Part::Section, wording::PLAN);
    let mut text = format!("{title}  {}\n", wording::PLAN_NOTE);
    for (index, row) in table.iter().enumerate() {
        let part = if index == 0 { Part::Frame } else { Part::Plain };
        let cells: Vec<String> = row
            .iter()
            .zip(&widths)
            .map(|(cell, width)| format!("{cell}{:1$}", "", width - cell.chars().count()))
            .collect();
        text.push_str(&paint.paint(part, cells.join("  ").trim_end()));
        text.push('\n');
    }
    text.push('\n');
    text
}

fn row(line: &Line, bar: usize) -> [String; 7] {
    let number = line.timeline.bar_number(bar).to_string();
    let plan = &line.plan.bars[bar];
    let key = line.timeline.bars[bar].key;
    let Some(heard) = bar_reading(line, bar) else {
        let mut silent: [String; 7] = Default::default();
        silent[0] = number;
        silent[1] = wording::RESTING.to_owned();
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
fn hundredths(thousandths: i32) -> String {
    let hundredths = (thousandths.max(0) + 5) / 10;
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}

/// The chord that a bar which is not clear could be instead.
fn rival(heard: &BarReading, key: linewright_theory::Key) -> String {
    if heard.clarity < linewright_rules::CLEAR {
        format!(
            "{}{}",
            class_name(heard.rival.root, key),
            heard.rival.suffix
        )
    } else {
        String::new()
    }
}
