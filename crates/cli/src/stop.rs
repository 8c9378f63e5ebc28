//! A run that is stopped: what is done stays, nothing is left half written. It ends as the signal
//! would have ended it, so that whoever started it sees that (a shell: 128 and its number).

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// The files that are done. Locked while one is being written: whoever holds it can end the run,
/// and leaves nothing behind.
static DONE: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Whether any file is to be written.
static ASKED: AtomicBool = AtomicBool::new(false);

/// A file is to be written: a run that is stopped will say so where it was not.
pub fn expect_file() {
    ASKED.store(true, Ordering::Relaxed);
}

/// The files that are done.
pub fn done() -> MutexGuard<'static, Vec<PathBuf>> {
    DONE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Waits for the signals by which runs are stopped, beside the run: finishes the file at hand,
/// tells what is done, and ends the run as the signal would have done.
#[cfg(unix)]
pub fn watch() {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;

    let ignored = ignored();
    let heeded = [SIGINT, SIGTERM, SIGHUP]
        .into_iter()
        .filter(|signal| ignored & (1 << (signal - 1)) == 0);
    // Where signals cannot be waited for, they end the run as they always do.
    let Ok(mut signals) = Signals::new(heeded) else {
        return;
    };
    std::thread::spawn(move || {
        for signal in signals.forever() {
            let done = finished();
            tell(done.as_deref().map(Vec::as_slice));
            let _ = signal_hook::low_level::emulate_default_handler(signal);
        }
    });
}

/// Elsewhere the next run clears up.
#[cfg(not(unix))]
pub fn watch() {}

/// The signals that were ignored when the run began, as `nohup` does, a bit for each from the
/// lowest on: they stay so.
#[cfg(unix)]
fn ignored() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status
        .lines()
        .find_map(|line| line.strip_prefix("SigIgn:"))
        .and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok());
    mask.unwrap_or(0)
}

/// The files that are done, once the one at hand is; `None` where that takes too long, as on a
/// drive that does not answer. What it leaves is cleared by the next run.
#[cfg(unix)]
fn finished() -> Option<MutexGuard<'static, Vec<PathBuf>>> {
    use std::sync::TryLockError;
    use std::time::Duration;

    for _ in 0..100 {
        match DONE.try_lock() {
            Ok(done) => return Some(done),
            Err(TryLockError::Poisoned(done)) => return Some(done.into_inner()),
            Err(TryLockError::WouldBlock) => std::thread::sleep(Duration::from_millis(50)),
        }
    }
    None
}

/// Says that the run was stopped, on a line of its own, and what is done.
#[cfg(unix)]
fn tell(done: Option<&[PathBuf]>) {
    use std::io::{IsTerminal as _, Write as _};

    let mut err = std::io::stderr();
    if err.is_terminal() {
        // A remark that cannot be made is no reason to wait.
        let _ = writeln!(err);
    }
    match done {
        None => crate::output::note(
            "stopped; the file at hand could not be finished, and the next run clears it",
        ),
        Some([]) if !ASKED.load(Ordering::Relaxed) => {}
        Some([]) => crate::output::note("stopped; no file was written"),
        Some(done) => {
            crate::output::note("stopped; what is done stays, whole");
            crate::output::tell(done);
        }
    }
}
