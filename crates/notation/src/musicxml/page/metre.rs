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
    /// Whether the beat divides in three.
    pub compound: bool,
}

impl Metre {
    /// The metre of a time signature: 4/4 is 2 + 2, 5/4 is 3 + 2, 6/4 is 3 + 3, 7/4 is 4 + 3;
    /// eighths go in threes where they can, else in twos with the three where it is usual.
    pub(crate) fn of(time: TimeSignature) -> Self {
        let unit = TimeSignature { beats: 1, ..time }.ticks();
        let beats = time.beats;
        let short = unit < QUARTER;
        let compound = short && beats.is_multiple_of(3) && beats > 0;
        let sizes: Vec<u8> = match beats {
            _ if compound => vec![3; usize::from(beats / 3)],
            4 if !short => vec![2, 2],
            5 => vec![3, 2],
            6 if !short => vec![3, 3],
            7 if short => vec![2, 2, 3],
            7 => vec![4, 3],
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
            compound,
        }
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
        if at == 0 || self.groups.contains(&at) {
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
