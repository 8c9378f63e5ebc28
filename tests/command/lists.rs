//! The lists of rules and styles.

use serde_json::Value;

use crate::run::Folder;

#[test]
fn every_rule_is_listed_once_with_what_it_looks_at() {
    let list = Folder::new().line("rules").ok();
    for rule in linewright::RULES {
        let rows: Vec<&str> = list
            .lines()
            .filter(|row| row.split_whitespace().next() == Some(rule.name))
            .collect();
        assert_eq!(rows.len(), 1, "{}", rule.name);
        assert!(rows[0].contains(rule.look.describe()), "{}", rows[0]);
        assert!(list.contains(rule.sentence), "{}", rule.name);
    }
}

#[test]
fn a_rule_is_shown_in_full_with_the_weight_that_a_style_gives() {
    let folder = Folder::new();
    let plain = folder.line("rules half-step-approach").ok();
    assert!(
        plain.contains("family:    approach") && !plain.contains("weight"),
        "{plain}"
    );
    folder.write(
        "mine.toml",
        "name = \"mine\"\ndescription = \"Mine.\"\nextends = \"plain\"\n[weights]\nhalf-step-approach = -3.25\n",
    );
    let weighed = folder
        .line("rules half-step-approach --style mine.toml")
        .ok();
    assert!(weighed.contains("weight:    -3.25"), "{weighed}");
    let list = folder.line("rules --style mine.toml").ok();
    assert!(
        list.lines()
            .any(|row| row.contains("half-step-approach") && row.contains("-3.25")),
        "{list}"
    );
}

#[test]
fn a_style_that_is_shown_is_a_style_file_that_composes_the_same_lines() {
    let folder = Folder::new();
    for style in ["plain", "two-feel", "grade-3"] {
        folder.write("shown.toml", folder.line(&format!("styles {style}")).ok());
        let shown = folder.line("compose blues.chart --style shown.toml").ok();
        assert_eq!(
            shown,
            folder
                .line(&format!("compose blues.chart --style {style}"))
                .ok()
        );
    }
}

#[test]
fn styles_are_listed_with_their_sentences() {
    let list = Folder::new().line("styles").ok();
    let library = linewright::Library::builtin();
    for (row, name) in list.lines().zip(linewright::Library::builtin_names()) {
        assert!(
            row.starts_with(name) && row.ends_with(&library.style(name).unwrap().description),
            "{row}"
        );
    }
    assert_eq!(
        list.lines().count(),
        linewright::Library::builtin_names().count()
    );
}

#[test]
fn the_schema_is_json_and_allows_the_rules_as_weights() {
    let schema: Value = serde_json::from_str(&Folder::new().line("schema style").ok()).unwrap();
    let names = schema["properties"]["weights"]["propertyNames"]["enum"]
        .as_array()
        .unwrap();
    assert_eq!(names.len(), linewright::RULES.len());
}
