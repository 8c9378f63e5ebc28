//! Words for what a study of a line finds: parts in the harmony, moves, orders, cadences.

use linewright_compose::Line;
use linewright_rulebook::plan::{Beat, Cadence, PhrasePlace, Slot};
use linewright_rulebook::{Family, Function, Label, NoteReading, Rule};
use linewright_study::explain::BarOrder;
use linewright_study::orders::Order;
use linewright_study::vary::Variation;
use linewright_theory::Member;

/// What a note is to its chord, and where: `third of F7 on its arrival`.
pub fn part_in_harmony(slot: &Slot, note: &NoteReading) -> String {
    let chord = &slot.ground.chord;
    let slash = chord.bass.is_some() && note.member == Member::Root;
    let part = match note.member {
        Member::Root if slash => format!("bass note of {chord}"),
        Member::Root => format!("root of {chord}"),
        Member::Third if note.degree.number == 3 => format!("third of {chord}"),
        Member::Fifth if note.degree.number == 5 => format!("fifth of {chord}"),
        Member::Fifth if note.degree.number == 1 => format!("root of the chord over {chord}"),
        Member::Seventh if note.degree.number == 7 => format!("seventh of {chord}"),
        Member::Third | Member::Fifth | Member::Seventh => {
            format!("{} of {chord}, a chord tone", note.degree)
        }
        Member::Colour => format!("{} of {chord}, colour", note.degree),
        Member::Scale => format!("{} of the scale of {chord}", note.degree),
        Member::Outside => format!("{} over {chord}, outside its scale", note.degree),
    };
    let place = match (slot.strength, slot.chord_starts) {
        (_, true) => ", where it arrives",
        (Beat::Down, false) => ", on beat one",
        _ => "",
    };
    format!("{part}{place}")
}

/// A note's functions in words, strongest first, without what it is to its chord.
pub fn functions_in_words(line: &Line, note: &NoteReading) -> Vec<String> {
    let is_tone = |function: &&Function| line.book.entry(function.rule).rule.family == Family::Tone;
    let named = note.functions.iter().filter(|function| !is_tone(function));
    named.map(super::long_function).collect()
}

/// What an answer for a passage is called: its strategy, and what that did where it has a choice.
pub fn answer_name(variation: &Variation) -> String {
    let by = variation.by.as_deref();
    let by = by.map_or(String::new(), |by| format!(" {by}"));
    format!("{}{by}", variation.strategy.name.replace('-', " "))
}

/// The degrees of an order: `1-3-5-6`.
pub fn degrees_of(order: &Order) -> String {
    let notes = order.line.reading.notes[order.slots.clone()].iter();
    let degrees: Vec<String> = notes.map(|note| note.degree.to_string()).collect();
    degrees.join("-")
}

/// Bars by number, in order, runs in short: `bar 4`, `bars 2 and 5 to 12`.
pub fn bar_runs(bars: &[usize]) -> String {
    let runs = bars.chunk_by(|one, next| one + 1 == *next);
    let run = |run: &[usize]| match run {
        [first, .., last] => format!("{first} to {last}"),
        _ => run.iter().map(ToString::to_string).collect(),
    };
    let word = if bars.len() == 1 { "bar" } else { "bars" };
    format!("{word} {}", listed(&runs.map(run).collect::<Vec<_>>()))
}

/// Where the note of this number moves: `up a half step to F2`.
pub fn move_onward(line: &Line, nth: usize) -> String {
    let notes = &line.reading.notes;
    let Some(next) = notes.get(nth + 1) else {
        return "ends the line".to_owned();
    };
    let semitones = i32::from(next.pitch.midi()) - i32::from(notes[nth].pitch.midi());
    format!("{} to {}", move_by(semitones), next.note)
}

/// A move by so many semitones: `up a half step`.
pub fn move_by(semitones: i32) -> String {
    let way = if semitones > 0 { "up" } else { "down" };
    let size = semitones.unsigned_abs();
    if size == 0 {
        return "again".to_owned();
    }
    format!("{way} {}", interval(size))
}

/// An interval by its size in semitones: `a major third`. Not by its spelling.
pub fn interval(semitones: u32) -> String {
    const NAMES: [&str; 17] = [
        "a unison",
        "a half step",
        "a whole step",
        "a minor third",
        "a major third",
        "a fourth",
        "a tritone",
        "a fifth",
        "a minor sixth",
        "a major sixth",
        "a minor seventh",
        "a major seventh",
        "an octave",
        "a minor ninth",
        "a major ninth",
        "a minor tenth",
        "a major tenth",
    ];
    match NAMES.get(semitones as usize) {
        Some(name) => (*name).to_owned(),
        None => format!("{semitones} half steps"),
    }
}

/// How a bar's notes are ordered: `the notes of 1-3-5-6 in another order`.
pub fn order(order: &BarOrder) -> String {
    let stock = order.stock.map(|cell| {
        let degrees: Vec<String> = cell.iter().map(u8::to_string).collect();
        degrees.join("-")
    });
    let stock = stock.unwrap_or_default();
    let named = |rule: &&Rule| match rule.label {
        Label::Bar(words) => words.replace("{cell}", &stock),
        _ => rule.words(),
    };
    let mut words: Vec<String> = order.rules.iter().map(named).collect();
    if order.reorders_the_bar_before {
        words.push("the bar before in another order".to_owned());
    }
    words.join("; ")
}

/// A cadence in a sentence: `the root on beat one`.
pub fn cadence_sentence(kind: Cadence) -> &'static str {
    match kind {
        Cadence::BeatOne => "the root on beat one, approached",
        Cadence::OwnRoot => "the chord's own root closes the bar on its last beat",
        Cadence::NextRoot => "the next chord's root closes the bar on its last beat",
    }
}

/// Where in its phrase a cadence lies.
pub fn phrase_place(place: Option<PhrasePlace>) -> &'static str {
    match place {
        Some(PhrasePlace::End) => "at the end of the phrase",
        Some(PhrasePlace::Middle) => "in the middle of the phrase",
        None => "inside the phrase",
    }
}

/// So many of them, in words of one or many: `1 bar`, `3 bars`, `2 approaches`.
pub fn count(number: usize, one: &str) -> String {
    let plural = match one {
        _ if number == 1 => "",
        _ if one.ends_with("ch") => "es",
        _ => "s",
    };
    format!("{number} {one}{plural}")
}

/// Words in a row: `a, b and c`.
pub fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [before @ .., last] => format!("{} and {last}", before.join(", ")),
    }
}
