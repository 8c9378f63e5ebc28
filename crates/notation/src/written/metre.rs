//! Where the strong places of a measure are: for splitting long notes and for beams.

use super::value::SHORTEST;
use crate::{QUARTER, Ticks, TimeSignature};

/// The places of a metre. All places count from where a full measure begins.
#[derive(Clone, Debug)]
pub(crate) struct Metre {
    /// Ends of the groups of beats, the last is the end of a full measure.
    groups: Vec<Ticks>,
    /// The length of a beat that beams do not cross.
    beat: Ticks,
    /// What the lower number counts.
    unit: Ticks,
    /// Whether the beat divides in three.
    pub compound: bool,
}

impl Metre {
    /// The metre of a time signature: 4/4 and 2/2 are two halves, 5/4 is 3 + 2, 6/4 is 3 + 3, 7/4
    /// is 4 + 3, longer ones are threes or else fours where they can be; eighths go in threes where
    /// they can, else in twos with the three where it is usual.
    pub(crate) fn of(time: TimeSignature) -> Self {
        let unit = TimeSignature { beats: 1, ..time }.ticks();
        let beats = time.beats;
        let short = unit < QUARTER;
        let compound = short && beats.is_multiple_of(3) && beats > 0;
        let sizes: Vec<u8> = match beats {
            _ if compound => vec![3; usize::from(beats / 3)],
            4 if !short => vec![2, 2],
            2 if unit == 2 * QUARTER => vec![1, 1],
            5 => vec![3, 2],
            6 if !short => vec![3, 3],
            7 if short => vec![2, 2, 3],
            7 => vec![4, 3],
            8.. if !short && beats.is_multiple_of(3) => vec![3; usize::from(beats / 3)],
            8.. if !short && beats.is_multiple_of(4) => vec![4; usize::from(beats / 4)],
            _ if short => {
                let mut sizes = vec![2; usize::from(beats / 2)];
                sizes.extend((beats % 2 == 1).then_some(1));
                sizes
            }
            _ => vec![beats],
        };
        let mut end = 0;
        let groups = sizes
            .into_iter()
            .map(|size| {
                end += Ticks::from(size) * unit;
                end
            })
            .collect();
        Self {
            groups,
            beat: if compound { 3 * unit } else { QUARTER },
            unit,
            compound,
        }
    }

    /// The length of a full measure.
    pub(crate) fn ticks(&self) -> Ticks {
        self.groups.last().copied().unwrap_or(0)
    }

    /// The ends of groups within a stretch.
    fn borders(&self, from: Ticks, to: Ticks) -> &[Ticks] {
        let end = self.groups.partition_point(|&border| border < to);
        &self.groups[self.group(from).min(end)..end]
    }

    /// Whether one note head from here on hides a place that a player must see: the border of a
    /// group, unless the head fills whole groups or is three quarters of a measure in four; or
    /// more beats than a syncopation does. Places that no head begins at are hidden anyway.
    pub(super) fn hides_under_note(&self, at: Ticks, ticks: Ticks) -> bool {
        if !at.is_multiple_of(SHORTEST) {
            return false;
        }
        let end = at + ticks;
        let within = at - self.group_start(at);
        let borders = self.borders(at, end);
        if borders.is_empty() {
            let off = within % self.beat;
            let hidden = (off + ticks).div_ceil(self.beat) - 1;
            let most = if off == self.beat / 2 { 1 } else { 0 };
            return self.beat == QUARTER && off > 0 && hidden > most;
        }
        let in_four = self.groups.len() == 4;
        if at > 0 && in_four && borders.contains(&self.groups[1]) {
            return true;
        }
        let fills = within == 0 && self.groups.binary_search(&end).is_ok();
        let halves = self.groups.len() == 2 && self.groups[1] == 2 * self.groups[0];
        let three_quarters =
            at == 0 && halves && !self.in_three(at) && 4 * end == 3 * self.groups[1];
        !(fills || three_quarters)
    }

