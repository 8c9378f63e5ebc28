//! How surely a bar's notes name their chord, worked out from the definition note by note.
//!
//! Every chord of a small vocabulary on every other root is a rival. A note speaks for a chord by
//! what it is to it, the more the stronger its place in the bar; notes with one sign in the cell
//! share what they say. Clarity is how far the true chord is ahead of its best rival, in
//! milli-nats. The figures are common practice, no source.

use std::ops::Range;

use linewright_theory::Member;

use super::Judge;

/// A bar at least this clear names its chord.
pub(super) const CLEAR: i32 = 1500;

/// A bar at most this clear counts as unclear.
pub const UNCLEAR: i32 = 800;

/// What the true chord is ahead before a note is heard: the band plays it.
const AHEAD: i32 = 800;

/// A chord by its third, fifth and seventh above its root, and the other notes of its plainest
/// scale.
type Quality = ([u8; 3], &'static [u8]);

/// The seventh chords that a line can spell.
const VOCABULARY: [Quality; 6] = [
    ([4, 7, 11], &[2, 5, 9]),
    ([4, 7, 10], &[2, 5, 9]),
    ([3, 7, 10], &[2, 5, 9]),
    ([3, 7, 9], &[2, 5, 11]),
    ([3, 6, 10], &[1, 5, 8]),
    ([3, 6, 9], &[2, 5, 8, 11]),
];

/// What a note says for a chord to which it is this.
fn says(member: Member) -> i32 {
    match member {
        Member::Root => -1100,
        Member::Third => -1600,
        Member::Fifth => -1650,
        Member::Seventh => -2000,
        Member::Colour => -3000,
        Member::Scale => -3400,
        Member::Outside => -4600,
    }
}

/// What a note so many semitones above the root of a chord of the vocabulary is to it.
fn to_rival((tones, others): &Quality, offset: u8) -> Member {
    match tones.iter().position(|tone| *tone == offset) {
        _ if offset == 0 => Member::Root,
        Some(0) => Member::Third,
        Some(1) => Member::Fifth,
        Some(_) => Member::Seventh,
        None if others.contains(&offset) => Member::Scale,
        None => Member::Outside,
    }
}

impl Judge<'_> {
    /// How surely a bar that has notes names its chord: the first part of a bar of more than four notes, and the
    /// mean over its chords where there are several.
    pub fn clarity(&self, bar: usize) -> i32 {
        let row = self.first_part(bar);
        let mut stretches: Vec<Range<usize>> = Vec::new();
        for at in row {
            match stretches.last_mut() {
                Some(stretch) if !self.is_new_chord(at) => stretch.end = at + 1,
                _ => stretches.push(at..at + 1),
            }
        }
        let count = stretches.len() as i32;
        let sum: i32 = stretches.into_iter().map(|row| self.ahead(row)).sum();
        sum / count
    }

    /// How far the chord of these notes is ahead of its best rival.
    fn ahead(&self, row: Range<usize>) -> i32 {
        let root = self.slot(row.start).ground.chord.root.class().get();
        let evidence = |of: &dyn Fn(u8, Member) -> Member| -> i32 {
            row.clone().map(|at| self.evidence(at, of)).sum()
        };
        let truth = evidence(&|_, member| member);
        let rivals = (1..12).flat_map(|above| {
            VOCABULARY
                .iter()
                .map(move |quality| (root + above, quality))
        });
        let best = rivals
            .map(|(root, quality)| {
                evidence(&|class, _| to_rival(quality, (class + 24 - root) % 12))
            })
            .max();
        AHEAD + truth - best.expect("rivals")
    }

    /// What a note says for a chord; `of` tells what a pitch class is to that.
    fn evidence(&self, at: usize, of: &dyn Fn(u8, Member) -> Member) -> i32 {
        let slot = self.slot(at);
        let weight = if self.is_beat_one(at) {
            1500
        } else if self.is_strong(at) {
            1100
        } else if slot.position + 1 == slot.of {
            // It may lead elsewhere.
            800
        } else {
            900
        };
        let standing = &self.standings[at];
        let sign = standing.sign(self.notes[at].class().get());
        let share = standing.with_sign(sign).count() as i32;
        standing
            .with_sign(sign)
            .map(|(class, member)| says(of(class, member)) * weight / 1000 / share)
            .sum()
    }
}
