//! What a teacher would say of a line, in a few sentences.

use linewright_chart::Timeline;
use linewright_compose::Line;
use linewright_rulebook::plan::PhrasePlace;
use linewright_rulebook::rules::{approach, order};
use linewright_rulebook::{Family, Label, Place, Rule};
use linewright_study::explain::{Explanation, Landing, Share};

use super::study::{cadence_sentence, count, interval, listed};
use crate::bars::bar_reading;
use linewright_theory::{class_name, pitch_name};

/// The sentences, in the order in which one would say them.
pub fn summary(line: &Line, explained: &Explanation) -> Vec<String> {
    if line.reading.notes.is_empty() {
        return vec!["There are no notes over a chord to say anything about.".to_owned()];
    }
    let mut sentences = vec![beginnings(explained)];
    sentences.extend(approaches(explained));
    sentences.push(cadences(line, explained));
    sentences.extend(tension(line, explained));
    sentences.push(motion(line, explained));
    sentences.extend(order(line, explained));
    sentences.extend(faults(line, explained));
    sentences
}

fn of(share: Share, what: &str) -> String {
    format!("{} of {}", share.of, count(share.all, what))
}

fn beginnings(explained: &Explanation) -> String {
    let counts = &explained.counts;
    let others: Vec<String> = counts
        .other_degrees_on_one
        .iter()
        .take(4)
        .map(|(degree, times)| {
            if *times == 1 {
                degree.to_string()
            } else {
                format!("{degree} ({times} times)")
            }
        })
        .collect();
    let rest = if others.is_empty() {
        String::new()
    } else {
        format!("; others begin on {}", listed(&others))
    };
    format!(
        "The root is on beat one in {}{rest}.",
        of(counts.roots_on_one, "bar")
    )
}

/// Whether what a rule finds leads into an arrival: an approach, not a note in passing.
fn leads_into_an_arrival(rule: &Rule) -> bool {
    let in_passing = [
        &approach::ANTICIPATION,
        &approach::PASSING_TONE,
        &approach::NEIGHBOUR_TONE,
        &approach::CHROMATIC_PASSING_TONE,
    ];
    rule.family == Family::Approach && rule.label != Label::None && !in_passing.contains(&rule)
}

fn approaches(explained: &Explanation) -> Option<String> {
    let counts = &explained.counts;
    if counts.steps_into_one.all == 0 {
        return None;
    }
    let devices: Vec<String> = counts
        .devices
        .iter()
        .filter(|(rule, _)| leads_into_an_arrival(rule))
        .map(|(rule, times)| count(*times, &rule.words()))
        .collect();
    let devices = if devices.is_empty() {
        String::new()
    } else {
        format!(" It has {}.", listed(&devices))
    };
    Some(format!(
        "It steps into beat one at {} ({} by half step).{devices}",
        of(counts.steps_into_one, "bar line"),
        counts.half_steps_into_one.of,
    ))
}

/// The landings that matter: planned ones, and those at the end or in the middle of a phrase.
fn cadences(line: &Line, explained: &Explanation) -> String {
    let timeline = &line.timeline;
    let matters = |landing: &&Landing| landing.planned || landing.place.is_some();
    let mut bars: Vec<String> = Vec::new();
    let mut last = None;
    for landing in explained.landings.iter().filter(matters) {
        // The planned kind where there is one, else the first.
        let planned = line.plan.bars[landing.bar].cadence;
        let other_planned = planned.is_some_and(|kind| kind != landing.kind)
            && explained
                .landings
                .iter()
                .any(|l| l.bar == landing.bar && l.planned);
        if last == Some(landing.bar) || other_planned {
            continue;
        }
        last = Some(landing.bar);
        bars.push(format!(
            "bar {} ({})",
            timeline.bar_number(landing.bar),
            cadence_sentence(landing.kind)
        ));
    }
    let open: Vec<String> = (0..line.plan.bars.len())
        .filter(|&bar| line.plan.place_of_cadence(bar) == Some(PhrasePlace::End))
        .filter(|&bar| !timeline.bars[bar].pickup && !line.plan.bars[bar].slots.is_empty())
        .filter(|&bar| !explained.landings.iter().any(|landing| landing.bar == bar))
        .map(|bar| format!("bar {}", timeline.bar_number(bar)))
        .collect();
    let mut sentence = if bars.is_empty() {
        "It cadences nowhere at the end or in the middle of a phrase".to_owned()
    } else {
        format!("It cadences in {}", listed(&bars))
    };
    if !open.is_empty() && !bars.is_empty() {
        sentence.push_str(&format!("; nothing closes the phrase in {}", listed(&open)));
    }
    sentence.push('.');
    sentence
}

