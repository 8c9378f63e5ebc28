//! Where notes begin: the times at which they were played → places on beats.

use super::file::Time;
use super::measures::Bars;
use crate::score::QUARTER;

const Q: i64 = QUARTER as i64;

/// How early a note may come before a beat and still be on it.
const EARLY: Time = QUARTER as Time / 6;

/// Notes this close together begin together.
const TOGETHER: i64 = Q / 16;

/// How a beat can be divided when somebody played it, and what each division costs: the less
/// simple it is, the nearer its places must be. Our own numbers, no source.
const DIVISIONS: [(i64, i64); 5] = [
    (1, 0),
    (2, 2 * Q / 100),
    (3, 3 * Q / 100),
    (4, 9 * Q / 100),
    (6, 20 * Q / 100),
];

/// What it costs when the first third of a beat is played and the last is not, as nobody swings.
const BACKWARDS: i64 = 6 * Q / 100;

/// How a beat can be divided when its notes stand exactly on the places, and how many notes it
/// must have: a note by itself on five eighths of a beat is a swung one.
const EXACT: [(i64, usize); 7] = [(1, 0), (2, 0), (3, 0), (4, 0), (6, 0), (8, 3), (12, 3)];

/// The places of notes that begin at these times, which are in order. They stay in order.
pub(super) fn places(times: &[Time], bars: &Bars, ppq: u16) -> Vec<Time> {
    exact(times, bars, ppq).unwrap_or_else(|| played(times, bars))
}

/// The places, if all notes stand on one to within the rounding of their ticks.
fn exact(times: &[Time], bars: &Bars, ppq: u16) -> Option<Vec<Time>> {
    let rounding = Q / (2 * i64::from(ppq)) + 1;
    let mut places = Vec::with_capacity(times.len());
    let mut rest = times;
    while let Some(&first) = rest.first() {
        let (beat, length) = bars.beat(first);
        let next = beat + Time::from(length);
        let count = rest.partition_point(|&time| time < next);
        let offsets: Vec<i64> = rest[..count]
            .iter()
            .map(|time| (time - beat) as i64)
            .collect();
        let (division, _) = EXACT
            .into_iter()
            .filter(|(_, least)| count >= *least)
            .filter_map(|(division, _)| {
                let errors = offsets.iter().map(|offset| {
                    let place = nearest(*offset, division) * Q / division;
                    (offset - place).abs()
                });
                let worst = errors.clone().max().unwrap_or(0);
                (worst <= rounding).then_some((division, errors.sum::<i64>()))
            })
            .min_by_key(|(division, error)| (error / 2, *division))?;
        let place = |offset: &i64| beat + (nearest(*offset, division) * Q / division) as Time;
        places.extend(offsets.iter().map(place));
        rest = &rest[count..];
    }
    Some(places)
}

/// The number of the nearest place when a beat is divided so.
fn nearest(offset: i64, division: i64) -> i64 {
    (offset * division + Q / 2).div_euclid(Q)
}

/// The places that somebody most likely meant, beat by beat.
fn played(times: &[Time], bars: &Bars) -> Vec<Time> {
    let mut places = Vec::with_capacity(times.len());
    let mut rest = times;
    while let Some(&first) = rest.first() {
        let beat = meant_beat(first, bars);
        let count = rest
            .iter()
            .position(|&time| meant_beat(time, bars) != beat)
            .unwrap_or(rest.len());
        let (_, length) = bars.beat(beat);
        let offsets: Vec<i64> = rest[..count]
            .iter()
            .map(|&time| time as i64 - beat as i64)
            .collect();
        let offset = |place: i64| (beat as i64 + place).max(0) as Time;
        places.extend(divided(&offsets, i64::from(length)).into_iter().map(offset));
        rest = &rest[count..];
    }
    places
}

/// The beat that a note belongs to: the next one when it comes just before it.
fn meant_beat(time: Time, bars: &Bars) -> Time {
    let (beat, length) = bars.beat(time);
    let next = beat + Time::from(length);
    if time + EARLY > next && time > beat {
        next
    } else {
        beat
    }
}

