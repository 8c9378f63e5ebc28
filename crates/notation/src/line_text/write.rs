//! Writing: a score as the text of a line.

use std::fmt::Write as _;

use linewright_diagnostic::clean::disturbs;
use linewright_diagnostic::clean::one_line;

use super::bar::{MOST_BEATS, MOST_IN_A_BEAT};
use super::header::{ABOUT, LONGEST_NAME, LONGEST_VALUE, MOST_FACTS, NAMES};
use super::plain::beat_of;
use super::word::TOO_HIGH;
use crate::header_line::is_name;
use crate::score::{BarLine, Event, Measure, Score, Ticks, TimeSignature};
use crate::writable;

/// A measure is written no longer than this.
const LONGEST: Ticks = 1 << 28;

/// Bars on one printed line.
const BARS_A_LINE: usize = 4;

/// The text of a line, in the form that [`read()`](super::read()) reads.
///
/// Reading it gives the same notes, rests, holds and ghost notes at the same times, and the same
/// title, composer, student, feel, facts, sections, and metre, key and tempo with their changes.
/// Chord symbols and what stands under notes are left away, and so are repeats and jumps: the
/// measures stand as they are written. A measure that is no whole number of beats is filled up
/// with rest (a pick-up at its front) and is then no pick-up if it is full; one of more than 32
/// beats becomes several. What is finer than a 24th of a beat is moved to the nearest. Notes in
/// octaves that no line has are moved by octaves, a metre of more than 32 beats is left away.
///
/// ```
/// use linewright_notation::line_text;
/// let text = "time: 4/4\n\n| F1 G1 (A1 . C2) . |\n";
/// assert_eq!(line_text::write(&line_text::read(text.as_bytes())?.0[0]), text);
/// # Ok::<(), linewright_diagnostic::Diagnostics>(())
/// ```
pub fn write(score: &Score) -> String {
    let mut text = String::new();
    let first = score.measures.first();
    let mut time = first
        .and_then(metre)
        .unwrap_or(TimeSignature { beats: 4, unit: 4 });
    header(&mut text, score, time);
    let mut on_line = BARS_A_LINE;
    let mut held = None;
    for (nth, measure) in score.measures.iter().enumerate() {
        if measure.ticks == 0 {
            continue;
        }
        if let Some(section) = measure.section.as_deref().and_then(section) {
            let _ = write!(text, "{}[{section}]", if nth > 0 { "\n\n" } else { "\n" });
            on_line = BARS_A_LINE;
        }
        if on_line == BARS_A_LINE {
            text.push_str("\n|");
            on_line = 0;
        }
        on_line += 1;
        if nth > 0 {
            changes(&mut text, measure);
        }
        time = metre(measure).unwrap_or(time);
        let (signs, on) = bar(measure, beat_of(time), held);
        for (nth, sign) in signs.iter().enumerate() {
            let cut = nth > 0 && nth % MOST_BEATS == 0;
            let _ = write!(text, "{}{sign}", if cut { " | " } else { " " });
        }
        held = on;
        text.push_str(match measure.right {
            BarLine::Double => " ||",
            BarLine::Final => " |]",
            BarLine::Single | BarLine::Repeat(_) => " |",
        });
        if nth == 0 && pickup_beats(measure, time).is_some() {
            on_line = BARS_A_LINE;
        }
    }
    text.push('\n');
    text
}

fn header(text: &mut String, score: &Score, time: TimeSignature) {
    let mut line = |name: &str, value: &str| {
        let _ = writeln!(text, "{name}: {value}");
    };
    if let Some(title) = score.title.as_deref().and_then(told) {
        line("title", &title);
    }
    for (name, credit) in [("composer", &score.composer), ("student", &score.student)] {
        if let Some(credit) = credit.as_deref().and_then(told) {
            line(name, &credit);
        }
    }
    line("time", &format!("{}/{}", time.beats, time.unit));
    let first = score.measures.first();
    if let Some(key) = first.and_then(|measure| measure.key) {
        line("key", &key.to_string());
    }
    if let Some(tempo) = first.and_then(|measure| measure.tempo) {
        line("tempo", &tempo.clamp(1, 1000).to_string());
    }
    if let Some(feel) = score.feel.as_deref().and_then(told) {
        line("feel", &feel);
    }
    if let Some(beats) = first.and_then(|measure| pickup_beats(measure, time)) {
        line("pickup", &beats.to_string());
    }
    for (name, value) in score.about.iter().take(MOST_FACTS) {
        let name = name.to_lowercase();
        let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
        if !is_name(&name) || name.chars().count() > LONGEST_NAME - ABOUT.len() {
            continue;
        }
        let guard = NAMES.contains(&name.as_str()) || name.starts_with(ABOUT);
        let guard = if guard { ABOUT } else { "" };
        line(&format!("{guard}{name}"), &told(value).unwrap_or_default());
    }
}

