//! Lead sheets: a file of any format → a chart, and the part in every other format.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_chart::Chart;
use linewright_diagnostic::Diagnostics;
use linewright_fuzz::{
    accepted, check_as_abc, check_chart, check_line_text, check_musicxml, frugally,
};
use linewright_notation::{Score, abc, line_text, midi, musicxml};

/// Reads a file in the format that it seems to have.
fn read(bytes: &[u8]) -> Result<(Score, Diagnostics), Diagnostics> {
    match bytes {
        [b'M', b'T', b'h', b'd', ..] => midi::read(bytes, None),
        [b'<', ..] => musicxml::read(bytes, None),
        [b'X' | b'%', ..] => abc::read(bytes, None),
        _ => line_text::read(bytes).map(|(mut lines, problems)| (lines.remove(0), problems)),
    }
}

fuzz_target!(|bytes: &[u8]| {
    let Some(score) = accepted(read(bytes)) else {
        return;
    };
    if let Some(chart) = accepted(frugally(|| Chart::from_score(&score))) {
        check_chart(&chart);
    }
    check_musicxml(&score);
    check_as_abc(&score);
    check_line_text(&score);
});
