//! A line in numbers: what a teacher would mention.

use linewright_compose::Line;
use linewright_rulebook::plan::Beat;
use linewright_rulebook::{Family, Place, Rule};
use linewright_theory::{Degree, Pitch};

/// So many of so many.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Share {
    /// How many are so.
    pub of: usize,
    /// How many there are.
    pub all: usize,
}

impl Share {
    pub(crate) fn count(&mut self, is_so: bool) {
        self.all += 1;
        self.of += usize::from(is_so);
    }
}

/// A line in numbers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Counts {
    /// Beats one that are the root.
    pub roots_on_one: Share,
    /// The degrees on beat one besides the root, most frequent first.
    pub other_degrees_on_one: Vec<(Degree, usize)>,
    /// Moves into beat one that are half steps.
    pub half_steps_into_one: Share,
    /// Moves into beat one that are half or whole steps.
    pub steps_into_one: Share,
    /// Moves that are steps or thirds.
    pub steps_and_thirds: Share,
    /// Immediate repeats.
    pub repeats: Share,
    /// The widest move: semitones either way, and the slot that it leads into.
    pub widest: Option<(i32, usize)>,
    /// The lowest and the highest note.
    pub range: Option<(Pitch, Pitch)>,
    /// The tensest bar and the bar that lets go most after it: indices in the timeline.
    pub peak: Option<usize>,
    /// The first bar after the peak that is calmer by far.
    pub release: Option<usize>,
    /// How often each rule on approaches and cadences was found, in the order of the rules.
    pub devices: Vec<(&'static Rule, usize)>,
    /// Findings that cost marks in the style: rule and place.
    pub faults: Vec<(&'static Rule, Place)>,
}

impl Counts {
    /// Counts a line.
    pub fn of(line: &Line) -> Self {
        let mut counts = Self::default();
        let (slots, notes) = (&line.plan.slots, &line.reading.notes);
        let mut others: Vec<(Degree, usize)> = Vec::new();
        for (at, (slot, note)) in slots.iter().zip(notes).enumerate() {
            let interval = at
                .checked_sub(1)
                .map(|before| i32::from(note.pitch.midi()) - i32::from(notes[before].pitch.midi()));
            if slot.strength == Beat::Down {
                let is_root = slot.ground.line_root == note.pitch.class();
                counts.roots_on_one.count(is_root);
                if !is_root {
                    match others.iter_mut().find(|(degree, _)| *degree == note.degree) {
                        Some((_, count)) => *count += 1,
                        None => others.push((note.degree, 1)),
                    }
                }
            }
            let Some(interval) = interval else { continue };
            let size = interval.abs();
            if slot.strength == Beat::Down {
                counts.half_steps_into_one.count(size == 1);
                counts.steps_into_one.count(matches!(size, 1 | 2));
            }
            counts.steps_and_thirds.count((1..=4).contains(&size));
            counts.repeats.count(size == 0);
            if counts.widest.is_none_or(|(widest, _)| size > widest) {
                counts.widest = Some((size, at));
            }
        }
        others.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        counts.other_degrees_on_one = others;
        let pitches = || notes.iter().map(|note| note.pitch);
        counts.range = pitches().min().zip(pitches().max());
        counts.tension(line);
        counts.findings(line);
        counts
    }

    fn tension(&mut self, line: &Line) {
        let bars = &line.reading.bars;
        // The first of equals.
        let peak = bars.iter().rev().max_by_key(|bar| bar.tension);
        let Some(peak) = peak.filter(|peak| peak.tension >= 500) else {
            return;
        };
        self.peak = Some(peak.bar);
        let after = bars.iter().filter(|bar| bar.bar > peak.bar);
        let calm = after
            .into_iter()
            .find(|bar| bar.tension + 300 <= peak.tension);
        self.release = calm.map(|bar| bar.bar);
    }

    fn findings(&mut self, line: &Line) {
        let mut devices = vec![0; line.book.entries().len()];
        for finding in &line.reading.findings {
            let entry = line.book.entry(finding.rule);
            let share = line.style.marks.fault(entry.rule.name, entry.weight);
            if share > 0 && finding.strength >= 1000 {
                self.faults.push((entry.rule, finding.place));
            }
            if matches!(entry.rule.family, Family::Approach | Family::Cadence) {
                devices[usize::from(finding.rule.number())] += 1;
            }
        }
        let named = line.book.entries().iter().zip(devices);
        let found = named.filter(|(_, count)| *count > 0);
        self.devices = found.map(|(entry, count)| (entry.rule, count)).collect();
    }
}
