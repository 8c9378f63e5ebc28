//! The environment holds what is pinned, and a script's failure is told in full.

use linewright_checkers::python;
use serde_json::{Value, json};

/// Package names and versions that the requirements file pins: more than one
/// version where a marker chooses by the version of Python.
fn pinned() -> Vec<(String, String)> {
    include_str!("../../../../tests/checkers/requirements.txt")
        .lines()
        .filter(|line| !line.starts_with('#') && !line.trim().is_empty())
        .map(|line| {
            let pin = line.split(';').next().unwrap().trim();
            let (name, version) = pin.split_once("==").expect("every version is pinned");
            (name.to_owned(), version.to_owned())
        })
        .collect()
}

#[test]
fn every_pinned_package_is_imported_at_a_pinned_version() {
    let pinned = pinned();
    for needed in ["mido", "music21"] {
        assert!(pinned.iter().any(|(name, _)| name == needed), "{needed}");
    }
    let asked: String = pinned
        .iter()
        .map(|(name, _)| format!("{}\n", json!({ "package": name })))
        .collect();
    let answer = python()
        .unwrap_or_else(|e| panic!("{e}"))
        .run("versions.py", asked.as_bytes())
        .unwrap();
    let answers: Vec<Value> = answer
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    assert_eq!(answers.len(), pinned.len());
    for answer in answers {
        let is = |key: &str, text: &str| answer[key] == json!(text);
        assert!(
            pinned
                .iter()
                .any(|(name, version)| is("package", name) && is("version", version)),
            "{answer} is not pinned"
        );
    }
}

#[test]
fn a_script_that_fails_hands_on_its_standard_error() {
    let error = python()
        .unwrap()
        .run("versions.py", b"{\"package\": \"no_such_package\"}\n")
        .unwrap_err()
        .to_string();
    assert!(error.contains("versions.py"), "{error}");
    assert!(
        error.contains("No module named 'no_such_package'"),
        "{error}"
    );
}

#[test]
fn only_a_plain_name_of_a_script_that_is_there_is_run() {
    let python = python().unwrap();
    for name in ["missing.py", "../checkers/versions.py", "", ".."] {
        let error = python.run(name, b"").unwrap_err().to_string();
        assert!(error.contains("no checker script"), "{name}: {error}");
    }
}

#[cfg(unix)]
#[test]
fn without_python_the_asking_test_fails_and_says_what_to_install() {
    use std::process::Command;
    let asking = "every_pinned_package_is_imported_at_a_pinned_version";
    let output = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", asking, "--nocapture"])
        .env("PATH", "/nowhere")
        .output()
        .unwrap();
    assert!(!output.status.success());
    let both = [output.stdout, output.stderr].concat();
    let said = String::from_utf8_lossy(&both);
    assert!(said.contains("install it"), "{said}");
    assert!(said.contains("1 failed"), "{said}");
}
