//! Running the command in a folder of its own.

use std::ffi::OsStr;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use serde_json::Value;
use tempfile::TempDir;

/// A blues with two sections and bars of two chords.
pub const BLUES: &str = "\
title: Backyard blues
key: F
tempo: 140
[A]
| F7 | Bb7 | F7 | Cm7 F7 |
| Bb7 | Bdim7 | F7 | D7 |
[B]
| Gm7 | C7 | F7 D7 | Gm7 C7 |
";

/// A line over it that somebody wrote: roots, thirds and fifths, and half steps into most bars.
pub const LINE: &str = "\
title: First walk
student: Kim
| F1 A1 C2 A1 | Bb1 D2 F2 D2 | F2 Eb2 C2 A1 | C2 G1 F1 A1 |
| Bb1 D2 F2 Bb1 | B1 D2 F2 Ab2 | A2 F2 C2 A1 | D2 F#2 A2 Ab2 |
| G2 F2 D2 Bb1 | C2 D2 E2 C2 | F2 C2 D2 A1 | G1 Bb1 C2 E2 |
";

/// The extension of every format that lines are read from.
pub const LINE_FORMATS: [&str; 6] = ["txt", "mid", "musicxml", "mxl", "abc", "json"];

/// The built command.
pub const COMMAND: &str = env!("CARGO_BIN_EXE_linewright");

/// A folder with `blues.chart` in it.
pub struct Folder(TempDir);

/// How a run ended.
#[derive(Debug)]
pub struct Ended {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Folder {
    pub fn new() -> Self {
        let folder = Self(TempDir::new().unwrap());
        folder.write("blues.chart", BLUES);
        folder
    }

    /// The same with lines over the chart: `line.txt`, `take.mid`, and a folder `homework`.
    pub fn with_lines() -> Self {
        let folder = Self::new();
        folder.write("line.txt", LINE);
        folder.line("compose blues.chart -o take.mid").ok();
        fs::create_dir(folder.path().join("homework")).unwrap();
        folder.write("homework/kim.txt", LINE);
        let lee = LINE
            .replace("Kim", "Lee, \"Slim\"")
            .replace("F1 A1 C2 A1", "F1 F1 F1 F1");
        folder.write("homework/lee.txt", lee);
        folder
            .line("compose blues.chart --style grade-3 --seed 2 -o homework/noa.mid")
            .ok();
        folder
    }

    /// The JSON in a file.
    pub fn json(&self, name: &str) -> Value {
        serde_json::from_slice(&self.read(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    pub fn path(&self) -> &Path {
        self.0.path()
    }

    pub fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        fs::write(self.0.path().join(name), content).unwrap();
    }

    pub fn read(&self, name: &str) -> Vec<u8> {
        fs::read(self.0.path().join(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    /// The names of everything in the folder, in order.
    pub fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    /// The command, in this folder.
    pub fn command(&self) -> Command {
        self.command_of(COMMAND)
    }

    /// Another program, in this folder.
    pub fn command_of(&self, program: &str) -> Command {
        let mut command = Command::new(program);
        command
            .current_dir(self.0.path())
            .env_remove("CLICOLOR_FORCE")
            .stdin(Stdio::null());
        command
    }

    /// Runs the command with these arguments.
    pub fn run<A: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = A>) -> Ended {
        let output = self.command().args(arguments).output().unwrap();
        Ended {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Runs a line of blank-separated arguments.
    pub fn line(&self, arguments: &str) -> Ended {
        self.run(arguments.split_whitespace())
    }

    /// Runs with this text as the standard input.
    pub fn fed(&self, arguments: &str, input: &[u8]) -> Ended {
        let mut child = self
            .command()
            .args(arguments.split_whitespace())
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // The command may stop reading early.
        let _ = child.stdin.take().unwrap().write_all(input);
        let output = child.wait_with_output().unwrap();
        Ended {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Ended {
    /// The output of a run that went well.
    #[track_caller]
    pub fn ok(self) -> String {
        assert_eq!(self.code, Some(0), "{}", self.err);
        self.out
    }

    /// The output of a run that went on to its end and then ended with this code.
    #[track_caller]
    pub fn ended(self, code: i32) -> String {
        assert_eq!(self.code, Some(code), "{}", self.err);
        assert!(!self.err.contains("panicked"), "{}", self.err);
        self.out
    }

    /// What was said by a run that ended with this code, which prints nothing.
    #[track_caller]
    pub fn fails(self, code: i32) -> String {
        assert_eq!(self.code, Some(code), "{}", self.err);
        assert_eq!(self.out, "");
        assert!(!self.err.contains("panicked"), "{}", self.err);
        self.err
    }
}

/// The folder that the command stands in, for a shell's search path.
pub fn bin_folder() -> PathBuf {
    Path::new(COMMAND).parent().unwrap().to_owned()
}
