//! Note values: how a length is written.

use linewright_notation::{QUARTER, Ticks};

use crate::glyph::Glyph;

const WHOLE: Ticks = 4 * QUARTER;
/// The shortest value that is written.
const SHORTEST: Ticks = QUARTER / 16;
/// A longer length is drawn as one whole note.
const LONGEST: Ticks = 8 * WHOLE;

/// A written note value.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) struct Value {
    /// How often a whole note is halved: 0 whole, 2 quarter, 3 eighth, up to 6.
    pub halvings: u8,
    /// Whether it has a dot.
    pub dotted: bool,
    /// The number of its tuplet: 3, 5 or 7.
    pub tuplet: Option<u8>,
}

impl Value {
    pub(crate) const WHOLE: Value = Value::plain(0);

    const fn plain(halvings: u8) -> Value {
        Value {
            halvings,
            dotted: false,
            tuplet: None,
        }
    }

    /// Its length.
    pub(crate) fn ticks(self) -> Ticks {
        let plain = WHOLE >> self.halvings;
        match self.tuplet {
            Some(3) => plain * 2 / 3,
            Some(5) => plain * 4 / 5,
            Some(7) => plain * 4 / 7,
            _ if self.dotted => plain * 3 / 2,
            _ => plain,
        }
    }

    /// The value of exactly this length.
    pub(crate) fn of(ticks: Ticks) -> Option<Value> {
        let shapes = [
            (false, None),
            (true, None),
            (false, Some(3)),
            (false, Some(5)),
            (false, Some(7)),
        ];
        shapes.into_iter().find_map(|(dotted, tuplet)| {
            (0..=6)
                .map(|halvings| Value {
                    halvings,
                    dotted,
                    tuplet,
                })
                .find(|value| value.ticks() == ticks)
        })
    }

    /// How many beams or flags it has.
    pub(crate) fn beams(self) -> u8 {
        self.halvings.saturating_sub(2)
    }

    pub(crate) fn head(self, ghost: bool) -> Glyph {
        match self.halvings {
            0 => Glyph::HeadWhole,
            1 => Glyph::HeadHalf,
            _ if ghost => Glyph::HeadCross,
            _ => Glyph::HeadBlack,
        }
    }

    pub(crate) fn rest(self) -> Glyph {
        match self.halvings {
            0 => Glyph::RestWhole,
            1 => Glyph::RestHalf,
            2 => Glyph::RestQuarter,
            3 => Glyph::Rest8,
            4 => Glyph::Rest16,
            5 => Glyph::Rest32,
            _ => Glyph::Rest64,
        }
    }

    /// The flags of a note that stands alone.
    pub(crate) fn flag(self, up: bool) -> Option<Glyph> {
        let (above, below) = match self.beams() {
            0 => return None,
            1 => (Glyph::Flag8Up, Glyph::Flag8Down),
            2 => (Glyph::Flag16Up, Glyph::Flag16Down),
            3 => (Glyph::Flag32Up, Glyph::Flag32Down),
            _ => (Glyph::Flag64Up, Glyph::Flag64Down),
        };
        Some(if up { above } else { below })
    }
}

/// The values of a note of any length: several, to be tied, where none fits.
pub(crate) fn of_note(ticks: Ticks) -> Vec<(Ticks, Value)> {
    if let Some(value) = Value::of(ticks) {
        return vec![(ticks, value)];
    }
    if ticks >= LONGEST {
        return vec![(ticks, Value::plain(0))];
    }
    // Whole bars of five and seven read best as written in three and two, four and three.
    let first = match ticks {
        t if t == 5 * QUARTER => Some(3 * QUARTER),
        t if t == 7 * QUARTER => Some(4 * QUARTER),
        _ => None,
    };
    let mut left = ticks;
    let mut values = Vec::new();
    while left >= SHORTEST {
        let next = first
            .filter(|_| values.is_empty())
            .and_then(Value::of)
            .or_else(|| Value::of(left))
            .or_else(|| largest(left, true));
        let Some(value) = next else { break };
        values.push((value.ticks(), value));
        left -= value.ticks();
    }
    if values.is_empty() {
        values.push((ticks, Value::of(ticks).unwrap_or(Value::plain(6))));
    }
    values
}

