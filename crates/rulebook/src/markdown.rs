//! The list of rules for the documentation.

use std::fmt::Write;

use crate::rule::{Direction, Family, FunctionName, Label, Remarks};
use crate::rules::RULES;

/// Every rule by family, as a Markdown text: its name, what it looks at, what
/// it calls a note or a bar, the sentence that explains it, and its remarks. `RULES.md` in this
/// crate is this text.
pub fn rules_markdown() -> String {
    let mut text = String::from(INTRODUCTION);
    let mut family = None;
    for rule in RULES {
        if family != Some(rule.family) {
            family = Some(rule.family);
            // Writing to a string cannot fail.
            let _ = write!(text, "\n## {}\n\n{}.\n\n", rule.family, about(rule.family));
            text.push_str("| rule | looks at | names | finds | says to a student |\n");
            text.push_str("| --- | --- | --- | --- | --- |\n");
        }
        let cells = [
            format!("`{}`", rule.name),
            rule.look.describe().to_owned(),
            named(rule.label),
            rule.sentence.to_owned(),
            said(rule.remarks),
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
the score. A rule that a style gives no weight weighs nothing there: it is still
found, named and counted. An *arrival* is beat one, or a beat on which a chord
begins. A short word stands under the note, with an arrow where one is shown.

What is said to a student is said where a style's `[marks]` count the rule; of a
rule without a remark, they say what it finds.

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

/// What a finding names, and how.
fn named(label: Label) -> String {
    let called = |name: FunctionName| {
        let arrows = match name.direction {
            Direction::Silent => "",
            Direction::Side | Direction::Way => "↑↓",
        };
        format!("{} `{}{arrows}`", name.long, name.short)
    };
    match label {
        Label::None => String::new(),
        Label::This(name) => called(name),
        Label::Before(name) => format!("{} (the note before)", called(name)),
        Label::BothBefore(name) => format!("{} (the two notes before)", called(name)),
        Label::Bar(words) => format!("{words} (the bar)"),
    }
}

/// What is said where a finding counts, and where the want of one does.
fn said(remarks: Remarks) -> String {
    let found = remarks.found.map(str::to_owned);
    let missing = remarks
        .missing
        .map(|remark| format!("where it is not: {remark}"));
    let said: Vec<String> = found.into_iter().chain(missing).collect();
    said.join("; ")
}
