//! The key at the foot of a page: the marks and short words that it uses.

use linewright_compose::Line;
use linewright_rulebook::Between;

use super::bar::{between, shown_functions, signs};
use super::paint::{Paint, Part};
use crate::bars::cadence;
use crate::wording;

/// The key to the bars that are shown.
pub(super) fn legend(line: &Line, shown: &[usize], width: usize, paint: Paint) -> String {
    legend_of(&[line], shown, width, paint)
}

/// The key to the bars that are shown of several lines.
pub(super) fn legend_of(lines: &[&Line], shown: &[usize], width: usize, paint: Paint) -> String {
    let mut entries: Vec<(String, String)> = Vec::new();
    let mut add = |entry: (String, String)| {
        if !entries.contains(&entry) {
            entries.push(entry);
        }
    };
    lines
        .iter()
        .flat_map(|line| marks(line, shown))
        .for_each(&mut add);
    lines
        .iter()
        .flat_map(|line| functions(line, shown))
        .for_each(&mut add);
    let mut text = String::new();
    if !entries.is_empty() {
        let key = entries
            .iter()
            .map(|(short, _)| short.chars().count())
            .max()
            .unwrap_or(0);
        let longest = entries
            .iter()
            .map(|(_, long)| long.chars().count())
            .max()
            .unwrap_or(0);
        let column = key + 1 + longest + 3;
        let columns = ((width + 3) / column).clamp(1, 3);
        let rows = entries.len().div_ceil(columns);
        for row in 0..rows {
            let across: Vec<String> = entries
                .iter()
                .skip(row)
                .step_by(rows)
                .map(|(short, long)| {
                    let cell = format!("{} {long}", paint.cell(Part::Approach, short, key));
                    format!("{cell}{:1$}", "", longest - long.chars().count() + 3)
                })
                .collect();
            text.push_str(across.concat().trim_end());
            text.push('\n');
        }
    }
    text.push_str(wording::FOOT);
    text
}

/// The marks of cadences, and the signs in the row of notes.
fn marks(line: &Line, shown: &[usize]) -> Vec<(String, String)> {
    let mut seen = Vec::new();
    let mut missed = false;
    for &bar in shown {
        if let Some((cadence, kept)) = cadence(line, bar) {
            missed |= !kept;
            seen.push(cadence);
        }
    }
    seen.sort_unstable();
    seen.dedup();
    let mut entries: Vec<(String, String)> = seen
        .into_iter()
        .map(|cadence| {
            let short = format!("{}{}", wording::KEPT, wording::short_cadence(cadence));
            (short, wording::long_cadence(cadence))
        })
        .collect();
    if missed {
        entries.push((
            wording::MISSED.to_string(),
            wording::MISSED_CADENCE.to_owned(),
        ));
    }
    let signs: String = shown.iter().flat_map(|&bar| signs(line, bar)).collect();
    for (sign, short, long) in wording::SIGNS {
        if signs.contains(*sign) {
            entries.push(((*short).to_owned(), (*long).to_owned()));
        }
    }
    entries
}

/// The functions under the notes that are shown, in the order of the rulebook, and what the
/// notes between the beats do.
fn functions(line: &Line, shown: &[usize]) -> Vec<(String, String)> {
    let mut seen: Vec<_> = shown
        .iter()
        .flat_map(|&bar| line.plan.bars[bar].slots.clone())
        .flat_map(|at| shown_functions(line, &line.reading.notes[at]))
        .map(|function| {
            (
                function.rule,
                wording::short_function(function),
                wording::long_function(function),
            )
        })
        .collect();
    seen.sort();
    seen.dedup();
    let written = shown.iter().flat_map(|&bar| &line.written[bar]);
    let mut off: Vec<Between> = written
        .filter_map(|written| between(written.role))
        .collect();
    off.sort();
    off.dedup();
    seen.into_iter()
        .map(|(_, short, long)| (short, long))
        .chain(
            off.iter()
                .map(|off| (off.short().into(), off.name().into())),
        )
        .collect()
}
