//! Style files.

#![no_main]

use std::sync::LazyLock;

use libfuzzer_sys::fuzz_target;
use linewright_diagnostic::Diagnostic;
use linewright_fuzz::frugally;
use linewright_rulebook::style::{Library, StyleFile, check_rules, resolve};

static SHIPPED: LazyLock<Library> = LazyLock::new(Library::builtin);

/// Some rules, as the rulebook names them.
const RULES: [&str; 4] = ["step", "root-arrival", "leap", "repeated-note"];

/// A fault has words, and its place lies in the text.
fn check(fault: &Diagnostic, text: &str) {
    let fault = fault.to_string();
    assert!(fault.starts_with("my.toml"), "{fault}");
    let mut numbers = fault.split(':').skip(1).map(|word| word.parse::<usize>());
    if let (Some(Ok(line)), Some(Ok(column))) = (numbers.next(), numbers.next()) {
        let lines: Vec<&str> = text.split('\n').collect();
        assert!((1..=lines.len()).contains(&line), "{fault}");
        let length = lines[line - 1].chars().count();
        assert!((1..=length + 1).contains(&column), "{fault}");
    }
}

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let file = match frugally(|| StyleFile::parse("my.toml", text)) {
        Ok(file) => file,
        Err(fault) => return check(&fault, text),
    };
    if let Err(fault) = check_rules("my.toml", text, RULES.into_iter()) {
        check(&fault, text);
    }
    // As texts: what is not a number is equal to itself there.
    let printed = toml::to_string(&file).expect("a style can be written");
    let again = StyleFile::parse("my.toml", &printed);
    let again = again.unwrap_or_else(|fault| panic!("{fault}\n{printed}"));
    assert_eq!(format!("{again:?}"), format!("{file:?}"), "{printed}");
    match frugally(|| resolve(&SHIPPED, "my.toml", text)) {
        Ok(style) => {
            assert_eq!(style.name, file.name);
            assert_eq!(resolve(&SHIPPED, "my.toml", &printed), Ok(style));
        }
        Err(fault) => check(&fault, text),
    }
});
