//! The list of rules for the documentation.

use std::fmt::Write;

use crate::registry::RULES;
use crate::rule::{Family, Label};

/// Every rule by family, as a Markdown text: its name, what it looks at, what
/// it calls a note, and the sentence that explains it. `RULES.md` in this
/// crate is this text.
pub fn rules_markdown() -> String {
    let mut text = String::from(INTRODUCTION);
    let mut family = None;
    for rule in RULES {
        if family != Some(rule.family) {
            family = Some(rule.family);
            // Writing to a string cannot fail.
            let _ = write!(text, "\n## {}\n\n{}.\n\n", rule.family, about(rule.family));
            text.push_str("| rule | looks at | names a note | finds |\n");
            text.push_str("| --- | --- | --- | --- |\n");
        }
        let cells = [
            format!("`{}`", rule.name),
            rule.look.describe().to_owned(),
            named(rule.label),
            rule.sentence.to_owned(),
        ];
        let _ = writeln!(
            text,
            "| {} |",
            cells.map(|cell| cell.replace('|', "\\|")).join(" | ")
        );
    }
    text
}

const INTRODUCTION: &str = "\
# The rules

A rule looks through its window and answers with a strength, in thousandths of
a full finding. A style gives each rule a weight in points under `[weights]`:
what is liked has a positive weight, what is disliked a negative one, and
`\"never\"` forbids a finding. Strength times weight is what a finding adds to
the score. An *arrival* is beat one, or a beat on which a chord begins.

This file is written from the rules themselves.
";

fn about(family: Family) -> &'static str {
    match family {
        Family::Arrival => "Which note arrives on beat one and on a new chord",
        Family::Tone => "What a note is to its chord",
        Family::Approach => "How the next arrival is approached",
        Family::Cadence => "Where the line cadences",
        Family::Melody => "How the line moves",
        Family::Register => "Where on the instrument the line lies",
        Family::Clarity => "How clear and how tense a bar is",
        Family::Order => "The order of notes, in the bar and against the bar before",
    }
}

/// What a finding calls a note, and which.
fn named(label: Label) -> String {
    match label {
        Label::None => String::new(),
        Label::This(name) => name.to_owned(),
        Label::Before(name) => format!("{name} (the note before)"),
        Label::BothBefore(name) => format!("{name} (the two notes before)"),
    }
}
