//! Chart text.

#![no_main]

use libfuzzer_sys::fuzz_target;
use linewright_chart::Chart;
use linewright_fuzz::{check_chart, frugally};

fuzz_target!(|bytes: &[u8]| {
    match frugally(|| Chart::parse("my.chart", bytes)) {
        Ok(chart) => check_chart(&chart),
        Err(faults) => {
            assert!(!faults.list().is_empty());
            assert!(faults.to_string().len() < 50_000);
            let Ok(text) = std::str::from_utf8(bytes) else {
                return;
            };
            for fault in faults.list() {
                let Some((line, column)) = fault.place().line_and_column() else {
                    continue;
                };
                let line = text.split(['\n', '\r']).nth(line - 1);
                let length = line.map_or(0, |line| line.chars().count());
                let within = text.contains("\r\n") || column <= length + 1;
                assert!(within, "{faults}");
                assert!(!fault.message().is_empty() && !fault.hint().is_empty());
            }
        }
    }
});
