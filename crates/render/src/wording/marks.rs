//! Kind, plain words for marks: credit first, then what a note does and what would mend it.

use linewright_compose::Line;
use linewright_rulebook::style::Criterion;
use linewright_rulebook::{Place, Rule};
use linewright_study::mark::{Fault, Marked, Mend, Wrong};

use super::study::{bar_runs, count, listed, rule_words};
use crate::names::pitch_name;

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
    let tenths = milli.max(0) / 100;
    if tenths % 10 == 0 {
        (tenths / 10).to_string()
    } else {
        format!("{}.{}", tenths / 10, tenths % 10)
    }
}

/// Bar and beat of a place, as people count them; a bar as a whole has no beat.
pub fn place(line: &Line, place: Place) -> (usize, Option<u8>) {
    match place {
        Place::Bar(bar) => (line.timeline.bar_number(bar), None),
        Place::Note(at) => {
            let slot = &line.plan.slots[at];
            (line.timeline.bar_number(slot.bar), Some(slot.beat + 1))
        }
    }
}

/// What speaks for a line under one criterion: `5 half-step approaches`.
pub fn credit(line: &Line, rules: &[(linewright_rulebook::RuleId, usize)]) -> String {
    let words: Vec<String> = rules
        .iter()
        .take(3)
        .map(|&(rule, times)| {
            let name = rule_words(line.book.entry(rule).rule.name);
            format!("{name} ({})", count(times, "time"))
        })
        .collect();
    listed(&words)
}

/// A fault in a sentence: where, what the note does now, what is asked, and what mends it.
pub fn remark(marked: &Marked, fault: &Fault) -> String {
    let line = &marked.study.line;
    let (bar, beat) = place(line, fault.place);
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
            let devices: Vec<String> = line
                .style
                .marks
                .devices
                .iter()
                .map(|rule| rule_words(rule))
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
    let slot = &line.plan.slots[mend.slot];
    let key = line.timeline.bars[slot.bar].key;
    format!(
        "{} for {} on beat {} of bar {}",
        pitch_name(mend.pitch, key),
        line.reading.notes[mend.slot].note,
        slot.beat + 1,
        line.timeline.bar_number(slot.bar)
    )
}

/// What a note does that costs marks.
fn found(rule: &Rule) -> String {
    let words = match rule.name {
        "third-arrival" => "the third arrives here; at this grade the root does",
        "fifth-arrival" => "the fifth arrives here; at this grade the root does",
        "seventh-arrival" => "the seventh arrives here; at this grade the root does",
        "colour-arrival" => "a colour tone arrives here, which comes at a later grade",
        "outside-arrival" => "this arrival is no tone of its chord, so the chord is not heard",
        "third" => "a third; this grade is about roots and fifths",
        "seventh" => "a seventh; this grade is about roots and fifths",
        "colour-tone" => "a colour tone, which comes at a later grade",
        "scale-tone" => "a scale tone that is no chord tone, which comes at a later grade",
        "chromatic-tone" => "a note outside the scale, which comes at a later grade",
        "chromatic-on-the-beat" => {
            "a note outside the scale on a strong beat sounds like a wrong one"
        }
        "open-ending" => "the line ends on a note that is no chord tone, so it does not come home",
        "unresolved-chromatic" => "the chromatic note before does not move on by a half step",
        "early-root" => "the next root sounds early, which comes at a later grade",
        "anticipation" => {
            "the note already belongs to the next chord, which comes at a later grade"
        }
        "awkward-leap" => {
            "a tritone, seventh or ninth leads here, which is hard to hear and to play"
        }
        "too-wide-leap" => "the leap into this note is wider than the hand should go",
        "fast-leap" => "the leap into this note is wide for this tempo",
        "unrecovered-leap" => {
            "after the wide leap before it, the line should turn back by a step or a third"
        }
        "leap-into-the-end" => "a wide leap into the last note has nothing after it to balance it",
        "leaps-one-way" => "two leaps the same way cover more than an octave",
        "three-alike" => "the same note three times in a row stands still",
        "oscillation" => "the line goes away and straight back to the same note",
        "out-of-range" => "this note lies outside the range",
        "cell-again" => {
            "this bar begins just like the bar before; another order would keep it moving"
        }
        "thin-bar" => "this bar has only two different notes",
        "root-twice" => "the root was there early already; another tone would be fresh",
        "unplanned-cadence" => {
            "this bar closes on its root in the middle of a phrase; keep that for its end"
        }
        _ => return sentence(rule),
    };
    words.to_owned()
}

/// What is asked and is not there.
fn missing(rule: &Rule) -> String {
    let words = match rule.name {
        "beat-one-cadence" => {
            "the phrase should land here: the root on beat one, approached by half step, step or from the fifth"
        }
        "own-root-cadence" => {
            "the phrase should land here: other tones of the chord first, its root on the last beat"
        }
        "next-root-cadence" => {
            "the phrase should land here: the next chord's root on the last beat"
        }
        "slash-bass" => "the bass note of the slash chord should sound where it begins",
        _ => return format!("asked here, and not there: {}", sentence(rule)),
    };
    words.to_owned()
}

/// A rule's sentence, inside another one.
fn sentence(rule: &Rule) -> String {
    let text = rule.sentence.trim_end_matches('.');
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| {
        first.to_lowercase().chain(letters).collect()
    })
}
