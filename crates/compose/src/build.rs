//! Plan + rulebook → lattice: every rule evaluated once for each different
//! thing that it could see.

use std::collections::HashMap;
use std::sync::Arc;

use linewright_lattice::{
    CLASSES, ClassTable, Echo, Lattice, LatticeBuilder, Layer, MAX_WEIGHT, NEVER, Segment,
    ShapeTable, StepTable,
};
use linewright_plan::{BarPlan, Plan, Slot};
use linewright_rules::{
    EchoWindow, Likeness, NoteWindow, RuleBook, SYMBOLS, ShapePlace, ShapeWindow, StepWindow,
    bar_table, cell_symbol, head, likeness,
};
use linewright_style::Style;
use linewright_theory::Pitch;

use crate::key::{BarKey, ShapeKey, StepKey};

/// The candidate notes of a style: every note of its range, low to high.
pub fn candidates(style: &Style) -> Vec<Pitch> {
    (style.range.low.midi()..=style.range.high.midi())
        .filter_map(Pitch::new)
        .collect()
}

/// Tables that were built once and serve again, for one style and one rulebook.
#[derive(Default)]
pub struct Tables {
    steps: HashMap<StepKey, (Arc<StepTable>, i32)>,
    shapes: HashMap<ShapeKey, Arc<ShapeTable>>,
    bars: HashMap<BarKey, Arc<ClassTable>>,
}

impl Tables {
    /// Beyond so many tables of moves or cells, the shelf is cleared.
    const MOST: usize = 4096;

    fn tidy(&mut self) {
        if self.steps.len() + self.shapes.len() + self.bars.len() > Self::MOST {
            *self = Self::default();
        }
    }
}

/// Builds the lattice of every line over a plan, of these candidates, in which some notes may be
/// `given`. `None` if the plan has no notes at all.
pub fn lattice(
    book: &RuleBook,
    style: &Style,
    plan: &Plan,
    pitches: &[Pitch],
    given: impl Fn(usize) -> Option<Pitch>,
    tables: &mut Tables,
) -> Option<Lattice> {
    if plan.slots.is_empty() {
        return None;
    }
    let notes: Vec<Vec<i32>> = (0..plan.slots.len())
        .map(|at| {
            let mut notes = notes(book, style, plan, pitches, at);
            if let Some(given) = given(at) {
                let others = notes
                    .iter_mut()
                    .zip(pitches)
                    .filter(|(_, pitch)| **pitch != given);
                others.for_each(|(weight, _)| *weight = NEVER);
            }
            notes
        })
        .collect();
    tables.tidy();
    let live = live(plan, pitches, &notes);
    let mut builder = Builder {
        book,
        style,
        plan,
        width: pitches.len(),
        live,
        tables,
    };
    Some(builder.lattice(pitches, notes))
}

/// A weight as the lattice takes it.
fn weight(points: Option<i32>) -> i32 {
    points.map_or(NEVER, |points| points.clamp(-MAX_WEIGHT, MAX_WEIGHT))
}

/// Weights of every candidate in one slot.
fn notes(book: &RuleBook, style: &Style, plan: &Plan, pitches: &[Pitch], at: usize) -> Vec<i32> {
    let slot = &plan.slots[at];
    let bar = &plan.bars[slot.bar];
    pitches
        .iter()
        .map(|&pitch| {
            weight(book.note(&NoteWindow {
                style,
                bar,
                slot,
                pitch,
            }))
        })
        .collect()
}

/// For each slot, which of the twelve classes (semitones above its chord's
/// root) some candidate has, as bits.
fn live(plan: &Plan, pitches: &[Pitch], notes: &[Vec<i32>]) -> Vec<u16> {
    let classes = |slot: &Slot, notes: &Vec<i32>| {
        pitches
            .iter()
            .zip(notes)
            .filter(|(_, weight)| **weight != NEVER)
            .fold(0, |live, (pitch, _)| {
                live | 1 << slot.ground.offset(pitch.class())
            })
    };
    plan.slots
        .iter()
        .zip(notes)
        .map(|(slot, notes)| classes(slot, notes))
        .collect()
}

struct Builder<'a> {
    book: &'a RuleBook,
    style: &'a Style,
    plan: &'a Plan,
    /// Number of candidates.
    width: usize,
    live: Vec<u16>,
    tables: &'a mut Tables,
}

