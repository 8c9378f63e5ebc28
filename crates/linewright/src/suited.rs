//! The style for a chart when nobody names one.

use linewright_chart::Chart;

/// The name of the shipped style that suits a chart's metre and feel: `waltz` in 3/4,
/// `two-feel` where its feel says "in two", else `plain`.
pub fn suited_style(chart: &Chart) -> &'static str {
    if chart.metre().beats == 3 {
        return "waltz";
    }
    if chart.is_in_two() {
        "two-feel"
    } else {
        "plain"
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_rulebook::style::{Feel, Library};

    fn suited(header: &str) -> &'static str {
        suited_style(&Chart::parse("test", format!("{header}\n| C | G7 |\n").as_bytes()).unwrap())
    }

    #[test]
    fn three_four_is_a_waltz_and_in_two_a_two_feel_and_the_rest_plain() {
        for (header, style) in [
            ("", "plain"),
            ("feel: swing", "plain"),
            ("feel: winding twofold", "plain"),
            ("feel: in two", "two-feel"),
            ("feel: Ballad, In Two!", "two-feel"),
            ("feel: brisk in-2", "two-feel"),
            ("time: 3/4", "waltz"),
            ("time: 3/4\nfeel: in two", "waltz"),
            ("time: 6/4", "plain"),
            ("time: 2/4", "plain"),
        ] {
            assert_eq!(suited(header), style, "{header}");
        }
    }

    #[test]
    fn every_style_that_is_taken_is_shipped_and_has_the_feel_that_it_is_taken_for() {
        let feel = |header| Library::builtin().style(suited(header)).unwrap().feel;
        assert_eq!(feel(""), Feel::Walking);
        assert_eq!(feel("time: 3/4"), Feel::Walking);
        assert_eq!(feel("feel: in two"), Feel::InTwo);
    }
}
