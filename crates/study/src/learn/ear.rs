//! Bars to listen to again: those that the notes around them make far less likely than others.

use linewright_compose::{Passage, Tables};
use linewright_rulebook::plan::Plan;
use linewright_rulebook::{RuleBook, read};
use linewright_theory::{Pitch, class_name};

use super::Lesson;
use super::model::Model;
use super::prepared::Prepared;
use super::run::Run;
use crate::excerpt::{excerpt, surroundings};

/// How many are told at most.
const MOST: usize = 10;

/// How far from the mean an outlier lies, in standard deviations.
const FAR: f64 = 3.0;

/// A bar to listen to again.
#[derive(Clone, Debug, PartialEq)]
pub struct Outlier {
    /// The name of the lesson.
    pub line: String,
    /// The number of the bar as played, from 1; 0 for a pick-up.
    pub bar: usize,
    /// What it costs given the notes around it, in bits a note.
    pub bits: f64,
    /// What may be wrong with it, where that can be told.
    pub guess: Option<Guess>,
}

/// What may be wrong with a bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Guess {
    /// A note an octave higher or lower would make it an ordinary bar.
    Octave {
        /// The beat of the note, from 1.
        beat: u8,
        /// Whether it would be higher.
        higher: bool,
    },
    /// The notes of a beat earlier or later would make it an ordinary bar.
    Shifted {
        /// Whether those that come a beat later would.
        late: bool,
    },
    /// Its notes name another chord: its symbol.
    Chord(String),
}

/// A bar with the notes around it given.
struct Bar {
    /// The plan of the bar and what rules see around it, and the notes there.
    plan: Plan,
    notes: Vec<Pitch>,
    /// Where the bar's own notes stand among them, and the first of them in the run.
    first: usize,
    size: usize,
    in_run: usize,
    passage: Passage,
    log_all: f64,
}

impl Bar {
    fn of(
        run: &Run,
        bar: usize,
        model: &Model,
        book: &RuleBook,
        tables: &mut Tables,
    ) -> Option<Self> {
        let around = surroundings(&run.plan, bar..bar + 1);
        let around = around.start.max(run.bars.start)..around.end.min(run.bars.end);
        let part = excerpt(&run.plan, around);
        let own = run.plan.bars[bar].slots.clone();
        let (first, size) = (own.start - part.slots.start, own.len());
        let notes = run.pitches[part.slots.clone()].to_vec();
        let given: Vec<Option<Pitch>> = notes
            .iter()
            .enumerate()
            .map(|(at, note)| (!(first..first + size).contains(&at)).then_some(*note))
            .collect();
        let style = model.style;
        let passage = Passage::new(&book.into(), style, &part.plan, &given, &[], tables)?;
        let sampler = passage.lattice().sampler(model.temperature * 1000.0).ok()?;
        Some(Self {
            plan: part.plan,
            notes,
            first,
            size,
            in_run: own.start,
            log_all: sampler.log_partition(),
            passage,
        })
    }

    /// What the bar costs with these notes, in bits a note; `None` where they are forbidden.
    fn bits(&self, notes: &[Pitch], model: &Model) -> Option<f64> {
        let path: Option<Vec<u8>> = notes.iter().map(|p| self.passage.candidate(*p)).collect();
        let score = self.passage.lattice().score(&path?)?;
        let log = score as f64 / (model.temperature * 1000.0) - self.log_all;
        Some(-log / std::f64::consts::LN_2 / self.size as f64)
    }

    /// What may be wrong with it, if a bar of at most so many bits a note is ordinary.
    fn guess(&self, run: &Run, ordinary: f64, model: &Model, book: &RuleBook) -> Option<Guess> {
        let own = self.first..self.first + self.size;
        let mut found: Option<(f64, Guess)> = None;
        let mut consider = |notes: &[Pitch], guess: Guess| {
            let bits = self.bits(notes, model).filter(|bits| *bits <= ordinary);
            if let Some(bits) = bits
                && found.as_ref().is_none_or(|(best, _)| bits < *best)
            {
                found = Some((bits, guess));
            }
        };
        for at in own.clone() {
            for higher in [true, false] {
                let by = if higher { 12 } else { -12 };
                let moved = i32::from(self.notes[at].midi()) + by;
                let moved = u8::try_from(moved).ok().and_then(Pitch::new);
                let Some(moved) = moved else { continue };
                let mut notes = self.notes.clone();
                notes[at] = moved;
                let beat = self.plan.slots[at].beat + 1;
                consider(&notes, Guess::Octave { beat, higher });
            }
        }
        for late in [true, false] {
            let start = match late {
                true => Some(self.in_run + 1),
                false => self.in_run.checked_sub(1),
            };
            let shifted = start.and_then(|start| run.pitches.get(start..start + self.size));
            let Some(shifted) = shifted else { continue };
            let mut notes = self.notes.clone();
            notes[own.clone()].copy_from_slice(shifted);
            consider(&notes, Guess::Shifted { late });
        }
        let other = || {
            let reading = read(book, model.style, &self.plan, &self.notes);
            let bar = self.plan.slots[self.first].bar;
            let read = reading.bars.into_iter().find(|read| read.bar == bar)?;
            let key = self.plan.slots[self.first].ground.key;
            let symbol = format!("{}{}", class_name(read.rival.root, key), read.rival.suffix);
            (read.clarity < 0).then_some(Guess::Chord(symbol))
        };
        found.map(|(_, guess)| guess).or_else(other)
    }
}

/// The bars that cost most given the notes around them, the worst first: beyond three standard
/// deviations from the mean, ten at most.
pub(super) fn outliers(
    prepared: &Prepared,
    lessons: &[Lesson],
    model: &Model,
    weights: &[f64],
) -> Vec<Outlier> {
    let Some(book) = model.book(weights) else {
        return Vec::new();
    };
    let mut tables = Tables::default();
    let mut all: Vec<(f64, &Run, usize)> = Vec::new();
    for run in &prepared.runs {
        for number in run.bars.clone() {
            let bar = Bar::of(run, number, model, &book, &mut tables);
            let bits = bar.and_then(|bar| bar.bits(&bar.notes, model));
            all.extend(bits.map(|bits| (bits, run, number)));
        }
    }
    let count = all.len().max(1) as f64;
    let mean = all.iter().map(|(bits, ..)| bits).sum::<f64>() / count;
    let squares = all.iter().map(|(bits, ..)| (bits - mean) * (bits - mean));
    let deviation = (squares.sum::<f64>() / count).sqrt();
    all.retain(|(bits, ..)| *bits > mean + FAR * deviation);
    // The sort keeps the order of equals.
    all.sort_by(|one, other| other.0.total_cmp(&one.0));
    all.truncate(MOST);
    let told = |(bits, run, bar): (f64, &Run, usize)| Outlier {
        line: lessons[run.lesson].name.clone(),
        bar: lessons[run.lesson].line.timeline.bar_number(bar),
        bits,
        guess: Bar::of(run, bar, model, &book, &mut tables)
            .and_then(|heard| heard.guess(run, mean + deviation, model, &book)),
    };
    all.into_iter().map(told).collect()
}
