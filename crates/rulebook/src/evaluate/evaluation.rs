//! A line under evaluation.

use crate::plan::Plan;
use crate::style::Style;
use linewright_theory::{Member, Pitch};

use super::{Evaluator, Weighed};
use crate::clarity::{Rival, clarity};
use crate::facts::{BarFacts, tension};
use crate::finding::{Finding, Place};
use crate::rule::Strength;
use crate::segment::{Likeness, likeness, parts};
use crate::symbol::{CellSymbol, cell_symbol, members_by_symbol};
use crate::window::{
    BarWindow, CellPlace, CellWindow, EchoWindow, IntervalPlace, IntervalWindow, NoteWindow,
    OrderPlace, OrderWindow, ShapePlace, ShapeWindow, StepWindow,
};

/// What is computed of a bar, and its best rival.
pub(crate) type BarComputed = (usize, BarFacts, Rival);

/// A line, and the rules that look at it.
pub(crate) struct Evaluation<'a> {
    evaluator: &'a Evaluator,
    style: &'a Style,
    plan: &'a Plan,
    pitches: &'a [Pitch],
}

/// Keeps what some rules find at a place.
fn evaluate<Test: Copy>(
    tests: &[(Test, Weighed)],
    place: Place,
    found: &mut Vec<Finding>,
    strength: impl Fn(Test) -> Strength,
) {
    for (test, weighed) in tests {
        let strength = strength(*test);
        debug_assert!(
            (0..=weighed.rule.rule().most).contains(&strength),
            "{:?}: {strength}",
            weighed.rule.rule()
        );
        if strength != 0 {
            found.push(Finding {
                rule: weighed.rule,
                place,
                strength,
                points: weighed.weight.times(strength),
            });
        }
    }
}

impl<'a> Evaluation<'a> {
    pub(crate) fn new(
        evaluator: &'a Evaluator,
        style: &'a Style,
        plan: &'a Plan,
        pitches: &'a [Pitch],
    ) -> Self {
        assert_eq!(pitches.len(), plan.slots.len(), "one pitch for each slot");
        Evaluation {
            evaluator,
            style,
            plan,
            pitches,
        }
    }

    /// What every rule finds everywhere. Where that is asked, what is `computed` of each bar that
    /// has notes.
    pub(crate) fn everywhere(
        &self,
        found: &mut Vec<Finding>,
        mut computed: Option<&mut Vec<BarComputed>>,
    ) {
        for at in 0..self.pitches.len() {
            self.note(at, found);
            self.move_into(at, found);
            self.shape(at, found);
        }
        for bar in 0..self.plan.bars.len() {
            self.cell(bar, found, computed.as_deref_mut());
            self.echo(bar, found);
        }
    }

    fn interval(&self, to: usize) -> i32 {
        i32::from(self.pitches[to].midi()) - i32::from(self.pitches[to - 1].midi())
    }

    fn is_chord_tone(&self, at: usize) -> bool {
        let ground = &self.plan.slots[at].ground;
        ground.is_chord_tone(self.pitches[at].class())
    }

    fn offset(&self, at: usize) -> u8 {
        let ground = &self.plan.slots[at].ground;
        ground.offset(self.pitches[at].class())
    }

    pub(super) fn symbol(&self, at: usize) -> CellSymbol {
        cell_symbol(&self.plan.slots[at].ground, self.offset(at))
    }

    pub(super) fn note(&self, at: usize, found: &mut Vec<Finding>) {
        let slot = &self.plan.slots[at];
        let window = NoteWindow {
            style: self.style,
            bar: &self.plan.bars[slot.bar],
            slot,
            pitch: self.pitches[at],
        };
        let tests = &self.evaluator.tests.note;
        evaluate(tests, Place::Note(at), found, |test| test(&window));
    }