impl Builder<'_> {
    fn lattice(&mut self, pitches: &[Pitch], notes: Vec<Vec<i32>>) -> Lattice {
        let slots = &self.plan.slots;
        let mut builder = LatticeBuilder::new(self.width);
        let mut reach_before = 0;
        for (at, notes) in notes.into_iter().enumerate() {
            let (step, reach) = self.step(at);
            let slot = &slots[at];
            let tone = |pitch: &Pitch| slot.ground.is_chord_tone(pitch.class());
            let gate = pitches
                .iter()
                .enumerate()
                .filter(|(_, p)| tone(p))
                .fold(0, |gate, (k, _)| gate | 1_u64 << k);
            let shape = self.shape(at, (reach_before, reach));
            reach_before = reach;
            builder.layer(Layer {
                notes,
                shift: slot.ground.offset(pitches[0].class()),
                gate,
                step,
                shape,
            });
        }
        let bars: Vec<usize> = (0..self.plan.bars.len())
            .filter(|&bar| !self.plan.bars[bar].slots.is_empty())
            .collect();
        for (nth, &bar) in bars.iter().enumerate() {
            let before = nth.checked_sub(1).map(|before| bars[before]);
            let segment = self.segment(bar, before);
            builder.segment(segment);
        }
        builder
            .build()
            .expect("the rulebook gives tables of the right sizes")
    }

    /// The moves into slot `at`, by the class of the note before, and the
    /// widest of them that is allowed.
    fn step(&mut self, at: usize) -> (Arc<StepTable>, i32) {
        let (plan, style, book, width) = (self.plan, self.style, self.book, self.width);
        let Some(before) = at.checked_sub(1) else {
            let table = StepTable::from_fn(width, |_, _| 0);
            return (Arc::new(table.expect("a table of the right size")), 0);
        };
        let (from, slot) = (&plan.slots[before], &plan.slots[at]);
        let bar = &plan.bars[slot.bar];
        let bar_before = slot.bar.checked_sub(1).map(|before| &plan.bars[before]);
        let (from_live, live) = (self.live[before], self.live[at]);
        let key = StepKey::new(from, slot, bar, bar_before, from_live, live);
        let made = self.tables.steps.entry(key).or_insert_with(|| {
            let mut reach = 0;
            let table = StepTable::from_fn(width, |class, interval| {
                if from_live & 1 << class == 0 {
                    return NEVER;
                }
                let from_class = from.ground.root.up(i32::from(class));
                if live & 1 << slot.ground.offset(from_class.up(interval)) == 0 {
                    return NEVER;
                }
                let window = StepWindow {
                    style,
                    bar,
                    bar_before,
                    from,
                    slot,
                    from_class,
                    interval,
                };
                let weight = weight(book.step(&window));
                if weight != NEVER {
                    reach = reach.max(interval.abs());
                }
                weight
            });
            (Arc::new(table.expect("a table of the right size")), reach)
        });
        made.clone()
    }

    /// Pairs of moves into slot `at`. Moves that no step allows are left out.
    fn shape(&mut self, at: usize, reach: (i32, i32)) -> Arc<ShapeTable> {
        let slots = &self.plan.slots;
        let (book, width) = (self.book, self.width);
        let place = ShapePlace::of(&slots[at.saturating_sub(1)], &slots[at]);
        let table = self
            .tables
            .shapes
            .entry(ShapeKey { place, reach })
            .or_insert_with(|| {
                let table = ShapeTable::from_fn(
                    width,
                    |middle_is_chord_tone, last_is_chord_tone, first, second| {
                        if first.abs() > reach.0 || second.abs() > reach.1 {
                            return NEVER;
                        }
                        let window = ShapeWindow {
                            first,
                            second,
                            middle_is_chord_tone,
                            last_is_chord_tone,
                            place,
                        };
                        weight(book.shape(&window))
                    },
                );
                Arc::new(table.expect("a table of the right size"))
            });
        table.clone()
    }

    fn segment(&mut self, bar: usize, before: Option<usize>) -> Segment {
        let row = self.plan.bars[bar].slots.clone();
        let middle = row.start + head(row.len());
        let tail = (middle < row.end).then(|| self.bar(bar, middle..row.end));
        Segment {
            len: row.len(),
            head: Some(self.bar(bar, row.start..middle)),
            tail,
            echo: before
                .filter(|before| before + 1 == bar)
                .and_then(|before| self.echo(before, bar)),
        }
    }

    /// The cells of some slots of a bar, by class.
    fn bar(&mut self, bar: usize, range: std::ops::Range<usize>) -> Arc<ClassTable> {
        let plan: &BarPlan = &self.plan.bars[bar];
        let slots = &self.plan.slots[range.clone()];
        let live = &self.live[range];
        let book = self.book;
        let table = self
            .tables
            .bars
            .entry(BarKey::new(plan, slots, live))
            .or_insert_with(|| {
                // Symbols of each note's classes, and which symbols are live.
                let symbols: Vec<[usize; CLASSES]> = slots
                    .iter()
                    .map(|slot| {
                        std::array::from_fn(|class| {
                            usize::from(cell_symbol(&slot.ground, class as u8))
                        })
                    })
                    .collect();
                let live: Vec<u8> = live
                    .iter()
                    .zip(&symbols)
                    .map(|(live, symbols)| {
                        (0..CLASSES)
                            .filter(|class| live & 1 << class != 0)
                            .fold(0, |bits, class| bits | 1 << symbols[class])
                    })
                    .collect();
                let points: Vec<i32> = bar_table(book, plan, slots, &live)
                    .into_iter()
                    .map(weight)
                    .collect();
                Arc::new(by_class(&points, &symbols))
            });
        table.clone()
    }

    fn echo(&self, before: usize, bar: usize) -> Option<Echo> {
        let (first, second) = (&self.plan.bars[before].slots, &self.plan.bars[bar].slots);
        let window = EchoWindow {
            before: &self.plan.slots[first.start],
            slot: &self.plan.slots[second.start],
        };
        let likeness = likeness(first.len(), second.len())?;
        let weight = weight(self.book.echo(&window));
        (weight != 0).then_some(match likeness {
            Likeness::Notes => Echo::Same { weight },
            Likeness::Degrees(count) => Echo::Classes {
                count: count as u8,
                weight,
            },
        })
    }
}

/// Spreads a table over cell symbols to one over classes.
fn by_class(points: &[i32], symbols: &[[usize; CLASSES]]) -> ClassTable {
    let (last, before) = symbols.split_last().expect("a bar has notes");
    let mut rows = vec![0_usize];
    for symbols in before {
        rows = rows
            .iter()
            .flat_map(|row| symbols.iter().map(move |symbol| row * SYMBOLS + symbol))
            .collect();
    }
    let mut weights = Vec::with_capacity(rows.len() * CLASSES);
    for row in rows {
        let points: &[i32; SYMBOLS] = points[row * SYMBOLS..]
            .first_chunk()
            .expect("a row of symbols");
        weights.extend(last.map(|symbol| points[symbol % SYMBOLS]));
    }
    ClassTable::new(symbols.len(), weights).expect("a table of the right size")
}
