//! Every word that a page uses: for functions, cadences, roles and clarity.
//!
//! Short words go under the notes, at most four signs each, and every page ends with a key
//! to those that it uses; the long ones make sentences.

pub mod marks;
pub mod profile;
pub mod sounding;
pub mod study;
pub mod summary;

use linewright_chart::{Timeline, TimelineBar};
use linewright_compose::{Choice, Provenance};
use linewright_rulebook::plan::{Cadence, Clarity};
use linewright_rulebook::style::Range;
use linewright_rulebook::{AMBIGUOUS, CLEAR, Function};

use crate::names::note_name;
use crate::numbers::thousandths;

/// What the direction of a move says about a function.
#[derive(Copy, Clone, PartialEq, Eq)]
enum Direction {
    /// Nothing.
    Silent,
    /// From which side it comes.
    Side,
    /// Which way it goes.
    Way,
}

/// The words for one function.
struct Words {
    name: &'static str,
    short: &'static str,
    direction: Direction,
}

const fn words(name: &'static str, short: &'static str, direction: Direction) -> Words {
    Words {
        name,
        short,
        direction,
    }
}

/// The words for every function that a rule can give.
const FUNCTIONS: &[Words] = &[
    words("cadence on beat one", "cad1", Direction::Silent),
    words("cadence on the next root", "cad>", Direction::Silent),
    words("register shift", "reg", Direction::Silent),
    words("half-step approach", "½", Direction::Side),
    words("scale-step approach", "st", Direction::Side),
    words("dominant approach", "dom", Direction::Side),
    words("double chromatic approach", "½½", Direction::Side),
    words("enclosure", "enc", Direction::Silent),
    words("leading-tone start", "LT", Direction::Silent),
    words("early root", "R>", Direction::Silent),
    words("anticipation", "ant", Direction::Silent),
    words("passing tone", "pas", Direction::Way),
    words("chromatic passing tone", "cp", Direction::Way),
    words("neighbour tone", "nbr", Direction::Silent),
    words("octave", "8ve", Direction::Silent),
    words("repeated note", "rep", Direction::Silent),
    words("pedal", "ped", Direction::Silent),
    words("guide tone", "gt", Direction::Silent),
    words("chord tone", "ct", Direction::Silent),
    words("colour tone", "col", Direction::Silent),
    words("scale tone", "sc", Direction::Silent),
    words("chromatic tone", "chr", Direction::Silent),
];

/// The function that is not printed under a note, since its degree says it already.
pub const CHORD_TONE: &str = "chord tone";

/// The short word for a function, as it stands under a note: `½↑`.
pub fn short_function(function: &Function) -> String {
    let Some(words) = FUNCTIONS.iter().find(|words| words.name == function.name) else {
        return function.name.chars().take(4).collect();
    };
    let arrow = match (words.direction, function.from_below) {
        (Direction::Silent, _) | (_, None) => "",
        (_, Some(true)) => "↑",
        (_, Some(false)) => "↓",
    };
    format!("{}{arrow}", words.short)
}

/// A function in full: `half-step approach from below`, `passing tone going up`.
pub fn long_function(function: &Function) -> String {
    let direction = FUNCTIONS
        .iter()
        .find(|words| words.name == function.name)
        .map_or(Direction::Silent, |words| words.direction);
    let tail = match (direction, function.from_below) {
        (Direction::Silent, _) | (_, None) => "",
        (Direction::Side, Some(true)) => " from below",
        (Direction::Side, Some(false)) => " from above",
        (Direction::Way, Some(true)) => " going up",
        (Direction::Way, Some(false)) => " going down",
    };
    format!("{}{tail}", function.name)
}

/// The short word for a cadence, after its mark.
pub fn short_cadence(cadence: Cadence) -> &'static str {
    match cadence {
        Cadence::BeatOne => "1",
        Cadence::OwnRoot => "own",
        Cadence::NextRoot => "next",
    }
}

/// A cadence in full, as the key explains its mark.
pub fn long_cadence(cadence: Cadence) -> String {
    match cadence {
        Cadence::BeatOne => "root on beat one, approached".to_owned(),
        Cadence::OwnRoot | Cadence::NextRoot => cadence.to_string(),
    }
}

/// The mark before a cadence that the line keeps.
pub const KEPT: char = '●';

/// The mark before a cadence that the plan wished for and the line does not make.
pub const MISSED: char = '○';

/// What [`MISSED`] means, in the key.
pub const MISSED_CADENCE: &str = "a cadence planned, not made";

/// Whether a planned cadence is made.
pub fn kept(kept: bool) -> &'static str {
    if kept { "kept" } else { "not made" }
}

/// The sign for a beat through which the note before is held, in the row of notes.
pub const HELD: &str = ".";

/// The sign for a beat of rest, in the row of notes.
pub const REST: &str = "r";

/// What [`REST`] means.
pub const RESTS: &str = "rest";

