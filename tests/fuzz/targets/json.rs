//! Lines as JSON, which the program itself wrote.
//!
//! It is built with the feature `lines` only: the crate that the reader belongs to stands on the
//! whole search, which would take the other targets minutes to build for nothing.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_fuzz::{accepted, check_line_text, check_musicxml, check_score, frugally};
use linewright_render::json;

fuzz_target!(|bytes: &[u8]| {
    let Some(lines) = accepted(frugally(|| json::read(bytes))) else {
        return;
    };
    assert!(!lines.is_empty());
    for line in &lines {
        check_score(line);
        check_line_text(line);
        check_musicxml(line);
    }
});
