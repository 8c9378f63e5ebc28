//! Running the command in a folder of its own.

use std::ffi::OsStr;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

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
        let mut command = Command::new(COMMAND);
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