    /// Whether one rest from here on hides a place that a player must see: the border of a group,
    /// or a beat of a group of three that it does not fill.
    pub(super) fn hides_under_rest(&self, at: Ticks, ticks: Ticks) -> bool {
        !self.borders(at, at + ticks).is_empty()
            || (self.in_three(at) && self.unit < ticks && ticks < 3 * self.unit)
    }

    /// Whether a place is in a group of three beats, each of which rests show.
    pub(super) fn in_three(&self, at: Ticks) -> bool {
        let size = self
            .groups
            .get(self.group(at))
            .map(|end| end - self.group_start(at));
        self.unit >= QUARTER && size == Some(3 * self.unit)
    }

    /// The group of beats that a place is in, from 0; beyond the measure every group more is one
    /// beat.
    fn group(&self, at: Ticks) -> usize {
        self.groups.partition_point(|&end| end <= at)
    }

    /// Where the group that a place is in begins.
    fn group_start(&self, at: Ticks) -> Ticks {
        match self.group(at).checked_sub(1) {
            Some(before) => self.groups[before],
            None => 0,
        }
    }

    /// How strong a place is: the higher the better to begin a note there.
    pub(crate) fn strength(&self, at: Ticks) -> u32 {
        if at == 0 || self.groups.binary_search(&at).is_ok() {
            return 20;
        }
        let within = at - self.group_start(at);
        if within.is_multiple_of(self.beat) {
            return 10;
        }
        let mut step = QUARTER / 2;
        let mut strength = 8;
        while step >= SHORTEST {
            if within.is_multiple_of(step) {
                return strength;
            }
            step /= 2;
            strength -= 1;
        }
        0
    }

    /// Which notes share a beam: those of one number.
    pub(crate) fn beam(&self, at: Ticks) -> (usize, Ticks) {
        let group = self.group(at);
        let within = at - self.group_start(at);
        // Eighths in twos and threes are one beam a group.
        let beats = if self.beat == QUARTER && self.is_uneven() {
            0
        } else {
            within / self.beat
        };
        (group, beats)
    }

    /// Whether the groups are of eighths in twos and threes.
    fn is_uneven(&self) -> bool {
        self.groups.iter().any(|end| !end.is_multiple_of(self.beat))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strengths(beats: u8, unit: u8) -> Vec<u32> {
        let time = TimeSignature { beats, unit };
        let metre = Metre::of(time);
        (0..u32::from(beats))
            .map(|beat| metre.strength(beat * time.ticks() / u32::from(beats)))
            .collect()
    }

    #[test]
    fn the_groups_of_a_metre_begin_on_strong_beats() {
        assert_eq!(strengths(4, 4), [20, 10, 20, 10]);
        assert_eq!(strengths(3, 4), [20, 10, 10]);
        assert_eq!(strengths(5, 4), [20, 10, 10, 20, 10]);
        assert_eq!(strengths(6, 4), [20, 10, 10, 20, 10, 10]);
        assert_eq!(strengths(7, 4), [20, 10, 10, 10, 20, 10, 10]);
        assert_eq!(strengths(6, 8), [20, 8, 8, 20, 8, 8]);
        assert_eq!(strengths(7, 8), [20, 8, 20, 8, 20, 8, 10]);
    }

    #[test]
    fn beams_stay_within_a_beat() {
        let beams = |beats, unit| -> Vec<(usize, u32)> {
            let metre = Metre::of(TimeSignature { beats, unit });
            (0..u32::from(beats) * 8 / u32::from(unit))
                .map(|eighth| metre.beam(eighth * QUARTER / 2))
                .collect()
        };
        assert_eq!(
            beams(4, 4),
            [
                (0, 0),
                (0, 0),
                (0, 1),
                (0, 1),
                (1, 0),
                (1, 0),
                (1, 1),
                (1, 1)
            ]
        );
        assert_eq!(
            beams(6, 8),
            [(0, 0), (0, 0), (0, 0), (1, 0), (1, 0), (1, 0)]
        );
        assert_eq!(beams(5, 8), [(0, 0), (0, 0), (0, 0), (1, 0), (1, 0)]);
    }
}
