//! ABC in.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_fuzz::{accepted, check_abc, check_score, frugally, without_rows};
use linewright_notation::abc;

fuzz_target!(|bytes: &[u8]| {
    let listed = frugally(|| abc::tunes(bytes));
    let last = listed.last().map(|(number, _)| *number);
    for tune in [None, last] {
        let Some(score) = accepted(frugally(|| abc::read(bytes, tune))) else {
            continue;
        };
        check_score(&score);
        check_abc(&without_rows(score));
    }
});
