//! The printed list of rules against the rules.

use crate::markdown::rules_markdown;
use crate::rules::RULES;

const FILE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/RULES.md");

#[test]
fn rules_md_lists_the_rules_as_they_are() {
    if std::env::var_os("REWRITE_RULES_MD").is_some() {
        std::fs::write(FILE, rules_markdown()).unwrap();
    }
    let written = std::fs::read_to_string(FILE).unwrap_or_default();
    assert!(
        written == rules_markdown(),
        "crates/rulebook/RULES.md is not what the rules say; write it anew with\n\
         REWRITE_RULES_MD=1 cargo test -p linewright-rulebook rules_md"
    );
}

#[test]
fn every_rule_has_one_row_of_five_cells() {
    let text = rules_markdown();
    for rule in RULES {
        let start = format!("| `{}` |", rule.name);
        let rows: Vec<&str> = text
            .lines()
            .filter(|line| line.starts_with(&start))
            .collect();
        assert_eq!(rows.len(), 1, "{}", rule.name);
        assert_eq!(
            rows[0].replace("\\|", "").matches('|').count(),
            6,
            "{}",
            rule.name
        );
        assert!(
            rows[0].contains(&rule.sentence.replace('|', "\\|")),
            "{}",
            rule.name
        );
    }
}
