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

const COMMANDS: [&str; 13] = [
    "compose",
    "explain",
    "vary",
    "orders",
    "mark",
    "profile",
    "learn",
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

#[test]
fn the_short_help_fits_on_a_screen() {
    let folder = Folder::new();
    for command in COMMANDS {
        let short = folder.line(&format!("{command} -h")).ok();
        let rows = short.lines().count();
        assert!(rows <= 48, "{command} -h has {rows} rows:\n{short}");
        let long = folder.line(&format!("{command} --help")).ok();
        assert!(long.lines().count() >= rows, "{command}");
    }
}

#[test]
fn what_is_not_understood_gets_a_tip_that_helps_or_none() {
    let folder = Folder::new();
    for (line, tip) in [
        ("play blues.chart", "-o line.mid"),
        ("compos blues.chart", "'compose'"),
        ("analyse line.txt", "linewright explain"),
        ("compose blues.chart --stile plain", "--style"),
        (
            "compose blues.chart --lines x",
            "a whole number from 1 to 1000",
        ),
        ("compose blues.chart --seed -1", "a whole number, 0 or more"),
        (
            "compose blues.chart --grade 9",
            "a whole number from 1 to 8",
        ),
        ("explain line.txt", "give the chart first, then the line"),
        ("mark homework", "--chart"),
        (
            "vary blues.chart --bars 3-4 --line line.txt --key G",
            "--line-key",
        ),
    ] {
        let folder = Folder::with_lines();
        let said = folder.line(line).fails(2);
        assert!(said.contains(tip), "{line}: {said}");
        assert!(!said.contains("invalid digit"), "{said}");
    }
    let said = folder.line("compose blues.chart --zzz 3").fails(2);
    assert!(!said.contains("tip"), "{said}");
}

#[test]
fn names_are_taken_as_people_write_them() {
    let folder = Folder::new();
    let plain = folder.line("compose blues.chart --style closing-four").ok();
    let written = folder
        .run(["compose", "blues.chart", "--style", "Closing Four"])
        .ok();
    assert_eq!(plain, written);
    let grade = folder.line("compose blues.chart --grade 3").ok();
    assert_eq!(
        grade,
        folder.line("compose blues.chart --style Grade_3").ok()
    );
    let rule = folder.run(["rules", "Half-Step Approach"]).ok();
    assert!(rule.contains("half-step-approach"), "{rule}");
    let ways = folder.run([
        "vary",
        "blues.chart",
        "--bars",
        "3-4",
        "--strategy",
        "Any Way",
        "-n",
        "1",
        "--color",
        "never",
    ]);
    assert!(ways.ok().contains("1. any way"));
}

#[test]
fn quiet_prints_nothing_and_still_says_what_is_wrong() {
    let folder = Folder::new();
    let quiet = folder.line("compose blues.chart --quiet -o line.mid");
    assert_eq!(
        (quiet.code, quiet.out.as_str(), quiet.err.as_str()),
        (Some(0), "", "")
    );
    assert!(folder.read("line.mid").starts_with(b"MThd"));
    let wrong = folder.line("-q compose blues.chart -o line.mid").fails(6);
    assert!(wrong.contains("exists already"), "{wrong}");
}

#[test]
fn the_chart_stands_first_or_is_given_by_name() {
    let folder = Folder::with_lines();
    for (first, named) in [
        ("compose blues.chart", "compose --chart blues.chart"),
        (
            "vary blues.chart --bars 3-4 -n 2",
            "vary --chart blues.chart --bars 3-4 -n 2",
        ),
        (
            "explain blues.chart line.txt",
            "explain line.txt --chart blues.chart",
        ),
        (
            "mark blues.chart line.txt --grade 3",
            "mark line.txt -C blues.chart --grade 3",
        ),
    ] {
        assert_eq!(folder.line(first).ok(), folder.line(named).ok(), "{first}");
    }
}

#[test]
fn a_shell_completes_the_names_of_styles_strategies_and_rules() {
    let script = Folder::new().line("completions bash").ok();
    for name in ["closing-four", "other-order", "half-step-approach"] {
        assert!(script.contains(name), "{name}");
    }
}
