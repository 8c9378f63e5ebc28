//! Lines as text, and the pages that the program prints of them.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_fuzz::{accepted, check_line_text, check_score, frugally};
use linewright_notation::line_text;

fuzz_target!(|bytes: &[u8]| {
    let Some(lines) = accepted(frugally(|| line_text::read(bytes))) else {
        return;
    };
    assert!(!lines.is_empty());
    for line in &lines {
        check_score(line);
        check_line_text(line);
    }
});
