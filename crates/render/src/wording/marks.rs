//! Kind, plain words for marks: credit first, then what a note does and what would mend it.

use linewright_compose::Line;
use linewright_rulebook::style::Criterion;
use linewright_rulebook::{Place, Rule, rule_named};
use linewright_study::mark::{Change, Fault, Marked, Mend, Wrong, bar_and_beat, in_units};

use super::study::{bar_runs, count, listed};
use linewright_theory::pitch_name;

/// A criterion in full.
pub fn criterion(criterion: Criterion) -> &'static str {
    match criterion {
        Criterion::Harmony => "harmony outlined",
        Criterion::Arrivals => "arrivals and approaches",
        Criterion::Cadences => "cadences at phrase ends",
        Criterion::Motion => "direction and leaps",
        Criterion::Order => "variety of order",
        Criterion::Range => "range and playability",
        Criterion::Device => "the grade's own device",
    }
}

/// Thousandths of a mark with one decimal, rounded down: nobody passes by rounding.
pub fn marks(milli: i64) -> String {
    tenths(milli.max(0) / 100)
}

/// Thousandths of a mark that were got under the criteria, each with one decimal, so that they add
/// up to what [`marks`] says of their sum.
pub fn adding_up(milli: &[i64]) -> Vec<String> {
    in_units(milli, 100).into_iter().map(tenths).collect()
}

fn tenths(tenths: i64) -> String {
    if tenths % 10 == 0 {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    }
}

/// What speaks for a line under one criterion: `5 half-step approaches`.
pub fn credit(line: &Line, rules: &[(linewright_rulebook::RuleId, usize)]) -> String {
    let words: Vec<String> = rules
        .iter()
        .take(3)
        .map(|&(rule, times)| {
            let name = line.book.entry(rule).rule.words();
            format!("{name} ({})", count(times, "time"))
        })
        .collect();
    listed(&words)
}

/// A fault in a sentence: where, what the note does now, what is asked, and what mends it.
pub fn remark(marked: &Marked, fault: &Fault) -> String {
    let line = &marked.study.line;
    let (bar, beat) = bar_and_beat(line, fault.place);
    let at = match (fault.place, beat) {
        (Place::Note(at), Some(beat)) => {
            let note = &line.reading.notes[at];
            let chord = &line.plan.slots[at].ground.chord;
            format!(
                "bar {bar} beat {beat}, {} ({} of {chord})",
                note.note, note.degree
            )
        }
        _ => format!("bar {bar}"),
    };
    let what = match fault.what {
        Wrong::Found(rule) => found(line.book.entry(rule).rule),
        Wrong::Missing(rule) => missing(line.book.entry(rule).rule),
        Wrong::NoDevice => {
            let devices = line.style.marks.devices.iter();
            let devices: Vec<String> = devices
                .filter_map(|name| rule_named(name))
                .map(Rule::words)
                .collect();
            format!(
                "neither this bar nor the next uses what the grade is about: {}",
                listed(&devices)
            )
        }
    };
    let mend = marked.mend_of(fault).map_or(String::new(), |mend| {
        format!(". Try {}", change(line, &mend))
    });
    format!("{at}: {what}{mend}.")
}

/// The bars that should have notes and have none, in a sentence, where there are any.
pub fn silence(marked: &Marked) -> Option<String> {
    let timeline = &marked.study.line.timeline;
    let number = |&bar: &usize| timeline.bar_number(bar);
    let bars: Vec<usize> = marked.study.silent.iter().map(number).collect();
    let (has, it) = match bars.as_slice() {
        [] => return None,
        [_] => ("has", "it takes"),
        _ => ("have", "they take"),
    };
    Some(format!(
        "{} {has} a chord but no notes: {it} a share of every criterion along.",
        bar_runs(&bars)
    ))
}

/// One changed note: `A2 for D3 on beat 2 of bar 5`.
pub fn change(line: &Line, mend: &Mend) -> String {
    let Change {
        bar,
        beat,
        from,
        to,
        key,
    } = Change::of(line, mend);
    let to = pitch_name(to, key);
    format!("{to} for {from} on beat {beat} of bar {bar}")
}

/// What a note does that costs marks.
fn found(rule: &Rule) -> String {
    rule.remarks
        .found
        .map_or_else(|| sentence(rule), str::to_owned)
}

/// What is asked and is not there.
fn missing(rule: &Rule) -> String {
    rule.remarks.missing.map_or_else(
        || format!("asked here, and not there: {}", sentence(rule)),
        str::to_owned,
    )
}

/// A rule's sentence, inside another one.
fn sentence(rule: &Rule) -> String {
    let text = rule.sentence.trim_end_matches('.');
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