/// Offsets from a beat → places in it, under the division that costs least.
fn divided(offsets: &[i64], length: i64) -> Vec<i64> {
    let mut best: Option<(i64, Vec<i64>)> = None;
    for (division, price) in DIVISIONS {
        let last = (length * division - 1) / Q;
        let places: Vec<i64> = offsets
            .iter()
            .map(|&offset| nearest(offset, division).clamp(0, last) * Q / division)
            .collect();
        let moved: i64 = offsets
            .iter()
            .zip(&places)
            .map(|(a, b)| (a - b).abs())
            .sum();
        let pairs = offsets.windows(2).zip(places.windows(2));
        let lost = pairs
            .filter(|(played, placed)| placed[0] == placed[1] && played[1] - played[0] > TOGETHER)
            .count() as i64;
        let on = |third: i64| places.contains(&(third * Q / 3));
        let backwards = if division == 3 && on(1) && !on(2) {
            BACKWARDS
        } else {
            0
        };
        let cost = price + moved + lost * Q + backwards;
        if best.as_ref().is_none_or(|(least, _)| cost < *least) {
            best = Some((cost, places));
        }
    }
    best.map_or_else(Vec::new, |(_, places)| places)
}

#[cfg(test)]
mod tests {
    use linewright_diagnostic::Diagnostics;

    use super::*;

    fn bars() -> Bars {
        Bars::new(&[], 64 * Q as Time, &mut Diagnostics::default())
    }

    /// Places in hundredths of a beat, of times in hundredths.
    fn placed(hundredths: &[i64]) -> Vec<i64> {
        let times: Vec<Time> = hundredths.iter().map(|h| (h * Q / 100) as Time).collect();
        // One tick more than any grid has, so that nothing counts as exact.
        played(&times, &bars())
            .into_iter()
            .map(|place| (place as i64 * 100 + Q / 2) / Q)
            .collect()
    }

    #[test]
    fn quarters_played_by_a_person_stand_on_their_beats() {
        assert_eq!(
            placed(&[3, 95, 204, 313, 388, 516]),
            [0, 100, 200, 300, 400, 500]
        );
    }

    #[test]
    fn eighths_swung_pairs_triplets_and_sixteenths_are_told_apart() {
        assert_eq!(placed(&[1, 52, 98, 149]), [0, 50, 100, 150]);
        assert_eq!(placed(&[1, 64, 103, 170]), [0, 67, 100, 167]);
        assert_eq!(placed(&[0, 35, 64, 101]), [0, 33, 67, 100]);
        assert_eq!(placed(&[2, 24, 51, 77]), [0, 25, 50, 75]);
        assert_eq!(placed(&[67]), [67]);
        assert_eq!(placed(&[4, 41, 97]), [0, 50, 100]);
    }

    #[test]
    fn notes_that_begin_together_share_a_place_and_others_do_not() {
        assert_eq!(placed(&[0, 3, 104, 105]), [0, 0, 100, 100]);
        assert_eq!(placed(&[5, 18]).len(), 2);
        assert_ne!(placed(&[5, 28])[0], placed(&[5, 28])[1]);
    }

    #[test]
    fn exact_places_are_kept_at_any_resolution_and_played_ones_are_not_exact() {
        for ppq in [4u16, 12, 24, 96, 100, 120, 128, 384, 480, 960, 1024, 15360] {
            let time = |tick: i64| ((tick * Q + i64::from(ppq) / 2) / i64::from(ppq)) as Time;
            let at = |part: i64, of: i64| (i64::from(ppq) * part * 2 + of) / (2 * of);
            let parts: &[(i64, i64)] = match ppq {
                4 => &[(0, 1), (1, 4), (1, 2), (1, 1), (3, 2)],
                _ => &[
                    (0, 1),
                    (1, 4),
                    (1, 2),
                    (3, 4),
                    (1, 1),
                    (4, 3),
                    (5, 3),
                    (5, 2),
                ],
            };
            let times: Vec<Time> = parts.iter().map(|&(p, of)| time(at(p, of))).collect();
            let wanted: Vec<Time> = parts.iter().map(|&(p, of)| (p * Q / of) as Time).collect();
            assert_eq!(exact(&times, &bars(), ppq), Some(wanted), "{ppq}");
        }
        let late: Vec<Time> = [3, 104].iter().map(|h| (h * Q / 100) as Time).collect();
        assert_eq!(exact(&late, &bars(), 480), None);
    }

    #[test]
    fn places_keep_their_order() {
        let mut state = 1u64;
        let mut times: Vec<Time> = (0..2000)
            .map(|_| {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1);
                (state >> 40) % (60 * Q as Time)
            })
            .collect();
        times.sort_unstable();
        assert!(played(&times, &bars()).is_sorted());
    }
}