fn tension(line: &Line, explained: &Explanation) -> Option<String> {
    let number = |bar: usize| line.timeline.bar_number(bar);
    let peak = explained.counts.peak?;
    let reading = bar_reading(line, peak)?;
    let key = line.timeline.bars[peak].key;
    let could = if reading.clarity < linewright_rulebook::CLEAR {
        format!(
            ", which could also be {}{}",
            class_name(reading.rival.root, key),
            reading.rival.suffix
        )
    } else {
        String::new()
    };
    let release = match explained.counts.release {
        Some(bar) => format!("; bar {} lets it go", number(bar)),
        None => "; nothing after it lets it go".to_owned(),
    };
    Some(format!(
        "Tension is highest in bar {}{could}{release}.",
        number(peak)
    ))
}

fn motion(line: &Line, explained: &Explanation) -> String {
    let counts = &explained.counts;
    let key = line.timeline.key;
    let range = counts.range.map_or(String::new(), |(low, high)| {
        format!(
            "It lies between {} and {}",
            pitch_name(low, key),
            pitch_name(high, key)
        )
    });
    let moves = if counts.steps_and_thirds.all == 0 {
        String::new()
    } else {
        format!(
            " and moves by steps and thirds in {}",
            of(counts.steps_and_thirds, "move")
        )
    };
    let widest = match counts.widest {
        Some((size, at)) if size > 4 => {
            let slot = &line.plan.slots[at];
            format!(
                "; the widest is {} into bar {} beat {}",
                interval(size.unsigned_abs()),
                line.timeline.bar_number(slot.bar),
                slot.beat + 1
            )
        }
        _ => String::new(),
    };
    format!("{range}{moves}{widest}.")
}

fn order(line: &Line, explained: &Explanation) -> Option<String> {
    let bars_with = |wanted: &dyn Fn(usize) -> bool| -> Vec<String> {
        let bars = explained.orders.iter().zip(&line.reading.bars).enumerate();
        bars.filter(|(at, _)| wanted(*at))
            .map(|(_, (_, bar))| line.timeline.bar_number(bar.bar).to_string())
            .collect()
    };
    let has = |at: usize, rule: &Rule| explained.orders[at].rules.contains(&rule);
    let mut parts = Vec::new();
    for (rule, words) in [
        (&order::STOCK_CELL, "plays a stock cell"),
        (&order::REORDERED_CELL, "reorders a stock cell"),
        (&order::SEQUENCE, "answers the bar before in sequence"),
        (&order::CELL_AGAIN, "begins like the bar before"),
    ] {
        let bars = bars_with(&|at| has(at, rule));
        if !bars.is_empty() {
            parts.push(format!("{words} in {}", bars_listed(&bars)));
        }
    }
    let again = bars_with(&|at| explained.orders[at].reorders_the_bar_before);
    if !again.is_empty() {
        parts.push(format!(
            "turns the bar before into another order in {}",
            bars_listed(&again)
        ));
    }
    (!parts.is_empty()).then(|| format!("It {}.", listed(&parts)))
}

fn bars_listed(bars: &[String]) -> String {
    let word = if bars.len() == 1 { "bar" } else { "bars" };
    format!("{word} {}", listed(bars))
}

fn faults(line: &Line, explained: &Explanation) -> Option<String> {
    let faults: Vec<String> = explained
        .counts
        .faults
        .iter()
        .take(6)
        .map(|(rule, place)| {
            format!(
                "{} ({})",
                place_in(&line.timeline, line, *place),
                rule.words()
            )
        })
        .collect();
    let more = explained.counts.faults.len().saturating_sub(faults.len());
    let more = if more > 0 {
        format!(", and {more} more")
    } else {
        String::new()
    };
    (!faults.is_empty()).then(|| format!("Look again at {}{more}.", listed(&faults)))
}

/// A place in words: `bar 3`, `bar 3 beat 2`.
pub fn place_in(timeline: &Timeline, line: &Line, place: Place) -> String {
    match place {
        Place::Bar(bar) => format!("bar {}", timeline.bar_number(bar)),
        Place::Note(at) => {
            let slot = &line.plan.slots[at];
            format!(
                "bar {} beat {}",
                timeline.bar_number(slot.bar),
                slot.beat + 1
            )
        }
    }
}
