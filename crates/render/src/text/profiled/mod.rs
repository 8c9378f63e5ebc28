//! The page of a profile, and of two profiles compared.

mod compared;
#[cfg(test)]
mod tests;

use linewright_diagnostic::clean::one_line;
use linewright_study::profile::{Counted, Measure, PERCENTILES, Profile, Profiled, Value};

use super::Options;
use super::paint::{Paint, Part};
use super::table::figures;
use crate::numbers::percent;
use crate::wording::profile::{measure as title_of, value as word};
use crate::wording::study::count;
use linewright_theory::note_name;

pub use compared::compared;

/// The page of a profile. Ends with a line break.
pub fn profiled(profiled: &Profiled, options: &Options) -> String {
    let paint = Paint::new(options.colour);
    let profile = &profiled.profile;
    let mut page = paint.paint(Part::Title, "profile of lines") + "\n";
    page.push_str(&format!(
        "{}{}\n",
        counted(&profiled.of, profile),
        over(&profiled.over)
    ));
    let section =
        |title: &str, table: String| format!("\n{}\n{table}", paint.paint(Part::Section, title));
    if profile.notes() == 0 {
        page.push_str("\nNo note was counted.\n");
        return page;
    }
    let (mut beats, mut pairs) = (Vec::new(), Vec::new());
    for measure in profile.measures() {
        match measure {
            Measure::Degrees { .. } => beats.push(measure),
            Measure::Intervals { .. } => pairs.push(measure),
            _ => {}
        }
    }
    page.push_str(&section(
        "degrees by beat, in %",
        side_by_side(profile, &beats, "degree", paint),
    ));
    page.push_str(&section(
        "moves by beats, in %",
        side_by_side(profile, &pairs, "move", paint),
    ));
    page.push_str(&section("root on beat one", roots(profile, paint)));
    for (measure, head) in [
        (Measure::IntoOne, "reached by"),
        (Measure::Directions, "move"),
        (Measure::Members, "note"),
        (Measure::Cadences, "bar"),
        (Measure::Devices, "device"),
    ] {
        if profile.tally(measure).is_some() {
            page.push_str(&section(
                &title_of(measure),
                list(profile, measure, head, paint),
            ));
        }
    }
    page.push_str(&section("range", range(&[("", profile)], paint)));
    page
}

/// Which lines were counted, in words.
fn counted(of: &Counted, profile: &Profile) -> String {
    let lines = count(profile.lines() as usize, "line");
    let which = match of {
        Counted::Files(files) => match files.as_slice() {
            [one] => format!("{lines} of {}", one_line(one)),
            [first, .., last] => format!(
                "{lines} of {} files, {} to {}",
                files.len(),
                one_line(first),
                one_line(last)
            ),
            [] => lines,
        },
        Counted::Composed { style, first, last } if first == last => {
            format!("{lines} in style {}, seed {first}", one_line(style))
        }
        Counted::Composed { style, first, last } => {
            format!(
                "{lines} in style {}, seeds {first} to {last}",
                one_line(style)
            )
        }
    };
    let bars = count(profile.bars() as usize, "bar");
    let notes = count(profile.notes() as usize, "note");
    format!("{which}: {bars}, {notes}")
}

/// Over which chart, in words.
fn over(title: &Option<String>) -> String {
    title
        .as_ref()
        .map_or(String::new(), |title| format!(", over {}", one_line(title)))
}

/// Measures of one kind in columns, their values in rows; the last row says of how many.
fn side_by_side(profile: &Profile, measures: &[Measure], head: &str, paint: Paint) -> String {
    let mut values: Vec<Value> = measures
        .iter()
        .filter_map(|measure| profile.tally(*measure))
        .flat_map(|tally| tally.iter().map(|(value, _)| value))
        .collect();
    values.sort_unstable();
    values.dedup();
    if matches!(values.first(), Some(Value::Interval(_))) {
        // The highest first, as on a staff.
        values.reverse();
    }
    let mut heads = vec![head.to_owned()];
    heads.extend(measures.iter().map(|measure| match measure {
        Measure::Degrees { beat } => format!("beat {beat}"),
        Measure::Intervals { from, to } => format!("{from} to {to}"),
        other => title_of(*other),
    }));
    let mut rows: Vec<Vec<String>> = Vec::new();
    for value in values {
        let mut row = vec![word(value)];
        row.extend(measures.iter().map(|&measure| {
            let times = profile.times(measure, value);
            if times == 0 {
                "·".to_owned()
            } else {
                percent(times, profile.whole(measure))
            }
        }));
        rows.push(row);
    }
    let mut last = vec!["of how many".to_owned()];
    last.extend(
        measures
            .iter()
            .map(|&measure| profile.whole(measure).to_string()),
    );
    rows.push(last);
    figures(&heads, &rows, paint)
}

/// The values of one measure, most frequent first where they have no order of their own.
fn list(profile: &Profile, measure: Measure, head: &str, paint: Paint) -> String {
    let tally = profile.tally(measure).into_iter();
    let mut values: Vec<(Value, u64)> = tally.flat_map(|tally| tally.iter()).collect();
    if measure == Measure::Devices {
        values.sort_by_key(|(_, times)| std::cmp::Reverse(*times));
    }
    let share = if measure == Measure::Devices {
        "in 100 bars"
    } else {
        "%"
    };
    let row = |&(value, times): &(Value, u64)| {
        vec![
            word(value),
            percent(times, profile.whole(measure)),
            times.to_string(),
        ]
    };
    let rows: Vec<Vec<String>> = values.iter().map(row).collect();
    figures(
        &[head.to_owned(), share.to_owned(), "count".to_owned()],
        &rows,
        paint,
    )
}

fn roots(profile: &Profile, paint: Paint) -> String {
    let row = |(word, measure): (&str, Measure)| {
        let (times, of) = (
            profile.times(measure, Value::IsRoot(true)),
            profile.whole(measure),
        );
        vec![
            word.to_owned(),
            percent(times, of),
            times.to_string(),
            of.to_string(),
        ]
    };
    let rows = [
        ("where the chord is new", Measure::RootWhereNew),
        ("where the chord is held", Measure::RootWhereHeld),
    ]
    .map(row);
    figures(&["", "%", "count", "of"].map(str::to_owned), &rows, paint)
}

/// The notes at or below which so many percent of the notes lie, a row for each profile.
fn range(profiles: &[(&str, &Profile)], paint: Paint) -> String {
    let mut heads = vec![String::new(), "lowest".to_owned()];
    heads.extend(PERCENTILES.map(|percent| format!("{percent} %")));
    heads.push("highest".to_owned());
    let row = |(name, profile): &(&str, &Profile)| {
        let at = |percent| {
            profile
                .percentile(percent)
                .map_or("–".to_owned(), note_name)
        };
        let mut row = vec![(*name).to_owned(), at(0)];
        row.extend(PERCENTILES.map(at));
        row.push(at(100));
        row
    };
    let rows: Vec<Vec<String>> = profiles.iter().map(row).collect();
    figures(&heads, &rows, paint)
}