/// The signs in the row of notes, each with the letter that tells that it is there, how it is
/// shown in the key, and what it means.
pub const SIGNS: &[(char, &str, &str)] = &[
    ('.', HELD, "the note before is held"),
    ('r', REST, RESTS),
    ('(', "( )", "notes that share a beat"),
    ('x', "x", "dead note"),
];

/// What holds for every page, at its foot.
pub const FOOT: &str = "\
Notes as they sound: C4 is middle C. Under each note stand its two strongest functions;
a note without any is a chord tone.
";

/// The title of the table of the plan.
pub const PLAN: &str = "plan";

/// How the table of the plan is to be read.
pub const PLAN_NOTE: &str = "wished → as the line came out";

/// The heads of the table of the plan.
pub const PLAN_HEADS: [&str; 7] = [
    "bar", "role", "tension", "clarity", "cadence", "register", "could be",
];

/// In the table of the plan, where the register moves.
pub const MOVES_HERE: &str = ", moves here";

/// The title of the reasons.
pub const REASONS: &str = "reasons";

/// How the reasons are to be read.
pub const REASONS_NOTE: &str =
    "points of every finding; what the style gives no weight is left out";

/// The sum over the bars that are shown.
pub const THESE_BARS: &str = "these bars";

/// The sum over the other bars.
pub const OTHER_BARS: &str = "the bars that are not shown";

/// The sum over the line.
pub const SCORE: &str = "score";

/// How clear a bar came out, from its clarity in milli-nats.
pub fn heard_clarity(millinats: i32) -> &'static str {
    if millinats >= CLEAR {
        "clear"
    } else if millinats <= AMBIGUOUS {
        "ambiguous"
    } else {
        "half clear"
    }
}

/// How clear a bar was meant to be.
pub fn wished_clarity(clarity: Clarity) -> &'static str {
    match clarity {
        Clarity::Clear => "clear",
        Clarity::Free => "any",
        Clarity::Ambiguous => "ambiguous",
    }
}

/// How a line was chosen: `best`, `ranked number 3`, `sampled at 0.7 points`.
pub fn choice(choice: Option<Choice>) -> String {
    match choice {
        Some(Choice::Best) => "best".to_owned(),
        Some(Choice::Ranked { place }) => format!("ranked number {place}"),
        Some(Choice::Sampled { temperature }) => {
            format!("sampled at {} points", thousandths(u64::from(temperature)))
        }
        None => "given".to_owned(),
    }
}

/// The tempo at the beginning, and whether it changes.
fn tempos(timeline: &Timeline) -> (u16, bool) {
    let first = timeline.beats_a_minute();
    let other = |bar: &TimelineBar| bar.tempo.is_some_and(|tempo| tempo != first);
    (first, timeline.bars.iter().any(other))
}

/// How fast a piece is, for people: `140 beats a minute`, and where that changes, that it
/// does.
pub fn speed(timeline: &Timeline) -> String {
    let (first, changes) = tempos(timeline);
    let then = if changes { " at first" } else { "" };
    format!("{first} beats a minute{then}")
}

/// How fast a piece is, for programs: `140`, and where that changes, that it does.
pub fn tempo(timeline: &Timeline) -> String {
    let (first, changes) = tempos(timeline);
    let then = if changes {
        " at first, then as in the chart"
    } else {
        ""
    };
    format!("{first}{then}")
}

/// The lowest and the highest note of a range as they sound, named as in C major.
pub fn range(range: Range) -> [String; 2] {
    [range.low, range.high].map(note_name)
}

/// The line's number as people count, from 1.
pub fn line_number(provenance: &Provenance) -> u64 {
    provenance.line.saturating_add(1)
}

/// A style's hash as text: 16 digits, base 16.
pub fn style_hash(provenance: &Provenance) -> String {
    format!("{:016x}", provenance.style_hash)
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_rulebook::{Label, RULES};

    #[test]
    fn every_function_that_a_rule_gives_has_words_that_fit_under_a_note() {
        for rule in RULES {
            let (Label::This(name) | Label::Before(name) | Label::BothBefore(name)) = rule.label
            else {
                continue;
            };
            let words = FUNCTIONS.iter().find(|words| words.name == name);
            let words = words.unwrap_or_else(|| panic!("no words for {name}"));
            let arrow = usize::from(words.direction != Direction::Silent);
            assert!(words.short.chars().count() + arrow <= 4, "{name}");
        }
    }

    #[test]
    fn no_two_functions_share_a_short_word_and_none_is_left_over() {
        for (index, words) in FUNCTIONS.iter().enumerate() {
            let again = FUNCTIONS[..index]
                .iter()
                .any(|other| other.short == words.short);
            assert!(!again, "{} twice", words.short);
            let given = RULES.iter().any(|rule| {
                matches!(rule.label, Label::This(n) | Label::Before(n) | Label::BothBefore(n)
                    if n == words.name)
            });
            assert!(given, "no rule gives {}", words.name);
        }
    }
}
