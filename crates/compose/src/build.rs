//! Plan + rulebook → lattice: every rule evaluated once for each different
//! thing that it could see.

use std::cell::LazyCell;
use std::sync::Arc;

use linewright_lattice::{
    BigramTable, CLASSES, ClassTable, Lattice, LatticeBuilder, Layer, NEVER, Repetition, Segment,
    TrigramTable,
};
use linewright_rulebook::plan::{BarPlan, Plan, Slot};
use linewright_rulebook::style::Style;
use linewright_rulebook::{
    CellSymbol, EchoWindow, IntervalPlace, Likeness, NoteWindow, OrderPlace, RuleBook, SYMBOLS,
    ShapePlace, bar_table, cell_symbol, head, likeness, order_table,
};
use linewright_theory::Pitch;

use crate::books::Books;
use crate::key::{CellKey, CellPart, OrderKey, ShapeKey, StepKey};
use crate::tables::{CacheEntry, Parts, Tables, together, weight};
use crate::weights::{Moves, of_intervals, of_shapes};

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
    let entries = books.books.iter().map(|books| Entries {
        steps: tables.steps.entry(
            books,
            &[((), RuleBook::step_weights)],
            RuleBook::move_weights,
        ),
        shapes: tables.shapes.entry(
            books,
            &[((), RuleBook::shape_weights)],
            RuleBook::shape_weights,
        ),
        bars: tables.bars.entry(
            books,
            &[
                (BarPart::Order, RuleBook::order_weights),
                (BarPart::Cell, RuleBook::cell_weights),
            ],
            |book| [book.order_weights(), book.cell_weights()].concat(),
        ),
    });
    let mut builder = Builder {
        entries: entries.collect(),
        books,
        style,
        plan,
        width: pitches.len(),
        live,
        tables,
    };
    Some(builder.lattice(pitches, notes))
}

/// Where the caches hold the tables of some rulebooks.
struct Entries<'a> {
    steps: CacheEntry<'a, ()>,
    shapes: CacheEntry<'a, ()>,
    bars: CacheEntry<'a, BarPart>,
}

