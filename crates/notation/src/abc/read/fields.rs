//! The fields that hold numbers: metre, unit length, tempo.

use crate::{QUARTER, Ticks, TimeSignature};

/// What an `M:` field says.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Metre {
    Time(TimeSignature),
    /// `none`: measures of any length.
    Free,
}

/// Reads `4/4`, `C`, `C|`, `none`, `2+3/8`, `(2+2+3)/8`. Of several metres, the first.
pub(super) fn metre(text: &str) -> Option<Metre> {
    let text = text.trim();
    let time = |beats, unit| Some(Metre::Time(TimeSignature { beats, unit }));
    match text {
        "C" | "c" => return time(4, 4),
        "C|" | "c|" | "¢" => return time(2, 2),
        "none" | "None" | "" => return Some(Metre::Free),
        _ => {}
    }
    let (over, under) = text.split_once('/')?;
    let under = under.split_whitespace().next()?;
    let sum = over.split('+').try_fold(0u8, |sum, part| {
        let number = part.trim_matches(['(', ')', ' ']).parse::<u8>().ok()?;
        sum.checked_add(number)
    })?;
    let unit: u8 = under.parse().ok()?;
    (sum > 0 && unit.is_power_of_two() && unit <= 64).then_some(())?;
    time(sum, unit)
}

/// Reads a unit length, `1/8`, as ticks.
pub(super) fn unit(text: &str) -> Option<Ticks> {
    let (over, under) = match text.trim().split_once('/') {
        Some((over, under)) => (over, under),
        None => (text.trim(), "1"),
    };
    let over: Ticks = over
        .trim()
        .parse()
        .ok()
        .filter(|over| (1..=4).contains(over))?;
    let under: Ticks = under.trim().parse().ok()?;
    let fits = under.is_power_of_two() && under <= 256;
    fits.then(|| 4 * QUARTER / under * over)
}

/// The unit length where no `L:` tells one: a sixteenth in metres shorter than 3/4, else an
/// eighth.
pub(super) fn default_unit(metre: Option<Metre>) -> Ticks {
    match metre {
        Some(Metre::Time(time)) if time.ticks() < 3 * QUARTER => QUARTER / 4,
        _ => QUARTER / 2,
    }
}

/// What a `Q:` field says.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Tempo {
    /// Quarter notes a minute.
    Quarters(u16),
    /// Words only.
    Words,
}

/// Reads `1/4=120`, `3/8=120`, `"Slow" 1/2=60`, and the older `120` and `C=120`, which count unit
/// lengths.
pub(super) fn tempo(text: &str, unit: Ticks) -> Option<Tempo> {
    let mut words = false;
    let mut outside = String::new();
    for (at, part) in text.split('"').enumerate() {
        if at % 2 == 0 {
            outside.push_str(part);
        } else {
            words = true;
        }
    }
    let text = outside.trim();
    if text.is_empty() {
        return words.then_some(Tempo::Words);
    }
    let (beat, rate) = match text.split_once('=') {
        Some((beat, rate)) => (beats(beat, unit)?, rate),
        None => (u64::from(unit), text),
    };
    let rate: f64 = rate.trim().parse().ok()?;
    (rate.is_finite() && rate > 0.0 && rate < 10_000.0).then_some(())?;
    let quarters = rate * beat as f64 / f64::from(QUARTER);
    let whole = (quarters + 0.5) as u32;
    u16::try_from(whole)
        .ok()
        .filter(|whole| *whole > 0)
        .map(Tempo::Quarters)
}

/// The ticks of a beat: `1/4`, `1/4 3/8`, `C3`.
fn beats(text: &str, unit: Ticks) -> Option<u64> {
    let text = text.trim();
    if let Some(count) = text.strip_prefix(['C', 'c']) {
        let count: u64 = if count.is_empty() {
            1
        } else {
            count.parse().ok()?
        };
        return (1..=64).contains(&count).then(|| count * u64::from(unit));
    }
    let mut sum = 0;
    for part in text.split_whitespace() {
        let (over, under) = part.split_once('/')?;
        let over: u64 = over.parse().ok().filter(|over| (1..=64).contains(over))?;
        let under: u64 = under
            .parse()
            .ok()
            .filter(|under| (1..=64).contains(under))?;
        sum += 4 * u64::from(QUARTER) * over / under;
    }
    (sum > 0 && sum < 1 << 24).then_some(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(beats: u8, unit: u8) -> Option<Metre> {
        Some(Metre::Time(TimeSignature { beats, unit }))
    }

    #[test]
    fn metres_are_read_in_every_spelling() {
        assert_eq!(metre(" 6/8 "), time(6, 8));
        assert_eq!(metre("C"), time(4, 4));
        assert_eq!(metre("C|"), time(2, 2));
        assert_eq!(metre("(2+2+3)/8"), time(7, 8));
        assert_eq!(metre("3/4 6/8"), time(3, 4));
        assert_eq!(metre("none"), Some(Metre::Free));
        for text in ["4", "0/4", "4/0", "4/3", "255+1/4", "x/4", "4/128", "4/"] {
            assert_eq!(metre(text), None, "{text}");
        }
    }

    #[test]
    fn the_unit_follows_the_metre_where_it_is_not_told() {
        assert_eq!(unit("1/8"), Some(QUARTER / 2));
        assert_eq!(unit("1"), Some(4 * QUARTER));
        assert_eq!(unit("1/3"), None);
        assert_eq!(unit("0/8"), None);
        assert_eq!(default_unit(metre("2/4")), QUARTER / 4);
        assert_eq!(default_unit(metre("6/8")), QUARTER / 2);
        assert_eq!(default_unit(metre("C|")), QUARTER / 2);
        assert_eq!(default_unit(None), QUARTER / 2);
    }

    #[test]
    fn tempos_are_told_in_quarters() {
        let eighth = QUARTER / 2;
        let quarters = |text| tempo(text, eighth);
        assert_eq!(quarters("1/4=120"), Some(Tempo::Quarters(120)));
        assert_eq!(quarters("3/8 = 100"), Some(Tempo::Quarters(150)));
        assert_eq!(
            quarters("\"Slow\" 1/2=56 \"ish\""),
            Some(Tempo::Quarters(112))
        );
        assert_eq!(
            quarters("240"),
            Some(Tempo::Quarters(120)),
            "older: unit lengths"
        );
        assert_eq!(quarters("C3=80"), Some(Tempo::Quarters(120)));
        assert_eq!(quarters("\"Allegro\""), Some(Tempo::Words));
        for text in [
            "", "1/4=", "1/0=3", "1/4=inf", "=1", "1/4=0", "99999", "1/4=-3",
        ] {
            assert_eq!(quarters(text), None, "{text}");
        }
    }
}
