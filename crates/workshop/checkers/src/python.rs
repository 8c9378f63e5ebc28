//! Python with the pinned packages, and running a checker script on it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;
use std::time::Duration;

use crate::environment;
use crate::error::{Error, Kind};
use crate::place;
use crate::process;

/// The longest that one script may run.
const SCRIPT: Duration = Duration::from_secs(300);

/// A Python that has the pinned packages installed.
#[derive(Clone, Debug)]
pub struct Python {
    /// The interpreter of the virtual environment.
    program: PathBuf,
    /// The folder that the scripts are in.
    scripts: PathBuf,
}

/// Python with the packages that `tests/checkers/requirements.txt` pins.
///
/// The first call of all makes the environment, under the cargo target directory,
/// and takes as long as pip takes; other processes that ask meanwhile wait for it.
///
/// # Errors
/// When there is no Python 3.10 or newer, when it lacks its `venv` module, or when
/// pip cannot install: the text says what to install. Let the test fail on it.
pub fn python() -> Result<Python, Error> {
    static PYTHON: OnceLock<Result<Python, Error>> = OnceLock::new();
    PYTHON
        .get_or_init(|| {
            let scripts = place::scripts()?;
            let folder = place::target()?.join("checkers");
            let program = environment::prepare(&folder, &scripts.join("requirements.txt"))?;
            Ok(Python { program, scripts })
        })
        .clone()
}

impl Python {
    /// Runs a script of `tests/checkers`, given by its plain file name, with `stdin`
    /// as its input; returns what it wrote on standard output.
    ///
    /// By convention a script reads one JSON object a line and answers each with one
    /// JSON object a line. Start it once with many lines rather than many times: some
    /// packages take seconds to import.
    ///
    /// # Errors
    /// When there is no such script, when it ends badly (the text holds its standard
    /// error), when it is still running after five minutes, or when its answer is not
    /// UTF-8.
    pub fn run(&self, script: &str, stdin: &[u8]) -> Result<String, Error> {
        let path = self.scripts.join(script);
        let plain = Path::new(script).file_name().is_some_and(|n| n == script);
        if !plain || !path.is_file() {
            return Err(Kind::NoScript {
                name: script.to_owned(),
                folder: self.scripts.clone(),
            }
            .into());
        }
        let mut command = Command::new(&self.program);
        command
            .arg(&path)
            .env("PYTHONUTF8", "1")
            .env("PYTHONDONTWRITEBYTECODE", "1")
            .env_remove("PYTHONPATH")
            .env_remove("PYTHONHOME");
        let output = process::run(command, stdin, SCRIPT)?;
        if !output.status.success() {
            return Err(Kind::Script {
                name: script.to_owned(),
                status: output.status.to_string(),
                said: String::from_utf8_lossy(&output.stderr).trim().to_owned(),
            }
            .into());
        }
        String::from_utf8(output.stdout).map_err(|_| Kind::NotText(script.to_owned()).into())
    }
}
