//! What can go wrong while preparing or running a checker.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// Why an outside checker could not be prepared or did not run.
///
/// Its text says what is missing and what to do about it.
#[derive(Clone, Debug)]
pub struct Error(Kind);

#[derive(Clone, Debug)]
pub(crate) enum Kind {
    /// No interpreter under any of the usual names.
    NoPython,
    /// An interpreter, but too old; the text is its version.
    OldPython(String),
    /// `python -m venv` failed; the text is what it printed.
    Venv(String),
    /// pip failed; the text is what it printed.
    Install(String),
    /// Neither the source tree nor the target directory could be found.
    Lost(&'static str),
    /// A file or folder could not be read or written.
    File {
        doing: &'static str,
        path: PathBuf,
        cause: String,
    },
    /// There is no such script.
    NoScript { name: String, folder: PathBuf },
    /// A program could not be started or spoken to.
    Start { program: String, cause: String },
    /// A program did not end in time.
    Slow { program: String, seconds: u64 },
    /// A script ended badly; `said` is its standard error.
    Script {
        name: String,
        status: String,
        said: String,
    },
    /// A script's answer is not UTF-8.
    NotText(String),
}

impl Error {
    pub(crate) fn file(doing: &'static str, path: &Path, cause: &io::Error) -> Self {
        Self(Kind::File {
            doing,
            path: path.to_owned(),
            cause: cause.to_string(),
        })
    }
}

impl From<Kind> for Error {
    fn from(kind: Kind) -> Self {
        Self(kind)
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Kind::NoPython => write!(
                f,
                "the tests need Python 3.10 or newer and found neither `python3` nor `python`; \
                 install it (Debian, Ubuntu: apt-get install python3 python3-venv)"
            ),
            Kind::OldPython(version) => write!(
                f,
                "the tests need Python 3.10 or newer, but `python3` is {version}; \
                 install a newer one and put it first on PATH"
            ),
            Kind::Venv(said) => write!(
                f,
                "`python3 -m venv` could not make a virtual environment; install Python's venv \
                 module (Debian, Ubuntu: apt-get install python3-venv). It said:\n{said}"
            ),
            Kind::Install(said) => write!(
                f,
                "pip could not install what tests/checkers/requirements.txt pins; a first test \
                 run needs to reach a Python package index (or wheels named by PIP_FIND_LINKS). \
                 It said:\n{said}"
            ),
            Kind::Lost(what) => write!(
                f,
                "cannot find {what}; run the tests with `cargo test` inside the source tree"
            ),
            Kind::File { doing, path, cause } => {
                write!(f, "cannot {doing} {}: {cause}", path.display())
            }
            Kind::NoScript { name, folder } => write!(
                f,
                "there is no checker script `{name}` in {}; give the plain file name of one \
                 that is there",
                folder.display()
            ),
            Kind::Start { program, cause } => write!(f, "cannot run {program}: {cause}"),
            Kind::Slow { program, seconds } => {
                write!(
                    f,
                    "{program} had not ended after {seconds} seconds and was stopped"
                )
            }
            Kind::Script { name, status, said } => {
                write!(
                    f,
                    "the checker script {name} failed ({status}). It said:\n{said}"
                )
            }
            Kind::NotText(name) => {
                write!(
                    f,
                    "the checker script {name} wrote something that is not UTF-8"
                )
            }
        }
    }
}

impl std::error::Error for Error {}
