//! Prepares the outside checkers that tests compare with: other people's
//! readers of the formats that linewright writes.
//!
//! Development only; nothing that ships depends on it. A test asks for
//! [`python`] and runs a script from `tests/checkers` on its bytes:
//!
//! ```no_run
//! let python = linewright_checkers::python().expect("the outside checkers");
//! let answer = python
//!     .run("versions.py", b"{\"package\": \"mido\"}\n")
//!     .expect("versions.py");
//! assert!(answer.contains("version"));
//! ```
//!
//! The first call makes a virtual environment under the cargo target directory
//! and installs what `tests/checkers/requirements.txt` pins; later calls, from
//! any test process, reuse it. Nothing is ever skipped: when Python or a package
//! cannot be had, the error says what to install, and the test that asked fails.

#![warn(clippy::pedantic)]

mod environment;
mod error;
mod place;
mod process;
mod python;

pub use error::Error;
pub use python::{Python, python};
