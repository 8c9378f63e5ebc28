//! Simple models of lines, to hold the rulebook against: what each note's place, the move into it
//! and the height where it lies say by themselves.
//!
//! Each looks a note up in some tables of shares, counted in the lines with a half added to every
//! count, raises each share to a power and multiplies them; the powers are those that make the
//! lines likeliest, where each note is looked up in the tables of all others.

use linewright_rulebook::plan::{Ground, Slot};

use super::cholesky::Cholesky;
use super::run::Run;

/// What a simple model looks notes up by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Table {
    /// Its height.
    Register,
    /// Its degree, by beat and kind of chord.
    Degree,
    /// The move into it, by beat.
    Interval,
    /// What it is to the root of the next chord, on the last note of a bar.
    NextRoot,
    /// The move into it, given the move before.
    Turn,
}

/// The models, the simplest first.
const MODELS: [(&str, &[Table]); 6] = [
    ("every note alike", &[]),
    ("register", &[Table::Register]),
    (
        "degree by beat and chord, register",
        &[Table::Degree, Table::Register],
    ),
    ("move by beat", &[Table::Interval]),
    (
        "move by beat, degree, register",
        &[Table::Interval, Table::Degree, Table::Register],
    ),
    (
        "the same, next root on the last beat, move after move",
        &[
            Table::Interval,
            Table::Degree,
            Table::Register,
            Table::NextRoot,
            Table::Turn,
        ],
    ),
];

/// What a simple model needs for lines that were held out.
#[derive(Clone, Debug, PartialEq)]
pub struct SimpleModel {
    /// What it hears.
    pub name: &'static str,
    /// Bits a note.
    pub bits: f64,
}

/// Widest move that is told from wider ones.
const WIDEST: i32 = 14;

/// How many moves are told apart.
const MOVES: usize = 2 * WIDEST as usize + 1;

/// Kinds of chord: major, dominant, minor, diminished, and others.
const KINDS: usize = 5;

/// Beats that are told apart.
const BEATS: usize = 5;

/// A note with what the tables need to know of its place.
struct Note<'a> {
    slot: &'a Slot,
    /// Above the lowest note.
    height: usize,
    /// The move before it, and the note before.
    before: Option<usize>,
    turn: Option<i32>,
}

/// The notes of a run; `lowest` is the lowest MIDI number of any.
fn notes(run: &Run, lowest: u8) -> Vec<Note<'_>> {
    let heights: Vec<usize> = run
        .pitches
        .iter()
        .map(|pitch| usize::from(pitch.midi() - lowest))
        .collect();
    let note = |(at, slot)| Note {
        slot,
        height: heights[at],
        before: (at >= 1).then(|| heights[at - 1]),
        turn: (at >= 2).then(|| heights[at - 1] as i32 - heights[at - 2] as i32),
    };
    run.plan.slots.iter().enumerate().map(note).collect()
}

fn kind(ground: &Ground) -> usize {
    let chord = &ground.chord;
    match (chord.third(), chord.fifth(), chord.seventh()) {
        (Some(4), _, Some(10)) => 1,
        (Some(4), ..) => 0,
        (Some(3), Some(6), _) => 3,
        (Some(3), ..) => 2,
        _ => 4,
    }
}

fn beat(slot: &Slot) -> usize {
    slot.stands() as usize
}

fn step(from: usize, to: usize) -> usize {
    ((to as i32 - from as i32).clamp(-WIDEST, WIDEST) + WIDEST) as usize
}

impl Table {
    /// Contexts and outcomes.
    fn size(self, heights: usize) -> (usize, usize) {
        match self {
            Table::Register => (1, heights),
            Table::Degree => (BEATS * KINDS, 12),
            Table::Interval => (BEATS, MOVES),
            Table::NextRoot => (1, 12),
            Table::Turn => (MOVES, MOVES),
        }
    }

    /// In which context a note stands, and what outcome a height would be; `None` where the table
    /// says nothing.
    fn look(self, note: &Note, lowest: u8, height: usize) -> Option<(usize, usize)> {
        let class = (usize::from(lowest) + height) % 12;
        let above = |root: u8| (class + 12 - usize::from(root)) % 12;
        Some(match self {
            Table::Register => (0, height),
            Table::Degree => {
                let ground = &note.slot.ground;
                let context = beat(note.slot) * KINDS + kind(ground);
                (context, above(ground.root.get()))
            }
            Table::Interval => (beat(note.slot), step(note.before?, height)),
            Table::NextRoot => {
                let next = note.slot.next.as_ref().filter(|_| note.slot.is_last())?;
                (0, above(next.line_root.get()))
            }
            Table::Turn => {
                let turn = note.turn?.clamp(-WIDEST, WIDEST) + WIDEST;
                (turn as usize, step(note.before?, height))
            }
        })
    }
}

/// A table with its counts.
struct Counts {
    table: Table,
    outcomes: usize,
    counts: Vec<f64>,
    totals: Vec<f64>,
}

impl Counts {
    fn of(table: Table, heights: usize, lowest: u8, runs: &[Vec<Note>]) -> Self {
        let (contexts, outcomes) = table.size(heights);
        let mut counted = Self {
            table,
            outcomes,
            counts: vec![0.0; contexts * outcomes],
            totals: vec![0.0; contexts],
        };
        for note in runs.iter().flatten() {
            if let Some((context, outcome)) = table.look(note, lowest, note.height) {
                counted.counts[context * outcomes + outcome] += 1.0;
                counted.totals[context] += 1.0;
            }
        }
        counted
    }

