//! The list of rules, and the shipped styles that weigh them.

use std::collections::BTreeSet;

use crate::style::{Library, Weight, json_schema};

use crate::book::RuleBook;
use crate::rule::{Direction, Family, FunctionName, Remarks};
use crate::rules::approach::HALF_STEP_APPROACH;
use crate::rules::{RULES, rule_named};
use crate::testing::{even_style, over};

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
fn a_rule_that_a_style_does_not_weigh_is_found_and_named_and_weighs_nothing() {
    let mut passage = over("| C7 | F7 |");
    passage.style.weights.remove("half-step-approach");
    let heard = passage.line("C2 E2 G2 Gb2 | F2 A2 C3 A2");
    assert_eq!(heard.functions(1, 4)[0], "half-step approach");
    let findings = heard.reading.findings.iter();
    let points: Vec<_> = findings
        .filter(|finding| *heard.book.entry(finding.rule).rule == HALF_STEP_APPROACH)
        .map(|finding| finding.points)
        .collect();
    assert_eq!(points, [Some(0)]);
}

#[test]
fn a_function_has_a_short_word_of_its_own_that_fits_under_a_note() {
    let functions = || RULES.iter().filter_map(|rule| rule.label.function());
    for name in functions() {
        let arrow = usize::from(name.direction != Direction::Silent);
        assert!(name.short.chars().count() + arrow <= 4, "{}", name.long);
    }
    let count = functions().count();
    assert!(count > 20, "{count}");
    for word in [
        |name: FunctionName| name.short,
        |name: FunctionName| name.long,
    ] {
        let words: BTreeSet<&str> = functions().map(word).collect();
        assert_eq!(words.len(), count);
    }
}

#[test]
fn what_a_shipped_style_marks_has_its_remark() {
    let library = Library::builtin();
    let mut counted = BTreeSet::new();
    for name in Library::builtin_names() {
        let style = library.style(name).unwrap();
        for entry in RuleBook::new(&style).unwrap().entries() {
            let (rule, remarks) = (entry.rule.name, entry.rule.remarks);
            if style.marks.fault(rule, entry.weight) > 0 {
                counted.insert(rule);
                assert!(remarks.found.is_some(), "{name} counts it where {rule} is");
            }
            if style
                .marks
                .expected
                .get(rule)
                .is_some_and(|share| *share > 0)
            {
                counted.insert(rule);
                assert!(
                    remarks.missing.is_some(),
                    "{name} counts it where no {rule} is"
                );
            }
        }
    }
    assert!(counted.len() > 20, "{counted:?}");
}

#[test]
fn a_remark_goes_on_in_a_sentence_that_others_end() {
    for rule in RULES {
        let Remarks { found, missing } = rule.remarks;
        for remark in found.into_iter().chain(missing) {
            assert!(
                remark.starts_with(|c: char| c.is_ascii_lowercase()),
                "{remark}"
            );
            assert!(
                remark.ends_with(|c: char| c.is_ascii_lowercase()),
                "{remark}"
            );
        }
    }
}

#[test]
fn a_rules_name_in_a_sentence_keeps_the_hyphens_of_its_function() {
    let words = |name: &str| rule_named(name).unwrap().words();
    assert_eq!(words("half-step-approach"), "half-step approach");
    assert_eq!(words("scale-step-approach"), "scale-step approach");
    assert_eq!(words("leading-tone-start"), "leading-tone start");
    assert_eq!(
        words("double-chromatic-approach"),
        "double chromatic approach"
    );
    assert_eq!(words("beat-one-cadence"), "beat one cadence");
    assert_eq!(words("leap-into-the-end"), "leap into the end");
}

#[test]
fn a_weight_for_an_unknown_rule_is_refused_with_the_nearest_name() {
    let mut style = even_style();
    style
        .weights
        .insert("root-arival".into(), Weight::Milli(100));
    let fault = RuleBook::new(&style).unwrap_err().to_string();
    assert!(fault.contains("style `handbook`"), "{fault}");
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

#[test]
fn every_file_that_holds_a_rule_is_listed() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/rules");
    let mut rules = 0;
    for family in FAMILIES {
        for file in std::fs::read_dir(format!("{folder}/{family}")).unwrap() {
            let file = file.unwrap().path();
            let text = std::fs::read_to_string(&file).unwrap();
            if text.contains(": Rule = Rule {") {
                let name = file
                    .file_stem()
                    .unwrap()
                    .to_str()
                    .unwrap()
                    .replace('_', "-");
                assert!(
                    rule_named(&name).is_some(),
                    "{name} is not listed in rules/mod.rs"
                );
                rules += 1;
            }
        }
    }
    assert_eq!(rules, RULES.len());
}
