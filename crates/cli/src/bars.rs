//! Bars that are asked for by their numbers.

use std::ops::{Range, RangeInclusive};

use linewright::Timeline;

use crate::exit::Failure;

/// The places of the bars with these numbers in a piece. Bars are counted as played; a pick-up is
/// bar 0. Fails where the piece has not every one of them.
pub fn places(asked: &RangeInclusive<usize>, timeline: &Timeline) -> Result<Range<usize>, Failure> {
    let pickups = timeline.pickups();
    let (first, last) = (1 - pickups, timeline.bars.len() - pickups);
    let missing = [*asked.start(), *asked.end()]
        .into_iter()
        .find(|bar| !(first..=last).contains(bar));
    let Some(missing) = missing else {
        return Ok(asked.start() - first..asked.end() + 1 - first);
    };
    let hint = if missing == 0 {
        "bar 0 is a pick-up, and this piece has none"
    } else {
        "bars are counted as played, over all choruses; see `linewright chart --unroll`"
    };
    Err(Failure::usage(format!(
        "there is no bar {missing}: the piece has bars {first} to {last}\n  hint: {hint}"
    )))
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright::Chart;

    fn timeline(text: &str) -> Timeline {
        let chart = Chart::parse("test", text.as_bytes()).expect("a chart");
        chart.unroll().expect("its bars")
    }

    #[test]
    fn all_bars_of_a_range_must_be_there() {
        let four = timeline("| C | F | G7 | C |");
        assert_eq!(places(&(1..=4), &four).unwrap(), 0..4);
        assert_eq!(places(&(3..=3), &four).unwrap(), 2..3);
        for (asked, missing) in [(3..=5, 5), (0..=2, 0), (0..=0, 0), (7..=9, 7)] {
            let fault = places(&asked, &four).unwrap_err();
            let told = format!("there is no bar {missing}: the piece has bars 1 to 4");
            assert_eq!(fault.in_short(), told);
        }
        let upbeat = timeline("pickup: 1\n| G7 | C | F |");
        assert_eq!(places(&(0..=2), &upbeat).unwrap(), 0..3);
        assert_eq!(places(&(1..=2), &upbeat).unwrap(), 1..3);
        let fault = places(&(0..=3), &upbeat).unwrap_err();
        assert!(fault.in_short().ends_with("bars 0 to 2"), "{fault:?}");
    }
}
