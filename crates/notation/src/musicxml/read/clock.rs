//! Time in a measure, from divisions to ticks.

use crate::written::LONGEST;
use crate::{QUARTER, Ticks};

/// A length in millionths of a division.
pub(super) type Length = i64;

/// Millionths of a division.
const ONE: Length = 1_000_000;

/// Where in a measure the file has come to.
#[derive(Clone, Debug)]
pub(super) struct Clock {
    /// Where the present number of divisions began to count.
    base: Ticks,
    /// How far since then.
    since: Length,
    /// Divisions of a quarter note.
    divisions: Length,
}

/// What happened on the way.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Moved {
    /// Nothing.
    Exactly,
    /// The place is between two ticks.
    Rounded,
    /// The move would leave the measure.
    Stopped,
}

impl Clock {
    /// At the beginning of a measure, a quarter note being one division.
    pub(super) fn new() -> Self {
        Self {
            base: 0,
            since: 0,
            divisions: ONE,
        }
    }

    /// A bar line.
    pub(super) fn restart(&mut self) {
        (self.base, self.since) = (0, 0);
    }

    /// Other divisions from here on.
    pub(super) fn divide(&mut self, divisions: Length) {
        self.base = self.now();
        (self.since, self.divisions) = (0, divisions.max(1));
    }

    /// The place in ticks, the nearest.
    pub(super) fn now(&self) -> Ticks {
        self.at(self.since).0
    }

    /// The place so far from here, which may be before or after it.
    pub(super) fn after(&self, length: Length) -> Ticks {
        self.at(self.since.saturating_add(length)).0
    }

    fn at(&self, since: Length) -> (Ticks, Moved) {
        let (scaled, divisions) = (
            i128::from(since) * i128::from(QUARTER),
            i128::from(self.divisions),
        );
        let ticks = (2 * scaled + divisions).div_euclid(2 * divisions) + i128::from(self.base);
        if scaled + i128::from(self.base) * divisions < 0 {
            return (0, Moved::Stopped);
        }
        match Ticks::try_from(ticks) {
            Ok(ticks) if ticks <= LONGEST && scaled % divisions == 0 => (ticks, Moved::Exactly),
            Ok(ticks) if ticks <= LONGEST => (ticks, Moved::Rounded),
            _ => (LONGEST, Moved::Stopped),
        }
    }

    /// Goes forward by a length in ticks.
    pub(super) fn go_ticks(&mut self, ticks: Ticks) {
        self.base = self.now().saturating_add(ticks).min(LONGEST);
        self.since = 0;
    }

    /// Goes forward, or back if the length is negative.
    pub(super) fn go(&mut self, length: Length) -> Moved {
        let since = self.since.saturating_add(length);
        let (ticks, moved) = self.at(since);
        if moved == Moved::Stopped {
            (self.base, self.since) = (ticks, 0);
        } else {
            self.since = since;
        }
        moved
    }
}

/// A decimal number in millionths; at most nine digits before the point count, and six after it.
pub(super) fn decimal(text: &str) -> Option<i64> {
    let text = text.trim();
    let (negative, digits) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let plain = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
    if !plain(whole) || !plain(part) || whole.len() + part.len() == 0 || whole.len() > 9 {
        return None;
    }
    let whole: i64 = format!("0{whole}").parse().ok()?;
    let part: i64 = format!("{part:0<6}")[..6].parse().ok()?;
    let value = whole * ONE + part;
    Some(if negative { -value } else { value })
}

/// The nearest whole number to one in millionths, and whether it is exact.
pub(super) fn whole(millionths: i64) -> (i64, bool) {
    let nearest = (2 * millionths + ONE).div_euclid(2 * ONE);
    (nearest, millionths % ONE == 0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_read_exactly_and_nonsense_is_not() {
        assert_eq!(decimal("12"), Some(12_000_000));
        assert_eq!(decimal(" -0.5 "), Some(-500_000));
        assert_eq!(decimal("+.25"), Some(250_000));
        assert_eq!(decimal("3."), Some(3_000_000));
        assert_eq!(decimal("1.23456789"), Some(1_234_567));
        for text in ["", ".", "-", "1e5", "0x1", "1,5", "1234567890", "１"] {
            assert_eq!(decimal(text), None, "{text}");
        }
        assert_eq!(whole(1_500_000), (2, false));
        assert_eq!(whole(-2_000_000), (-2, true));
    }

    #[test]
    fn thirds_of_a_quarter_add_up_whatever_the_divisions() {
        for divisions in ["3", "480", "10080", "6720", "1.5"] {
            let length = decimal(divisions).unwrap();
            let mut clock = Clock::new();
            clock.divide(length);
            for _ in 0..3 {
                assert_ne!(clock.go(length / 3), Moved::Stopped);
            }
            assert_eq!(clock.now(), QUARTER, "{divisions}");
        }
    }

    #[test]
    fn the_clock_stops_at_the_ends_of_the_measure() {
        let mut clock = Clock::new();
        assert_eq!(clock.go(-1), Moved::Stopped);
        assert_eq!(clock.now(), 0);
        assert_eq!(clock.go(i64::MAX), Moved::Stopped);
        assert_eq!(clock.now(), LONGEST);
        clock.restart();
        clock.divide(7 * ONE);
        assert_eq!(clock.go(ONE / 2), Moved::Exactly);
        assert_eq!(clock.now(), 480);
        assert_eq!(clock.go(1), Moved::Rounded);
        assert_eq!(clock.now(), 480);
    }
}
