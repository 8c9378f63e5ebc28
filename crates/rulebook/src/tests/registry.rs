//! The list of rules, and the shipped styles that weigh them.

use std::collections::BTreeSet;

use crate::style::{Library, Weight, json_schema};

use crate::book::RuleBook;
use crate::registry::{RULES, rule_named};
use crate::rule::Family;
use crate::testing::even_style;

const FAMILIES: [Family; 8] = [
    Family::Arrival,
    Family::Tone,
    Family::Approach,
    Family::Cadence,
    Family::Melody,
    Family::Register,
    Family::Clarity,
    Family::Order,
];

#[test]
fn every_rule_has_a_name_of_its_own_in_small_letters_and_hyphens() {
    let names: BTreeSet<&str> = RULES.iter().map(|rule| rule.name).collect();
    assert_eq!(names.len(), RULES.len());
    for name in names {
        let parts: Vec<&str> = name.split('-').collect();
        let word = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase());
        assert!(parts.iter().all(word), "{name}");
    }
}

#[test]
fn every_rule_is_explained_by_a_full_sentence_of_its_own() {
    for rule in RULES {
        let sentence = rule.sentence;
        assert!(sentence.ends_with('.'), "{}: {sentence}", rule.name);
        assert!(
            sentence.starts_with(|c: char| c.is_ascii_uppercase()),
            "{}: {sentence}",
            rule.name
        );
    }
    let sentences: BTreeSet<&str> = RULES.iter().map(|rule| rule.sentence).collect();
    assert_eq!(sentences.len(), RULES.len());
}

#[test]
fn every_family_has_a_rule_and_its_rules_stand_together() {
    let mut order: Vec<Family> = RULES.iter().map(|rule| rule.family).collect();
    order.dedup();
    assert_eq!(order, FAMILIES);
}

#[test]
fn a_rule_is_found_by_its_name_only() {
    for rule in RULES {
        assert!(std::ptr::eq(rule_named(rule.name).unwrap(), *rule));
    }
    assert!(rule_named("root arrival").is_none());
}

#[test]
fn every_shipped_style_weighs_only_rules_that_exist() {
    let library = Library::builtin();
    for name in Library::builtin_names() {
        let style = library
            .style(name)
            .unwrap_or_else(|fault| panic!("{fault}"));
        RuleBook::new(&style).unwrap_or_else(|fault| panic!("{fault}"));
    }
}

#[test]
fn the_plain_style_weighs_every_rule() {
    let plain = Library::builtin().style("plain").unwrap();
    for rule in RULES {
        assert!(plain.weights.contains_key(rule.name), "{}", rule.name);
    }
}

#[test]
fn a_weight_for_an_unknown_rule_is_refused_with_the_nearest_name() {
    let mut style = even_style();
    style
        .weights
        .insert("root-arival".into(), Weight::Milli(100));
    let fault = RuleBook::new(&style).unwrap_err().to_string();
    assert!(fault.contains("style `plain`"), "{fault}");
    assert!(
        fault.contains("there is no rule called `root-arival`"),
        "{fault}"
    );
    assert!(fault.contains("did you mean `root-arrival`?"), "{fault}");
}

#[test]
fn a_rulebook_lists_every_rule_with_the_styles_weight() {
    let mut style = even_style();
    style.weights.insert("octave".into(), Weight::Never);
    style.weights.remove("step");
    let book = RuleBook::new(&style).unwrap();
    assert_eq!(book.entries().len(), RULES.len());
    for entry in book.entries() {
        let weight = match entry.rule.name {
            "octave" => Weight::Never,
            "step" => Weight::ZERO,
            _ => Weight::Milli(1000),
        };
        assert_eq!(entry.weight, weight, "{}", entry.rule.name);
        assert!(std::ptr::eq(book.entry(entry.id).rule, entry.rule));
    }
}

#[test]
fn the_schema_of_a_style_knows_every_rule() {
    let schema = json_schema(RULES.iter().map(|rule| rule.name));
    for rule in RULES {
        assert!(
            schema.contains(&format!("\"{}\"", rule.name)),
            "{}",
            rule.name
        );
    }
}

#[test]
fn every_rule_has_a_file_of_its_own_with_its_own_tests() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/rules");
    for rule in RULES {
        let file = format!(
            "{folder}/{}/{}.rs",
            rule.family,
            rule.name.replace('-', "_")
        );
        let text = std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{file}: {error}"));
        assert!(text.contains(&format!("name: \"{}\"", rule.name)), "{file}");
        assert!(text.contains("#[test]"), "{file} has no tests");
    }
}
