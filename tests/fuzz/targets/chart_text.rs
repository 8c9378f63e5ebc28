//! Chart text.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_chart::Chart;
use linewright_fuzz::{check_chart, frugally};

fuzz_target!(|bytes: &[u8]| {
    match frugally(|| Chart::parse("my.chart", bytes)) {
        Ok(chart) => check_chart(&chart),
        Err(faults) => {
            assert!(!faults.faults().is_empty());
            assert!(faults.to_string().len() < 50_000);
            let Ok(text) = std::str::from_utf8(bytes) else {
                return;
            };
            // Line 0: the fault has no place.
            for fault in faults.faults().iter().filter(|fault| fault.line() > 0) {
                let line = text.split(['\n', '\r']).nth(fault.line() - 1);
                let length = line.map_or(0, |line| line.chars().count());
                let within = text.contains("\r\n") || fault.column() <= length + 1;
                assert!(within, "{faults}");
                assert!(!fault.message().is_empty() && !fault.hint().is_empty());
            }
        }
    }
});
