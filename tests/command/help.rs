//! The help: its examples run, its codes are told.

use std::process::Command;

use crate::run::{Folder, bin_folder};

/// A file of two tunes with chord symbols.
const TUNES: &str = "\
X:1
T:Round the Bollard
M:4/4
L:1/4
K:F
\"F7\" F A c A | \"Bb7\" B2 d2 |]

X:12
T:Two Left Boots
M:3/4
L:1/4
K:Gm
\"Gm\" G B d | \"D7\" A2 F | \"Gm\" G3 |]
";

const COMMANDS: [&str; 12] = [
    "compose",
    "explain",
    "vary",
    "orders",
    "mark",
    "profile",
    "schema",
    "rules",
    "styles",
    "chart",
    "completions",
    "man",
];

/// The examples in a help text: lines that begin with the command, each a line for a shell.
fn examples(help: &str) -> Vec<String> {
    help.lines()
        .filter_map(|row| row.strip_prefix("  linewright "))
        .map(|row| format!("linewright {row}"))
        .collect()
}

#[test]
fn every_example_in_the_help_runs() {
    let helps = COMMANDS
        .map(|command| format!("{command} --help"))
        .into_iter()
        .chain(["--help".to_owned()]);
    let mut ran = 0;
    for help in helps {
        let text = Folder::new().line(&help).ok();
        let examples = examples(&text);
        assert!(!examples.is_empty(), "{help} has no examples");
        for example in examples {
            let folder = Folder::with_lines();
            folder
                .line("compose blues.chart -o leadsheet.musicxml")
                .ok();
            folder.write("tunes.abc", TUNES);
            let mut paths = vec![bin_folder()];
            paths.extend(std::env::split_paths(
                &std::env::var_os("PATH").unwrap_or_default(),
            ));
            let output = Command::new("sh")
                .args(["-c", &example])
                .current_dir(folder.path())
                .env("PATH", std::env::join_paths(paths).unwrap())
                .output()
                .unwrap();
            assert!(
                output.status.success(),
                "{example}: {}",
                String::from_utf8_lossy(&output.stderr)
            );
            ran += 1;
        }
    }
    assert!(ran >= 40, "{ran} examples");
}

#[test]
fn the_help_tells_the_exit_codes_and_a_player_to_take_care() {
    let folder = Folder::new();
    let help = folder.line("--help").ok();
    for code in 0..=7 {
        assert!(
            help.lines()
                .any(|row| row.starts_with(&format!("  {code}  "))),
            "{code} in {help}"
        );
    }
    let compose = folder.line("compose --help").ok();
    assert!(compose.contains("Practise with breaks"), "{compose}");
}

#[test]
fn help_is_asked_for_and_no_command_is_an_error() {
    let folder = Folder::new();
    assert!(folder.line("--version").ok().starts_with("linewright "));
    let nothing = folder.run::<&str>([]);
    assert_eq!((nothing.code, nothing.out.as_str()), (Some(2), ""));
    assert!(nothing.err.contains("compose"), "{}", nothing.err);
}

#[test]
fn completions_exist_for_every_shell_and_know_the_commands() {
    let folder = Folder::new();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let script = folder.line(&format!("completions {shell}")).ok();
        for command in COMMANDS {
            assert!(script.contains(command), "{command} for {shell}");
        }
    }
}

#[test]
fn every_command_has_a_manual_page() {
    let folder = Folder::new();
    assert!(folder.line("man").ok().contains(".TH linewright"));
    for command in COMMANDS {
        let page = folder.line(&format!("man {command}")).ok();
        assert!(
            page.contains(".SH NAME") && page.contains(command),
            "{page}"
        );
    }
}