/// The rests that fill a silence from one tick of a measure to another.
pub(crate) fn of_silence(from: Ticks, to: Ticks) -> Vec<(Ticks, Value)> {
    let mut at = from;
    let mut values = Vec::new();
    if to - from >= LONGEST {
        return vec![(to - from, Value::plain(0))];
    }
    while to - at >= SHORTEST {
        let left = to - at;
        let beat = QUARTER - at % QUARTER;
        // Up to the next beat first, then the longest that begin on their own grid.
        let value = if beat < QUARTER {
            Value::of(left.min(beat)).or_else(|| largest(left.min(beat), false))
        } else {
            (0..=6)
                .map(Value::plain)
                .find(|v| v.ticks() <= left && at.is_multiple_of(v.ticks()))
                .filter(|v| v.halvings <= 2 || Value::of(left).is_none())
                .or_else(|| Value::of(left))
        };
        let Some(value) = value else { break };
        values.push((value.ticks(), value));
        at += value.ticks();
    }
    values
}

fn largest(ticks: Ticks, dots: bool) -> Option<Value> {
    (0..=6)
        .flat_map(|halvings| {
            let plain = Value::plain(halvings);
            let dotted = Value {
                dotted: true,
                ..plain
            };
            [dotted, plain]
        })
        .find(|value| (dots || !value.dotted) && value.ticks() <= ticks)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn halvings(values: &[(Ticks, Value)]) -> Vec<(u8, bool)> {
        values.iter().map(|(_, v)| (v.halvings, v.dotted)).collect()
    }

    #[test]
    fn every_value_is_found_by_its_length() {
        for halvings in 0..=6 {
            for (dotted, tuplet) in [
                (false, None),
                (true, None),
                (false, Some(3)),
                (false, Some(5)),
                (false, Some(7)),
            ] {
                let value = Value {
                    halvings,
                    dotted,
                    tuplet,
                };
                assert_eq!(Value::of(value.ticks()), Some(value));
            }
        }
    }

    #[test]
    fn notes_of_five_and_seven_quarters_are_tied() {
        assert_eq!(halvings(&of_note(5 * QUARTER)), [(1, true), (1, false)]);
        assert_eq!(halvings(&of_note(7 * QUARTER)), [(0, false), (1, true)]);
        let odd = of_note(2 * QUARTER + QUARTER / 2);
        assert_eq!(halvings(&odd), [(1, false), (3, false)]);
    }

    #[test]
    fn values_fill_any_length_but_for_less_than_a_64th() {
        for ticks in (0..40 * QUARTER).step_by(97) {
            let written: Ticks = of_note(ticks).iter().map(|(t, _)| t).sum();
            assert!(!of_note(ticks).is_empty());
            if ticks >= SHORTEST {
                assert!(written <= ticks && ticks - written < SHORTEST, "{ticks}");
            }
        }
        assert_eq!(of_note(u32::MAX).len(), 1);
        assert_eq!(of_silence(0, u32::MAX).len(), 1);
    }

    #[test]
    fn silences_fill_up_the_beat_first() {
        let half_beat = QUARTER / 2;
        assert_eq!(
            halvings(&of_silence(half_beat, 4 * QUARTER)),
            [(3, false), (2, false), (1, false)]
        );
        assert_eq!(
            halvings(&of_silence(0, 3 * QUARTER)),
            [(1, false), (2, false)]
        );
        let third = QUARTER / 3;
        let rest = of_silence(third, QUARTER);
        assert_eq!(rest[0].1.tuplet, Some(3));
        assert_eq!(rest.len(), 1);
    }
}
