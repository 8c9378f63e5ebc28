//! How far a long run has come.

use std::io::{self, IsTerminal as _};

use indicatif::{ProgressBar, ProgressStyle};

/// A bar beside the output, where that is a terminal; nothing otherwise.
pub fn bar(steps: usize, doing: &'static str) -> ProgressBar {
    if !io::stderr().is_terminal() {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(steps as u64).with_message(doing);
    match ProgressStyle::with_template("{msg} {bar:30} {pos} of {len}") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}
