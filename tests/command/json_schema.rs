//! What is written as JSON keeps to the JSON Schema that is printed: checked by the Python
//! package jsonschema, an implementation of draft 2020-12.

use linewright_checkers::python;
use serde_json::{Value, json};

use crate::run::Folder;

/// What jsonschema finds wrong in each document.
fn errors(schema: &Value, documents: &[(String, Value)]) -> Vec<(String, Vec<String>)> {
    let lines: Vec<String> = documents
        .iter()
        .map(|(name, document)| {
            json!({"name": name, "schema": schema, "document": document}).to_string()
        })
        .collect();
    let python = python().unwrap_or_else(|error| panic!("{error}"));
    let answer = python
        .run("json_schema.py", lines.join("\n").as_bytes())
        .unwrap_or_else(|error| panic!("{error}"));
    let found: Vec<Value> = answer
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(found.len(), documents.len());
    let errors = |value: &Value| {
        let errors = value["errors"].as_array().unwrap().iter();
        errors
            .map(|error| error.as_str().unwrap().to_owned())
            .collect()
    };
    found
        .iter()
        .map(|value| (value["name"].as_str().unwrap().to_owned(), errors(value)))
        .collect()
}

/// One of everything that is written as JSON.
fn documents(folder: &Folder) -> Vec<(String, Value)> {
    folder.write("poor.txt", "| F1 F1 F1 F1 | B1 B1 B1 B1 |\n");
    folder.write("no line.txt", "| H1 |\n");
    for arguments in [
        "compose blues.chart -o line.json",
        "compose blues.chart --best -o best.json",
        "compose blues.chart --lines 2 --ranked -o ranked-{line}.json",
        "explain line.txt --chart blues.chart -o explained.json",
        "mark line.txt --chart blues.chart --grade 3 -o marked.json",
        "mark poor.txt --chart blues.chart -o poor.json",
        "vary blues.chart --bars 3-4 -o varied.json",
        "orders 1-3-5-6 --chord F7 -o orders.json",
        "profile line.txt --chart blues.chart -o profile.json",
        "profile --style plain --seeds 1-3 --chart blues.chart -o composed.json",
        "profile line.txt --chart blues.chart --against homework -o compared.json",
        "learn homework --chart blues.chart --samples 5 -o learned.json",
    ] {
        folder.line(arguments).ok();
    }
    // One of these files is no line at all, which its row says.
    folder.write("homework/ruin.txt", "| H1 |\n");
    folder
        .line("mark homework --chart blues.chart -o class.json")
        .ended(7);
    [
        "line",
        "best",
        "ranked-2",
        "explained",
        "marked",
        "poor",
        "varied",
        "orders",
        "profile",
        "composed",
        "compared",
        "learned",
        "class",
    ]
    .iter()
    .map(|name| ((*name).to_owned(), folder.json(&format!("{name}.json"))))
    .collect()
}

#[test]
fn every_document_keeps_to_the_schema() {
    let folder = Folder::with_lines();
    let schema: Value = serde_json::from_str(&folder.line("schema json").ok()).unwrap();
    let documents = documents(&folder);
    for (name, errors) in errors(&schema, &documents) {
        assert!(errors.is_empty(), "{name}: {errors:?}");
    }
}

#[test]
fn the_schema_refuses_what_lacks_a_key_or_has_another_kind_of_value() {
    let folder = Folder::with_lines();
    let schema: Value = serde_json::from_str(&folder.line("schema json").ok()).unwrap();
    let mut wrong = Vec::new();
    for (name, document) in documents(&folder) {
        let first = match &document {
            Value::Array(rows) => rows[0].clone(),
            one => one.clone(),
        };
        for key in first.as_object().unwrap().keys() {
            let mut lacking = first.clone();
            lacking.as_object_mut().unwrap().remove(key);
            wrong.push((format!("{name} without {key}"), lacking));
            let mut other = first.clone();
            other[key] = json!({ "neither": "this" });
            wrong.push((format!("{name} with another {key}"), other));
        }
    }
    assert!(wrong.len() > 150, "{}", wrong.len());
    let whole = |(name, value): (String, Value)| match name.starts_with("class") {
        true => (name, json!([value])),
        false => (name, value),
    };
    let wrong: Vec<(String, Value)> = wrong.into_iter().map(whole).collect();
    for (name, errors) in errors(&schema, &wrong) {
        assert!(!errors.is_empty(), "{name} is let through");
    }
}