/// The beats of a first measure that is a pick-up and stays one when they are filled.
fn pickup_beats(measure: &Measure, time: TimeSignature) -> Option<Ticks> {
    let beats = measure.ticks.div_ceil(beat_of(time));
    let short = beats > 0 && beats < time.ticks() / beat_of(time);
    (measure.pickup && short).then_some(beats)
}

/// The metre that begins with a measure, if a line can have it.
fn metre(measure: &Measure) -> Option<TimeSignature> {
    measure.time.filter(|time| {
        let unit = time.unit.is_power_of_two() && time.unit <= 64;
        unit && (1..=MOST_BEATS).contains(&usize::from(time.beats))
    })
}

/// A value as it can be told on one line; `None` when nothing is left.
fn told(value: &str) -> Option<String> {
    let plain = one_line(&value.chars().take(LONGEST_VALUE).collect::<String>());
    (!plain.is_empty()).then_some(plain)
}

/// A section's name without what would end it.
fn section(name: &str) -> Option<String> {
    let plain: String = name
        .chars()
        .map(|c| match c {
            '[' => '(',
            ']' => ')',
            '|' => '/',
            c => c,
        })
        .filter(|c| !disturbs(*c))
        .collect();
    super::bar::section(&plain.chars().take(40).collect::<String>()).ok()
}

fn changes(text: &mut String, measure: &Measure) {
    if let Some(TimeSignature { beats, unit }) = metre(measure) {
        let _ = write!(text, " (time: {beats}/{unit})");
    }
    if let Some(key) = measure.key {
        let _ = write!(text, " (key: {key})");
    }
    if let Some(tempo) = measure.tempo {
        let _ = write!(text, " (tempo: {})", tempo.clamp(1, 1000));
    }
}

/// What sounds from one place in a measure to another.
struct Stretch<'a> {
    from: Ticks,
    to: Ticks,
    /// The note; `None` where nothing sounds.
    event: Option<&'a Event>,
    /// Whether it goes on from before.
    goes_on: bool,
}

/// The signs of a bar, beat by beat, as [`write()`] has them. `held` is the note that is tied into
/// it.
///
/// ```
/// use linewright_notation::{QUARTER, line_text};
/// let (lines, _) = line_text::read(b"| F1 (A1 . A1) (r C2) . |")?;
/// let signs = line_text::beats(&lines[0].measures[0], QUARTER, None);
/// assert_eq!(signs, ["F1", "(A1 . A1)", "(r C2)", "."]);
/// # Ok::<(), linewright_diagnostic::Diagnostics>(())
/// ```
pub fn beats(measure: &Measure, beat: Ticks, held: Option<&Event>) -> Vec<String> {
    bar(measure, beat, held).0
}

/// The signs of a bar, beat by beat. `held` is the note that is tied into it; gives the one that
/// is tied out of it, too.
fn bar<'a>(
    measure: &'a Measure,
    beat: Ticks,
    held: Option<&'a Event>,
) -> (Vec<String>, Option<&'a Event>) {
    let ticks = measure.ticks.min(LONGEST);
    let beats = ticks.div_ceil(beat);
    let missing = beats * beat - ticks;
    let shift = if measure.pickup { missing } else { 0 };
    let (stretches, held) = stretches(measure, shift, beats * beat, held);
    let mut next = 0;
    let signs = (0..beats).map(|nth| {
        let (from, to) = (nth * beat, (nth + 1) * beat);
        while stretches.get(next).is_some_and(|s| s.to <= from) {
            next += 1;
        }
        signs(&stretches[next..], from, to)
    });
    (signs.collect(), held)
}