/// The two parts of a table of bars.
#[derive(Copy, Clone)]
enum BarPart {
    /// What the order of its degrees is worth.
    Order,
    /// What its cell is worth.
    Cell,
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
    entries: Vec<Entries<'a>>,
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
            let (bigram, reach) = self.step(at);
            let slot = &slots[at];
            let tone = |pitch: &Pitch| slot.ground.is_chord_tone(pitch.class());
            let feature = pitches
                .iter()
                .enumerate()
                .filter(|(_, p)| tone(p))
                .fold(0, |feature, (k, _)| feature | 1_u64 << k);
            let trigram = self.shape(at, (reach_before, reach));
            reach_before = reach;
            builder.layer(Layer {
                unary: notes,
                shift: slot.ground.offset(pitches[0].class()),
                feature,
                bigram,
                trigram,
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
    fn step(&mut self, at: usize) -> (Arc<BigramTable>, i32) {
        let (plan, style, width) = (self.plan, self.style, self.width);
        let entries = &self.entries[self.books.number(at)];
        let Some(before) = at.checked_sub(1) else {
            let table = BigramTable::from_fn(width, |_, _| 0);
            return (Arc::new(table.expect("a table of the right size")), 0);
        };
        let place = IntervalPlace::of(&plan.slots[before], &plan.slots[at]);
        let live = [self.live[before], self.live[at]];
        let books = self.books.of(at);
        // Only where the table is new.
        let moves = LazyCell::new(|| Moves {
            plan,
            slot: at,
            intervals: of_intervals(books, style, place, width),
            live,
        });
        let key = StepKey::new(plan, at, live);
        let make = |steps: Vec<i32>| {
            let (weights, widest) = moves.with_intervals(steps);
            let table = BigramTable::new(width, weights).expect("a table of the right size");
            (Arc::new(table), widest)
        };
        let parts = Parts {
            size: CLASSES * (2 * width - 1),
            key: |_: &RuleBook, ()| key,
            weigh: |book: &RuleBook, ()| moves.steps(book),
        };
        let cache = &mut self.tables.steps;
        cache.table(&entries.steps, key, parts, make)
    }

    /// Pairs of moves into slot `at`. Moves that no step allows are left out.
    fn shape(&mut self, at: usize, reach: (i32, i32)) -> Arc<TrigramTable> {
        let slots = &self.plan.slots;
        let width = self.width;
        let entries = &self.entries[self.books.number(at)];
        let place = ShapePlace::of(&slots[at.saturating_sub(1)], &slots[at]);
        let make = |weights: Vec<i32>| {
            let table = TrigramTable::new(width, weights);
            Arc::new(table.expect("a table of the right size"))
        };
        let key = ShapeKey { place, reach };
        let parts = Parts {
            size: 4 * (2 * width - 1).pow(2),
            key: |_: &RuleBook, ()| key,
            weigh: |book: &RuleBook, ()| of_shapes(book, place, width, reach),
        };
        let cache = &mut self.tables.shapes;
        cache.table(&entries.shapes, key, parts, make)
    }

    fn segment(&mut self, bar: usize, before: Option<usize>) -> Segment {
        let row = self.plan.bars[bar].slots.clone();
        let middle = row.start + head(row.len());
        let entries = &self.entries[self.books.number(row.start)];
        let heard = entries.bars.books().next().is_some();
        let suffix = (heard && middle < row.end).then(|| self.bar(bar, middle..row.end));
        Segment {
            len: row.len(),
            prefix: heard.then(|| self.bar(bar, row.start..middle)),
            suffix,
            repetition: before
                .filter(|before| before + 1 == bar)
                .and_then(|before| self.repetition(before, bar)),
        }
    }

    /// The cells of some slots of a bar, by class.
    fn bar(&mut self, bar: usize, range: std::ops::Range<usize>) -> Arc<ClassTable> {
        let plan: &BarPlan = &self.plan.bars[bar];
        let slots = &self.plan.slots[range.clone()];
        let live = &self.live[range];
        let entries = &self.entries[self.books.number(plan.slots.start)];
        // Symbols of each note's classes, and which of them some candidate has.
        let symbols =
            |slot: &Slot| std::array::from_fn(|class| cell_symbol(&slot.ground, class as u8));
        let symbols: Vec<[CellSymbol; CLASSES]> = slots.iter().map(symbols).collect();
        let live = live.iter().zip(&symbols).map(|(live, symbols)| {
            let live = (0..CLASSES).filter(|class| live & 1 << class != 0);
            live.fold(0, |bits, class| bits | 1 << symbols[class])
        });
        let live: Vec<u8> = live.collect();
        let place = OrderPlace::over(plan, slots);
        let key = |hears_clarity| CellKey::new(hears_clarity, plan, slots, live.clone());
        let hears_clarity = entries.bars.books().any(RuleBook::hears_clarity);
        let whole = (place, key(hears_clarity), symbols.clone());
        let part = |book: &RuleBook, part: BarPart| match part {
            BarPart::Order => CellPart::Order(OrderKey {
                place,
                live: live.clone(),
            }),
            BarPart::Cell => CellPart::Cell(key(book.hears_clarity())),
        };
        let weigh = |book: &RuleBook, part: BarPart| {
            let points = match part {
                BarPart::Order => order_table(book, place, &live),
                BarPart::Cell => bar_table(book, plan, slots, &live),
            };
            points.into_iter().map(weight).collect()
        };
        let make = |points: Vec<i32>| {
            let table = ClassTable::grouped(symbols, SYMBOLS, points);
            Arc::new(table.expect("a table of the right size"))
        };
        let parts = Parts {
            size: SYMBOLS.pow(slots.len() as u32),
            key: part,
            weigh,
        };
        let cache = &mut self.tables.bars;
        cache.table(&entries.bars, whole, parts, make)
    }

    /// The factor of a bar that begins like the bar before it.
    fn repetition(&self, before: usize, bar: usize) -> Option<Repetition> {
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
            Likeness::Notes => Repetition::Candidates { weight },
            Likeness::Degrees(count) => Repetition::Classes {
                count: count as u8,
                weight,
            },
        })
    }
}
