//! Plan + rulebook → lattice: every rule evaluated once for each different
//! thing that it could see.

use std::sync::Arc;

use linewright_lattice::{
    CLASSES, ClassTable, Echo, Lattice, LatticeBuilder, Layer, NEVER, Segment, ShapeTable,
    StepTable,
};
use linewright_plan::{BarPlan, Plan, Slot};
use linewright_rules::{
    CellSymbol, EchoWindow, Likeness, NoteWindow, RuleBook, SYMBOLS, ShapePlace, bar_table,
    cell_symbol, head, likeness,
};
use linewright_style::Style;
use linewright_theory::Pitch;

use crate::books::Books;
use crate::key::{BarKey, ShapeKey, StepKey};
use crate::tables::{Shelved, Tables, together, weight};
use crate::weights::{of_moves, of_shapes};

/// The candidate notes of a style: every note of its range, low to high.
pub fn candidates(style: &Style) -> Vec<Pitch> {
    (style.range.low.midi()..=style.range.high.midi())
        .filter_map(Pitch::new)
        .collect()
}

/// Builds the lattice of every line over a plan, of these candidates, in which some notes may be
/// `given`. A bar goes by the rulebooks of its first slot. `None` if the plan has no notes at all.
pub fn lattice(
    books: &Books,
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
            let mut notes = notes(books.of(at), style, plan, pitches, at);
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
    let places = books.books.iter().map(|books| Places {
        steps: tables.steps.shelved(books, RuleBook::move_weights),
        shapes: tables.shapes.shelved(books, RuleBook::shape_weights),
        bars: tables.bars.shelved(books, RuleBook::cell_weights),
    });
    let mut builder = Builder {
        places: places.collect(),
        books,
        style,
        plan,
        width: pitches.len(),
        live,
        tables,
    };
    Some(builder.lattice(pitches, notes))
}

/// Where the tables of some rulebooks stand.
struct Places<'a> {
    steps: Shelved<'a>,
    shapes: Shelved<'a>,
    bars: Shelved<'a>,
}

/// Weights of every candidate in one slot.
fn notes(
    books: &[&RuleBook],
    style: &Style,
    plan: &Plan,
    pitches: &[Pitch],
    at: usize,
) -> Vec<i32> {
    let slot = &plan.slots[at];
    let bar = &plan.bars[slot.bar];
    pitches
        .iter()
        .map(|&pitch| {
            let window = NoteWindow {
                style,
                bar,
                slot,
                pitch,
            };
            let books = books.iter().map(|book| weight(book.note(&window)));
            books.fold(0, together)
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
    books: &'a Books<'a>,
    /// By number of the rulebooks.
    places: Vec<Places<'a>>,
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
        let (plan, style, width) = (self.plan, self.style, self.width);
        let places = &self.places[self.books.number(at)];
        let Some(before) = at.checked_sub(1) else {
            let table = StepTable::from_fn(width, |_, _| 0);
            return (Arc::new(table.expect("a table of the right size")), 0);
        };
        let live = [self.live[before], self.live[at]];
        let key = StepKey::new(plan, at, live);
        let add = |books: &[&RuleBook]| {
            let weights = |book: &&RuleBook| of_moves(book, style, plan, at, width, live);
            books.iter().map(weights).collect()
        };
        let make = |weights: Vec<i32>| {
            let allowed = StepTable::entries(width)
                .zip(&weights)
                .filter(|(_, weight)| **weight != NEVER);
            let reach = allowed.map(|((_, interval), _)| interval.abs()).max();
            let table = StepTable::new(width, weights).expect("a table of the right size");
            (Arc::new(table), reach.unwrap_or(0))
        };
        let size = CLASSES * (2 * width - 1);
        let shelf = &mut self.tables.steps;
        shelf.table(&places.steps, key, size, add, make)
    }

    /// Pairs of moves into slot `at`. Moves that no step allows are left out.
    fn shape(&mut self, at: usize, reach: (i32, i32)) -> Arc<ShapeTable> {
        let slots = &self.plan.slots;
        let width = self.width;
        let places = &self.places[self.books.number(at)];
        let place = ShapePlace::of(&slots[at.saturating_sub(1)], &slots[at]);
        let size = 4 * (2 * width - 1).pow(2);
        let add = |books: &[&RuleBook]| {
            let weights = |book: &&RuleBook| of_shapes(book, place, width, reach);
            books.iter().map(weights).collect()
        };
        let make = |weights: Vec<i32>| {
            let table = ShapeTable::new(width, weights);
            Arc::new(table.expect("a table of the right size"))
        };
        let key = ShapeKey { place, reach };
        let shelf = &mut self.tables.shapes;
        shelf.table(&places.shapes, key, size, add, make)
    }

    fn segment(&mut self, bar: usize, before: Option<usize>) -> Segment {
        let row = self.plan.bars[bar].slots.clone();
        let middle = row.start + head(row.len());
        let places = &self.places[self.books.number(row.start)];
        let heard = places.bars.books().next().is_some();
        let tail = (heard && middle < row.end).then(|| self.bar(bar, middle..row.end));
        Segment {
            len: row.len(),
            head: heard.then(|| self.bar(bar, row.start..middle)),
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
        let places = &self.places[self.books.number(plan.slots.start)];
        let hears_clarity = places.bars.books().any(RuleBook::hears_clarity);
        // Symbols of each note's classes.
        let symbols = || -> Vec<[CellSymbol; CLASSES]> {
            let symbols =
                |slot: &Slot| std::array::from_fn(|class| cell_symbol(&slot.ground, class as u8));
            slots.iter().map(symbols).collect()
        };
        let add = |books: &[&RuleBook]| {
            let symbols = symbols();
            // Which symbols are live.
            let live = live.iter().zip(&symbols).map(|(live, symbols)| {
                (0..CLASSES)
                    .filter(|class| live & 1 << class != 0)
                    .fold(0, |bits, class| bits | 1 << symbols[class])
            });
            let live: Vec<u8> = live.collect();
            let books = books.iter();
            let tables = books.map(|book| bar_table(book, plan, slots, &live));
            tables
                .map(|points| points.into_iter().map(weight).collect())
                .collect()
        };
        let make = |points: Vec<i32>| {
            let table = ClassTable::grouped(symbols(), SYMBOLS, points);
            Arc::new(table.expect("a table of the right size"))
        };
        let key = BarKey::new(hears_clarity, plan, slots, live);
        let size = SYMBOLS.pow(slots.len() as u32);
        let shelf = &mut self.tables.bars;
        shelf.table(&places.bars, key, size, add, make)
    }

    fn echo(&self, before: usize, bar: usize) -> Option<Echo> {
        let (first, second) = (&self.plan.bars[before].slots, &self.plan.bars[bar].slots);
        let window = EchoWindow {
            before: &self.plan.slots[first.start],
            slot: &self.plan.slots[second.start],
        };
        let likeness = likeness(first.len(), second.len())?;
        let books = self.books.of(second.start).iter();
        let weight = books
            .map(|book| weight(book.echo(&window)))
            .fold(0, together);
        (weight != 0).then_some(match likeness {
            Likeness::Notes => Echo::Same { weight },
            Likeness::Degrees(count) => Echo::Classes {
                count: count as u8,
                weight,
            },
        })
    }
}
