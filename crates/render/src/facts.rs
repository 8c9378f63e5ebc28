//! What a line was made from, as names and values: what every file of the line carries along.

use linewright_compose::Line;
use linewright_diagnostic::clean::one_line;

use crate::numbers::thousandths;
use crate::wording;

/// The name of the program, whose value is its version.
pub const PROGRAM: &str = "linewright";

/// What is needed to make the line again, and its score, in a fixed order.
///
/// Names are `linewright` (the version), `style`, `style hash`, `seed`, `line`, `choice`,
/// `key`, `tempo`, `choruses`, `low`, `high`, `instrument`, `program` and `score`. Values are
/// single lines.
pub fn facts(line: &Line) -> Vec<(String, String)> {
    let made = &line.provenance;
    let [low, high] = wording::range(line.style.range);
    [
        (PROGRAM, made.version.to_owned()),
        ("style", one_line(&made.style)),
        ("style hash", wording::style_hash(made)),
        ("seed", made.seed.to_string()),
        ("line", wording::line_number(made).to_string()),
        ("choice", wording::choice(made.choice)),
        ("key", line.timeline.key.to_string()),
        ("tempo", wording::tempo(&line.timeline)),
        ("choruses", line.timeline.choruses.to_string()),
        ("low", low),
        ("high", high),
        ("instrument", one_line(&line.style.instrument.name)),
        ("program", line.style.instrument.program.to_string()),
        ("score", thousandths_signed(line.reading.score)),
    ]
    .map(|(name, value)| (name.to_owned(), value))
    .into()
}

fn thousandths_signed(milli: i64) -> String {
    let sign = if milli < 0 { "-" } else { "" };
    format!("{sign}{}", thousandths(milli.unsigned_abs()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_lines::{BLUES, line};

    #[test]
    fn the_facts_tell_what_the_line_was_made_from() {
        let line = line(BLUES, "plain", 77);
        let facts = facts(&line);
        let hash = format!("{:016x}", line.style.hash());
        for (name, value) in [
            ("linewright", "0.0.0"),
            ("style", "plain"),
            ("style hash", &hash),
            ("seed", "77"),
            ("line", "1"),
            ("choice", &wording::choice(line.provenance.choice)),
            ("key", "F major"),
            ("tempo", "140"),
            ("choruses", "1"),
            ("low", "E1"),
            ("high", "G3"),
            ("instrument", "double bass"),
            ("program", "33"),
        ] {
            let fact = (name.to_owned(), value.to_owned());
            assert!(facts.contains(&fact), "{fact:?} in {facts:?}");
        }
        assert_eq!(facts.last().map(|fact| fact.0.as_str()), Some("score"));
    }
}
