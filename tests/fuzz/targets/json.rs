//! Lines as JSON, which the program itself wrote.
//!
//! The reader is compiled in by its path: the crate that it belongs to stands on the whole
//! search, which would take minutes to build for nothing.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_fuzz::{accepted, check_line_text, check_musicxml, check_score, frugally};

#[path = "../../../crates/render/src/json"]
mod json {
    /// As in `crates/render/src/json/mod.rs`.
    const FORMAT: &str = "linewright line";

    pub mod read;
}

fuzz_target!(|bytes: &[u8]| {
    let Some(lines) = accepted(frugally(|| json::read::read(bytes))) else {
        return;
    };
    assert!(!lines.is_empty());
    for line in &lines {
        check_score(line);
        check_line_text(line);
        check_musicxml(line);
    }
});