    /// The interval into a note, and what the move is over its chords.
    pub(super) fn move_into(&self, at: usize, found: &mut Vec<Finding>) {
        if at == 0 {
            return;
        }
        let (place, interval) = (Place::Note(at), self.interval(at));
        let slots = &self.plan.slots;
        let window = IntervalWindow {
            style: self.style,
            place: IntervalPlace::of(&slots[at - 1], &slots[at]),
            interval,
        };
        let tests = &self.evaluator.tests.interval;
        evaluate(tests, place, found, |test| test(&window));
        let tests = &self.evaluator.tests.step;
        if tests.is_empty() {
            return;
        }
        let class = self.pitches[at - 1].class();
        let window = StepWindow::into_slot(self.plan, at, class, interval);
        evaluate(tests, place, found, |test| test(&window));
    }

    pub(super) fn shape(&self, at: usize, found: &mut Vec<Finding>) {
        if at < 2 {
            return;
        }
        let window = ShapeWindow {
            first: self.interval(at - 1),
            second: self.interval(at),
            middle_is_chord_tone: self.is_chord_tone(at - 1),
            last_is_chord_tone: self.is_chord_tone(at),
            place: ShapePlace::of(&self.plan.slots[at - 1], &self.plan.slots[at]),
        };
        let tests = &self.evaluator.tests.shape;
        evaluate(tests, Place::Note(at), found, |test| test(&window));
    }

    /// A bar's cell, and how clear and how tense it is where that matters.
    pub(super) fn cell(
        &self,
        bar: usize,
        found: &mut Vec<Finding>,
        mut computed: Option<&mut Vec<BarComputed>>,
    ) {
        let row = self.plan.bars[bar].slots.clone();
        for part in parts(row) {
            let slots = &self.plan.slots[part.clone()];
            let cell: Vec<CellSymbol> = part.map(|at| self.symbol(at)).collect();
            let place = Place::Bar(bar);
            let tests = &self.evaluator.tests;
            if !tests.order.is_empty() {
                let window = OrderWindow {
                    place: OrderPlace::over(&self.plan.bars[bar], slots),
                    cell: &cell,
                };
                evaluate(&tests.order, place, found, |test| test(&window));
            }
            if tests.cell.is_empty() && tests.bar.is_empty() && computed.is_none() {
                continue;
            }
            let members = slots.iter().zip(&cell);
            let members: Vec<Member> = members
                .map(|(slot, symbol)| members_by_symbol(&slot.ground)[usize::from(*symbol)])
                .collect();
            let window = CellWindow {
                place: CellPlace::over(&self.plan.bars[bar], slots),
                members: &members,
            };
            evaluate(&tests.cell, place, found, |test| test(&window));
            if tests.bar.is_empty() && computed.is_none() {
                continue;
            }
            let (clarity, rival) = clarity(slots, &cell);
            let facts = BarFacts {
                clarity,
                tension: tension(&members, clarity),
            };
            // A long bar is known by its head.
            if let Some(computed) = computed.as_deref_mut().filter(|_| window.place.begins_bar) {
                computed.push((bar, facts, rival));
            }
            let window = BarWindow {
                bar: &self.plan.bars[bar],
                cell: window,
                facts,
            };
            evaluate(&tests.bar, place, found, |test| test(&window));
        }
    }

    /// A bar, if there is one, against the bar before.
    pub(super) fn echo(&self, bar: usize, found: &mut Vec<Finding>) {
        if self.evaluator.tests.echo.is_empty() || bar == 0 || bar >= self.plan.bars.len() {
            return;
        }
        let [first, second] = [bar - 1, bar].map(|bar| self.plan.bars[bar].slots.clone());
        let alike = match likeness(first.len(), second.len()) {
            None => false,
            Some(Likeness::Notes) => self.pitches[first.clone()] == self.pitches[second.clone()],
            Some(Likeness::Degrees(n)) => {
                (0..n).all(|nth| self.offset(first.start + nth) == self.offset(second.start + nth))
            }
        };
        if alike {
            let slots = &self.plan.slots;
            let window = EchoWindow {
                before: &slots[first.start],
                slot: &slots[second.start],
            };
            let tests = &self.evaluator.tests.echo;
            evaluate(tests, Place::Bar(bar), found, |test| test(&window));
        }
    }
}
