//! `linewright rules`.

use std::fmt::Write as _;

use linewright::rulebook::{Entry, Label, RuleBook};
use linewright::style::unknown_rule;
use linewright::{RULES, Rule, rule_named};

use crate::args::Rules;
use crate::exit::Failure;
use crate::{output, read, values};

/// Lists the rules, or shows one.
pub fn run(arguments: &Rules) -> Result<(), Failure> {
    let book = match &arguments.style.name() {
        Some(style) => Some(RuleBook::new(&read::style(style)?).map_err(Failure::style)?),
        None => None,
    };
    let text = match &arguments.name {
        Some(name) => one(find(&values::listed(name))?, book.as_ref()),
        None => list(book.as_ref()),
    };
    output::bytes(text.as_bytes())
}

fn find(name: &str) -> Result<&'static Rule, Failure> {
    rule_named(name)
        .ok_or_else(|| Failure::usage(unknown_rule(name, RULES.iter().map(|rule| rule.name))))
}

fn entry<'a>(book: Option<&'a RuleBook>, rule: &Rule) -> Option<&'a Entry> {
    book?.entries().iter().find(|entry| entry.rule == rule)
}

/// All rules under their families.
fn list(book: Option<&RuleBook>) -> String {
    let mut text = String::new();
    let mut family = None;
    for rule in RULES {
        if family != Some(rule.family) {
            let before = if family.is_some() { "\n" } else { "" };
            let _ = writeln!(text, "{before}{}", rule.family);
            family = Some(rule.family);
        }
        let weight = entry(book, rule).map_or(String::new(), |entry| {
            format!("{:>8}  ", entry.weight.to_string())
        });
        let _ = writeln!(
            text,
            "  {:26} {weight}({})",
            rule.name,
            rule.look.describe()
        );
        let _ = writeln!(text, "      {}", rule.sentence);
    }
    text
}

/// One rule in full.
fn one(rule: &Rule, book: Option<&RuleBook>) -> String {
    let mut text = format!("{}\n  {}\n", rule.name, rule.sentence);
    let _ = writeln!(text, "  family:    {}", rule.family);
    let _ = writeln!(text, "  looks at:  {}", rule.look.describe());
    let function = match rule.label {
        Label::None | Label::Bar(_) => None,
        Label::This(name) => Some(format!("{}, of the note itself", name.long)),
        Label::Before(name) => Some(format!("{}, of the note before", name.long)),
        Label::BothBefore(name) => Some(format!("{}, of both notes before", name.long)),
    };
    if let Some(function) = function {
        let _ = writeln!(text, "  names:     {function}");
    }
    if let Some(entry) = entry(book, rule) {
        let _ = writeln!(text, "  weight:    {}", entry.weight);
    }
    text
}
