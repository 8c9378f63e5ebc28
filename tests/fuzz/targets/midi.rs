//! MIDI in.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_fuzz::{accepted, check_line_text, check_score, frugally};
use linewright_notation::midi;

fuzz_target!(|bytes: &[u8]| {
    for track in [None, Some("2"), Some("channel 3")] {
        if let Some(score) = accepted(frugally(|| midi::read(bytes, track))) {
            check_score(&score);
            check_line_text(&score);
        }
    }
});