/// The signs of a beat.
fn signs(stretches: &[Stretch<'_>], from: Ticks, to: Ticks) -> String {
    let beat = to - from;
    let inside = stretches.iter().take_while(|s| s.from < to);
    let bounds: Vec<Ticks> = inside
        .map(|s| s.from)
        .filter(|&bound| bound > from)
        .collect();
    // Where a beat does not divide evenly, its parts lie where the reader puts them.
    let even = |parts: &Ticks| {
        bounds.iter().all(|bound| {
            let part = ((bound - from) * parts).div_ceil(beat);
            beat * part / parts == bound - from
        })
    };
    let parts = (1..=MOST_IN_A_BEAT as Ticks)
        .find(even)
        .unwrap_or(MOST_IN_A_BEAT as Ticks);
    let part = |part: Ticks| {
        let (from, to) = (from + beat * part / parts, from + beat * (part + 1) / parts);
        sign(stretches, from, to)
    };
    let signs = fewest((0..parts).map(part).collect());
    match &signs[..] {
        [one] => one.clone(),
        signs => format!("({})", signs.join(" ")),
    }
}

/// The same with as few signs as can be: what only goes on in all parts is left out.
fn fewest(signs: Vec<String>) -> Vec<String> {
    let goes_on = |part: &[String]| {
        let sign = if part[0] == "r" { "r" } else { "." };
        part[1..].iter().all(|later| later == sign)
    };
    let size = (1..=signs.len())
        .rev()
        .filter(|size| signs.len().is_multiple_of(*size))
        .find(|size| signs.chunks(*size).all(goes_on))
        .unwrap_or(1);
    signs.into_iter().step_by(size).collect()
}

/// Notes and silences in order, which cover the bar, and the note that is tied out of it.
fn stretches<'a>(
    measure: &'a Measure,
    shift: Ticks,
    end: Ticks,
    held: Option<&'a Event>,
) -> (Vec<Stretch<'a>>, Option<&'a Event>) {
    let mut stretches: Vec<Stretch<'a>> = Vec::new();
    let (mut at, mut held) = (0, held);
    for event in measure.events.iter().filter(|event| event.ticks > 0) {
        let from = event.at.saturating_add(shift);
        let to = from.saturating_add(event.ticks).min(end);
        let from = from.max(at);
        if from >= to {
            continue;
        }
        if from > at {
            silence(&mut stretches, at, from);
            held = None;
        }
        let goes_on = held.is_some_and(|held| held.note == event.note);
        match stretches.last_mut() {
            _ if event.note.is_none() => silence(&mut stretches, from, to),
            Some(last) if goes_on => last.to = to,
            _ => stretches.push(Stretch {
                from,
                to,
                event: Some(event),
                goes_on,
            }),
        }
        held = Some(event).filter(|event| event.tied);
        at = to;
    }
    if at < end {
        silence(&mut stretches, at, end);
        held = None;
    }
    (stretches, held)
}

/// Adds a silence, which goes on from one before it.
fn silence(stretches: &mut Vec<Stretch<'_>>, from: Ticks, to: Ticks) {
    match stretches.last_mut() {
        Some(last) if last.event.is_none() => last.to = to,
        _ => stretches.push(Stretch {
            from,
            to,
            event: None,
            goes_on: false,
        }),
    }
}

/// The sign from one place to another: what begins there, or else what goes on.
fn sign(stretches: &[Stretch<'_>], from: Ticks, to: Ticks) -> String {
    let here = stretches
        .iter()
        .take_while(|s| s.from < to)
        .filter(|s| s.to > from)
        .find(|s| s.from >= from)
        .or_else(|| stretches.iter().find(|s| s.from <= from && s.to > from));
    let Some(Stretch {
        from: begins,
        event,
        goes_on,
        ..
    }) = here
    else {
        return "r".to_owned();
    };
    match event.and_then(|event| event.note.map(|note| (event, note))) {
        None => "r".to_owned(),
        Some(_) if *goes_on || *begins < from => ".".to_owned(),
        Some((event, note)) => {
            let note = writable::note(note, -1..=TOO_HIGH - 1);
            format!("{}{note}", if event.ghost { "x" } else { "" })
        }
    }
}
