//! How far a long run has come.

use std::io::{self, IsTerminal as _};
use std::sync::mpsc::{Sender, channel};
use std::thread;
use std::time::Duration;

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

/// How long a run is silent before it says that it is at work.
const PATIENCE: Duration = Duration::from_millis(500);

/// Says what is being done until it is dropped, where that takes more than half a second.
pub struct Busy(Option<(Sender<()>, thread::JoinHandle<()>)>);

/// Something that takes a while and has no steps to count.
pub fn busy(doing: &'static str) -> Busy {
    if !io::stderr().is_terminal() {
        return Busy(None);
    }
    let (done, waiting) = channel::<()>();
    let teller = thread::spawn(move || {
        // An answer means that it is over; only time that runs out has something to tell.
        if waiting.recv_timeout(PATIENCE) != Err(std::sync::mpsc::RecvTimeoutError::Timeout) {
            return;
        }
        let spinner = ProgressBar::new_spinner().with_message(doing);
        spinner.enable_steady_tick(Duration::from_millis(100));
        let _ = waiting.recv();
        spinner.finish_and_clear();
    });
    Busy(Some((done, teller)))
}

impl Drop for Busy {
    fn drop(&mut self) {
        if let Some((done, teller)) = self.0.take() {
            // Closed, it tells that it is over.
            drop(done);
            let _ = teller.join();
        }
    }
}
