//! Runs that are stopped: what is done stays, nothing is left behind.
#![cfg(unix)]

use std::fs::{self, File};
use std::os::unix::process::ExitStatusExt as _;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use crate::run::{COMMAND, Folder};

/// A run that writes far more files than it will be given the time for.
const LONG: &str = "compose blues.chart --choruses 20 --lines 1000 -o take.json -o take.txt";

fn started(folder: &Folder, command: &mut Command) -> Child {
    let child = command
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    while !folder.path().join("take-2.txt").exists() {
        assert!(begun.elapsed() < Duration::from_secs(60), "no file comes");
        std::thread::sleep(Duration::from_millis(5));
    }
    child
}

fn stopped(child: Child, signal: &str) -> Output {
    let kill = Command::new("kill")
        .args([format!("-{signal}"), child.id().to_string()])
        .status();
    assert!(kill.unwrap().success());
    child.wait_with_output().unwrap()
}

#[test]
fn a_run_that_is_stopped_keeps_what_is_done_and_leaves_nothing_else() {
    for (signal, number) in [("INT", 2), ("TERM", 15), ("HUP", 1)] {
        let folder = Folder::new();
        let child = started(&folder, folder.command().args(LONG.split(' ')));
        let ended = stopped(child, signal);
        assert_eq!(ended.status.signal(), Some(number));
        let names = folder.names();
        let takes = names.iter().filter(|name| name.starts_with("take-"));
        let takes: Vec<_> = takes.collect();
        assert!((4..2000).contains(&takes.len()), "{names:?}");
        assert_eq!(takes.len() + 1, names.len(), "{names:?}");
        for take in &takes {
            let bytes = folder.read(take);
            match take.ends_with(".json") {
                true => drop(folder.json(take)),
                false => assert!(bytes.ends_with(b"MIDI program 33\n"), "{take}"),
            }
        }
        let said = String::from_utf8(ended.stderr).unwrap();
        assert!(said.contains("stopped"), "{said}");
        let told = format!("wrote {} files, ./take-1.json to ", takes.len());
        assert!(said.contains(&told), "{said}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_signal_that_is_ignored_stays_ignored() {
    let folder = Folder::new();
    let line = format!("trap '' HUP; exec {COMMAND} {LONG}");
    let child = started(&folder, folder.command_of("sh").args(["-c", &line]));
    let hang_up = Command::new("kill")
        .args(["-HUP", &child.id().to_string()])
        .status();
    assert!(hang_up.unwrap().success());
    let count = || folder.names().len();
    let (before, begun) = (count(), Instant::now());
    while count() < before + 4 {
        assert!(begun.elapsed() < Duration::from_secs(60), "it was stopped");
        std::thread::sleep(Duration::from_millis(5));
    }
    assert_eq!(stopped(child, "TERM").status.signal(), Some(15));
}

#[test]
fn a_run_that_was_killed_is_cleared_up_by_the_next_and_a_living_one_is_left_alone() {
    let folder = Folder::new();
    let child = started(&folder, folder.command().args(LONG.split(' ')));
    assert_eq!(stopped(child, "KILL").status.signal(), Some(9));
    let left = |name: &str| name.ends_with(".part");
    folder.write(".linewright-dead01.part", "half a li");
    folder.write(".linewright-mine", "no file of the program");
    let unfinished = folder.names().iter().filter(|name| left(name)).count();
    folder.write(".linewright-alive1.part", "half a line");
    let alive = File::open(folder.path().join(".linewright-alive1.part")).unwrap();
    alive.lock().unwrap();
    let ended = folder.line("compose blues.chart -o line.txt");
    let told = match unfinished {
        1 => "removed an unfinished file".to_owned(),
        count => format!("removed {count} unfinished files"),
    };
    assert!(ended.err.contains(&told), "{}", ended.err);
    ended.ok();
    let names = folder.names();
    let names: Vec<&str> = names
        .iter()
        .map(String::as_str)
        .filter(|name| name.starts_with('.'))
        .collect();
    assert_eq!(names, [".linewright-alive1.part", ".linewright-mine"]);
    drop(alive);
    let ended = folder.line("compose blues.chart -o again.txt");
    assert!(
        ended.err.contains("removed an unfinished file"),
        "{ended:?}"
    );
    let ended = folder.line("compose blues.chart -o third.txt");
    assert!(!ended.err.contains("removed"), "{ended:?}");
}

#[test]
fn two_runs_write_into_one_folder_at_once() {
    let folder = Folder::new();
    let run = |name: &str, seed: &str| {
        let mut command = folder.command();
        command.args([
            "compose",
            "blues.chart",
            "-n",
            "40",
            "--seed",
            seed,
            "-o",
            name,
        ]);
        command.stdout(Stdio::null()).stderr(Stdio::piped());
        command.spawn().unwrap()
    };
    // Whoever comes looks for what is left, while others are writing.
    let runs: Vec<Child> = ["a.json", "b.json", "c.json", "d.json"]
        .iter()
        .map(|name| run(name, "7"))
        .collect();
    for child in runs {
        let ended = child.wait_with_output().unwrap();
        let said = String::from_utf8(ended.stderr).unwrap();
        assert!(ended.status.success(), "{said}");
        assert!(!said.contains("removed"), "{said}");
    }
    assert_eq!(folder.names().len(), 1 + 4 * 40);
    for nth in 1..=40 {
        let first = folder.read(&format!("a-{nth}.json"));
        assert_eq!(first, folder.read(&format!("d-{nth}.json")));
    }
}

#[test]
fn what_was_written_before_a_failure_stays_and_is_told() {
    let folder = Folder::with_lines();
    // The second line of the file has no note over a chord.
    folder
        .line("explain line.txt --chart blues.chart -o one.json")
        .ok();
    let line = String::from_utf8(folder.read("one.json")).unwrap();
    let value: serde_json::Value = serde_json::from_str(&line).unwrap();
    let mut silent = value["line"].clone();
    silent["notes"] = serde_json::json!([]);
    silent["written"] = serde_json::json!([]);
    let both = serde_json::json!([value["line"], silent]);
    folder.write("both.json", both.to_string());
    let ended = folder.line("mark both.json --chart blues.chart -o marked.txt");
    assert_eq!(ended.code, Some(7), "{ended:?}");
    assert!(ended.err.contains("wrote ./marked-1.txt"), "{ended:?}");
    assert!(ended.err.contains("no note of the line"), "{ended:?}");
    let names = folder.names();
    assert!(names.contains(&"marked-1.txt".to_owned()), "{names:?}");
    assert!(!names.contains(&"marked-2.txt".to_owned()), "{names:?}");
    assert!(
        fs::read_to_string(folder.path().join("marked-1.txt"))
            .unwrap()
            .contains(" marks: ")
    );
}
