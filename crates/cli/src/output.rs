//! The terminal, or whatever the output goes to.

use std::io::{self, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};

use linewright::diagnostic::clean::{shortened, tame, tame_lines};

use crate::args::Colour;
use crate::exit::Failure;

/// Longer paths are cut in messages, in characters.
const LONGEST_NAME: usize = 255;

/// Whether nothing is to be said but what is wrong.
static QUIET: AtomicBool = AtomicBool::new(false);

/// From now on nothing is printed but errors.
pub fn be_quiet() {
    QUIET.store(true, Ordering::Relaxed);
}

/// Writes to the output as it is.
pub fn bytes(bytes: &[u8]) -> Result<(), Failure> {
    if QUIET.load(Ordering::Relaxed) {
        return Ok(());
    }
    let mut out = io::stdout().lock();
    out.write_all(bytes)
        .and_then(|()| out.flush())
        .map_err(|error| Failure::output(&error))
}

/// Whether to colour: as asked, or where the output is a terminal that takes colours.
pub fn is_coloured(colour: Colour) -> bool {
    match colour {
        Colour::Always => true,
        Colour::Never => false,
        Colour::Auto => {
            let out = io::stdout();
            out.is_terminal() && anstream::AutoStream::choice(&out) != anstream::ColorChoice::Never
        }
    }
}

/// Says what was written.
pub fn tell(files: &[PathBuf]) {
    match files {
        [] => {}
        [one] => note(&format!("wrote {}", path_name(one))),
        [first, .., last] => {
            note(&format!(
                "wrote {} files, {} to {}",
                files.len(),
                path_name(first),
                path_name(last)
            ));
        }
    }
}

/// A path as messages call it: on one line, and not longer than a file name can be.
pub fn path_name(path: &Path) -> String {
    tame(&shortened(&path.to_string_lossy(), LONGEST_NAME))
}

/// A remark beside the output.
pub fn note(text: &str) {
    if QUIET.load(Ordering::Relaxed) {
        return;
    }
    // A remark that cannot be made is no reason to fail.
    let _ = writeln!(io::stderr(), "linewright: {}", tame_lines(text));
}
