//! Time signatures → metres of a chart, and the note value that is a beat there.

use linewright_notation::{QUARTER, Ticks, TimeSignature};

use crate::metre::Metre;

/// A metre of a chart, and how long its beat is in the score.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Counted {
    pub(super) metre: Metre,
    pub(super) beat: Ticks,
}

/// How a chart counts a time signature; `None` where it cannot.
pub(super) fn counted(time: TimeSignature) -> Option<Counted> {
    let dotted = time.unit == 8 && time.beats >= 6 && time.beats.is_multiple_of(3);
    let beat = if dotted { QUARTER / 2 * 3 } else { QUARTER };
    of_length(time.ticks(), beat)
}

/// The metre of so many ticks, counted in such beats.
pub(super) fn of_length(ticks: Ticks, beat: Ticks) -> Option<Counted> {
    if !ticks.is_multiple_of(beat) {
        return None;
    }
    let beats = u8::try_from(ticks / beat).ok()?;
    let metre = Metre::new(beats, 4)?;
    Some(Counted { metre, beat })
}

/// A tempo in quarter notes as one in such beats, rounded.
pub(super) fn beats_a_minute(quarters: u16, beat: Ticks) -> u16 {
    let scaled = u64::from(quarters) * u64::from(QUARTER);
    let beat = u64::from(beat.max(1));
    u16::try_from((scaled + beat / 2) / beat).unwrap_or(u16::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metres_are_counted_in_quarters_or_dotted_quarters_or_not_at_all() {
        let told = |beats, unit| {
            counted(TimeSignature { beats, unit })
                .map(|c| (c.metre.to_string(), c.beat * 2 / QUARTER))
        };
        for (beats, unit, metre, eighths) in [
            (4, 4, "4/4", 2),
            (7, 4, "7/4", 2),
            (2, 2, "4/4", 2),
            (3, 2, "6/4", 2),
            (4, 8, "2/4", 2),
            (6, 8, "2/4", 3),
            (9, 8, "3/4", 3),
            (12, 8, "4/4", 3),
        ] {
            assert_eq!(
                told(beats, unit),
                Some((metre.to_owned(), eighths)),
                "{beats}/{unit}"
            );
        }
        for (beats, unit) in [(1, 4), (8, 4), (3, 8), (5, 8), (7, 8), (4, 2), (0, 4)] {
            assert_eq!(told(beats, unit), None, "{beats}/{unit}");
        }
    }

    #[test]
    fn a_tempo_of_dotted_quarters_is_two_thirds() {
        assert_eq!(beats_a_minute(120, QUARTER), 120);
        assert_eq!(beats_a_minute(180, QUARTER / 2 * 3), 120);
    }
}
