//! Every word that a page uses besides those of the rules themselves: for cadences, roles and
//! clarity.
//!
//! Short words go under the notes, at most four signs each, and every page ends with a key
//! to those that it uses; the long ones make sentences. What a rule's findings are called, and
//! what they say to a student, the rule has; here that is put into place.

pub mod marks;
pub mod profile;
pub mod sounding;
pub mod study;
pub mod summary;

use linewright_chart::Timeline;
use linewright_compose::thousandths::decimal;
use linewright_compose::{Choice, Tempo};
use linewright_notation::about::page;
use linewright_rulebook::plan::{Cadence, Clarity};
use linewright_rulebook::style::Range;
use linewright_rulebook::{AMBIGUOUS, CLEAR, Direction, Function};

use linewright_theory::note_name;

/// The short word for a function, as it stands under a note: `½↑`.
pub fn short_function(function: &Function) -> String {
    let arrow = match (function.name.direction, function.from_below) {
        (Direction::Silent, _) | (_, None) => "",
        (_, Some(true)) => "↑",
        (_, Some(false)) => "↓",
    };
    format!("{}{arrow}", function.name.short)
}

/// A function in full: `half-step approach from below`, `passing tone going up`.
pub fn long_function(function: &Function) -> String {
    let tail = match (function.name.direction, function.from_below) {
        (Direction::Silent, _) | (_, None) => "",
        (Direction::Side, Some(true)) => " from below",
        (Direction::Side, Some(false)) => " from above",
        (Direction::Way, Some(true)) => " going up",
        (Direction::Way, Some(false)) => " going down",
    };
    format!("{}{tail}", function.name.long)
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
    "the points of every rule; what the style gives no weight is left out";

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

/// How fast a piece is, for people: `140 beats a minute`, and where that changes, that it
/// does.
pub fn speed(timeline: &Timeline) -> String {
    let Tempo { first, steady } = Tempo::of(timeline);
    let then = if steady { "" } else { " at first" };
    format!("{first} beats a minute{then}")
}

/// How a line was chosen, for people: `how bold: 0.65`.
pub fn chosen(choice: Choice) -> String {
    match choice {
        Choice::Best => page::BEST.to_owned(),
        Choice::Ranked { place } => format!("{}{place}{}", page::RANKED[0], page::RANKED[1]),
        Choice::Sampled { temperature } => format!("{}{}", page::BOLD, decimal(temperature.into())),
    }
}

/// The lowest and the highest note of a range as they sound, named as in C major.
pub fn range(range: Range) -> [String; 2] {
    [range.low, range.high].map(note_name)
}