    /// The logarithm of the share of each height for a note; `own` is 1 where the note itself was
    /// counted and is to be left out.
    fn logs(&self, note: &Note, lowest: u8, heights: usize, own: f64) -> Vec<f64> {
        let played = self.table.look(note, lowest, note.height);
        let log = |height: usize| {
            let Some((context, outcome)) = self.table.look(note, lowest, height) else {
                return 0.0;
            };
            let own_here = if played == Some((context, outcome)) {
                own
            } else {
                0.0
            };
            let count = self.counts[context * self.outcomes + outcome] - own_here;
            let total = self.totals[context] - own;
            libm::log((count + 0.5) / (total + 0.5 * self.outcomes as f64))
        };
        (0..heights).map(log).collect()
    }
}

/// The logarithms of the shares of a note, one row for each table.
type Rows = Vec<Vec<f64>>;

/// The log-probability of a height by some powers, with what the tables come to there less what
/// they come to on the mean, and how these vary together.
fn weigh(rows: &Rows, height: usize, powers: &[f64], heights: usize) -> (f64, Vec<f64>, Vec<f64>) {
    let size = powers.len();
    let sum = |at: usize| -> f64 { rows.iter().zip(powers).map(|(row, p)| row[at] * p).sum() };
    let sums: Vec<f64> = (0..heights).map(sum).collect();
    let most = sums.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let shares: Vec<f64> = sums.iter().map(|sum| libm::exp(sum - most)).collect();
    let all: f64 = shares.iter().sum();
    let mean = |value: &dyn Fn(usize) -> f64| -> f64 {
        (0..heights).map(|at| shares[at] / all * value(at)).sum()
    };
    let means: Vec<f64> = rows.iter().map(|row| mean(&|at| row[at])).collect();
    let slope = rows
        .iter()
        .zip(&means)
        .map(|(row, mean)| row[height] - mean);
    let mut curvature = vec![0.0; size * size];
    for a in 0..size {
        for b in 0..size {
            curvature[a * size + b] =
                mean(&|at| (rows[a][at] - means[a]) * (rows[b][at] - means[b]));
        }
    }
    let log = sums[height] - most - libm::log(all);
    (log, slope.collect(), curvature)
}

/// The powers that make the notes likeliest. The problem has one best answer; a few Newton steps
/// from 1 reach it.
fn powers(notes: &[(Rows, usize)], tables: usize, heights: usize) -> Vec<f64> {
    let mut powers = vec![1.0; tables];
    for _ in 0..8 {
        let (mut slope, mut curvature) = (vec![0.0; tables], vec![0.0; tables * tables]);
        for at in 0..tables {
            // Held loosely near 1, for tables that say nothing.
            slope[at] = 1.0 - powers[at];
            curvature[at * tables + at] = 1.0;
        }
        for (rows, height) in notes {
            let (_, first, second) = weigh(rows, *height, &powers, heights);
            slope.iter_mut().zip(first).for_each(|(sum, d)| *sum += d);
            curvature
                .iter_mut()
                .zip(second)
                .for_each(|(sum, d)| *sum += d);
        }
        let Some(cholesky) = Cholesky::of(tables, &curvature) else {
            break;
        };
        let step = cholesky.solve(&slope);
        powers
            .iter_mut()
            .zip(step)
            .for_each(|(p, d)| *p = (*p + d).clamp(-1.0, 3.0));
    }
    powers
}

/// What each simple model needs for the runs of each fold, learned from those of the others;
/// `range` holds the lowest and the highest MIDI number that a note may have.
pub(super) fn held_out(
    runs: &[Run],
    range: (u8, u8),
    folds: usize,
    fold_of: &dyn Fn(&Run) -> usize,
) -> Vec<SimpleModel> {
    let (lowest, heights) = (range.0, usize::from(range.1 - range.0) + 1);
    let mut sums = vec![0.0; MODELS.len()];
    let mut all = 0;
    for fold in 0..folds {
        let part = |out: bool| -> Vec<Vec<Note>> {
            let runs = runs.iter().filter(|run| (fold_of(run) == fold) == out);
            runs.map(|run| notes(run, lowest)).collect()
        };
        let (kept, held) = (part(false), part(true));
        all += held.iter().map(Vec::len).sum::<usize>();
        for ((_, tables), sum) in MODELS.iter().zip(&mut sums) {
            let counted = |table: &Table| Counts::of(*table, heights, lowest, &kept);
            let counted: Vec<Counts> = tables.iter().map(counted).collect();
            let rows = |note: &Note, own: f64| -> (Rows, usize) {
                let logs = counted.iter().map(|c| c.logs(note, lowest, heights, own));
                (logs.collect(), note.height)
            };
            let known: Vec<(Rows, usize)> = kept.iter().flatten().map(|n| rows(n, 1.0)).collect();
            let powers = powers(&known, tables.len(), heights);
            for note in held.iter().flatten() {
                let (rows, height) = rows(note, 0.0);
                *sum -= weigh(&rows, height, &powers, heights).0;
            }
        }
    }
    let bits = |nats: f64| nats / std::f64::consts::LN_2 / all.max(1) as f64;
    let models = MODELS.iter().zip(sums);
    models
        .map(|((name, _), nats)| SimpleModel {
            name,
            bits: bits(nats),
        })
        .collect()
}
