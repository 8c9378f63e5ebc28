//! MusicXML in.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_fuzz::{accepted, check_musicxml, check_score, frugally};
use linewright_notation::musicxml;

fuzz_target!(|bytes: &[u8]| {
    for part in [None, Some("P2")] {
        if let Some(score) = accepted(frugally(|| musicxml::read(bytes, part))) {
            check_score(&score);
            check_musicxml(&score);
        }
    }
});
