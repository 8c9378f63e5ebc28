//! `linewright chart`.

use std::fmt::Write as _;

use linewright::diagnostic::clean::tame;
use linewright::{Chart, Timeline};

use crate::args;
use crate::exit::Failure;
use crate::values::Transposition;
use crate::{output, read};

/// Checks a chart; prints, transposes or unrolls it.
pub fn run(arguments: &args::Chart) -> Result<(), Failure> {
    let chart = read::chart(arguments.chart.path(), arguments.chart.part())?;
    let chart = match &arguments.transpose {
        Some(Transposition::Key(key)) => chart.transposed(&key.of(&chart)?),
        Some(Transposition::Semitones(semitones)) => chart.transposed_by(*semitones),
        None => chart,
    };
    let timeline = chart.unroll().map_err(Failure::chart)?;
    let print = arguments.print || (arguments.transpose.is_some() && !arguments.unroll);
    let mut text = String::new();
    if print {
        text.push_str(&chart.to_string());
    }
    if arguments.unroll {
        if print {
            text.push('\n');
        }
        text.push_str(&unrolled(&timeline));
    }
    if !print && !arguments.unroll {
        text = summary(&chart, &timeline);
    }
    output::bytes(text.as_bytes())
}

/// What was found.
fn summary(chart: &Chart, timeline: &Timeline) -> String {
    let told = if chart.tells_key() {
        ""
    } else {
        " (from the chords; the chart does not tell it)"
    };
    let tempo = chart.tempo().map_or("not told".to_owned(), |tempo| {
        format!("{tempo} beats a minute")
    });
    let full = |pickups: usize, bars: usize| match (bars - pickups, pickups) {
        (1, 0) => "1".to_owned(),
        (bars, 0) => bars.to_string(),
        (bars, _) => format!("{bars} and a pick-up"),
    };
    let pickups = usize::from(chart.pickup().is_some());
    let written = full(pickups, chart.bars().len());
    let played = full(pickups, timeline.bars.len());
    let sections: Vec<&str> = timeline
        .bars
        .iter()
        .filter_map(|bar| bar.section.as_deref())
        .collect();
    let mut text = format!("{}\n", tame(chart.title()));
    let mut row = |name: &str, value: &str| {
        let _ = writeln!(text, "  {name:10} {value}");
    };
    row("key", &format!("{}{told}", chart.key()));
    row("metre", &chart.metre().to_string());
    row("tempo", &tempo);
    if let Some(feel) = chart.feel() {
        row("feel", &tame(feel));
    }
    row("bars", &format!("{written} written, {played} played"));
    if !sections.is_empty() {
        row("sections", &tame(&sections.join(" ")));
    }
    text.push_str("No faults.\n");
    text
}

/// The bars as played: number, number on the page, section, chords with their beats.
fn unrolled(timeline: &Timeline) -> String {
    let mut text = String::from("bar  written  chords (with their beats)\n");
    for (index, bar) in timeline.bars.iter().enumerate() {
        let number = timeline.bar_number(index);
        if let Some(section) = &bar.section {
            let _ = writeln!(text, "[{}]", tame(section));
        }
        let chords: Vec<String> = bar
            .spans
            .iter()
            .map(|span| format!("{}:{}", span.harmony, span.beats))
            .collect();
        let _ = writeln!(text, "{number:3}  {:7}  {}", bar.written, chords.join("  "));
    }
    text
}
