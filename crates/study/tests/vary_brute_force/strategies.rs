//! What each strategy asks, once more.

use std::ops::Range;
use std::sync::Arc;

use linewright_compose::Line;
use linewright_rulebook::plan::{Cadence, Clarity, Ground, Plan};
use linewright_rulebook::rules::{arrival, melody, order};
use linewright_rulebook::style::Weight;
use linewright_rulebook::{AMBIGUOUS, CLEAR, Rule, clarity_of};
use linewright_theory::{Chord, Interval, Member, Pitch, PitchClass};

/// A passage of a line.
pub struct Passage<'a> {
    pub line: &'a Line,
    pub bars: Range<usize>,
    pub slots: Range<usize>,
}

/// What a strategy asks.
pub struct Known {
    pub name: &'static str,
    /// Weights that differ from the style's.
    pub weights: &'static [(&'static Rule, Weight)],
    /// The plans under which it can be done.
    pub plans: fn(&Passage) -> Vec<Plan>,
    /// Whether some notes are an answer.
    pub is_one: fn(&Passage, &[Pitch]) -> bool,
}

impl Passage<'_> {
    fn row(&self, bar: usize) -> Range<usize> {
        let row = self.line.plan.bars[bar].slots.clone();
        row.start - self.slots.start..row.end - self.slots.start
    }

    /// Whether it is two bars of one chord with so many notes each or more.
    fn two_bars(&self, least: usize) -> bool {
        let slots = &self.line.plan.slots[self.slots.clone()];
        let one = slots
            .iter()
            .all(|slot| slot.ground.chord == slots[0].ground.chord);
        let lengths: Vec<usize> = self.bars.clone().map(|bar| self.row(bar).len()).collect();
        one && lengths.len() == 2 && lengths[0] == lengths[1] && lengths[0] >= least
    }

    fn halves<'n>(&self, notes: &'n [Pitch]) -> (&'n [Pitch], &'n [Pitch]) {
        notes.split_at(self.row(self.bars.start).len())
    }

    pub fn ground(&self) -> &Ground {
        &self.line.plan.slots[self.slots.start].ground
    }

    fn is_root(&self, note: Pitch) -> bool {
        note.class() == self.ground().line_root
    }

    fn clarity(&self, notes: &[Pitch]) -> i32 {
        let row = self.line.plan.bars[self.bars.start].slots.clone();
        clarity_of(&self.line.plan.slots[row], notes)
    }

    fn own_plan(&self) -> Vec<Plan> {
        vec![self.line.plan.clone()]
    }

    fn after(&self) -> Option<Pitch> {
        self.line
            .reading
            .notes
            .get(self.slots.end)
            .map(|note| note.pitch)
    }
}

fn moves(notes: &[Pitch]) -> Vec<i32> {
    let midi = |pitch: Pitch| i32::from(pitch.midi());
    notes.windows(2).map(|w| midi(w[1]) - midi(w[0])).collect()
}

fn by_step(from: Pitch, to: Pitch) -> bool {
    matches!(moves(&[from, to])[0].abs(), 1 | 2)
}

fn sorted(notes: &[Pitch]) -> Vec<u8> {
    let mut classes: Vec<u8> = notes.iter().map(|note| note.class().get()).collect();
    classes.sort_unstable();
    classes
}

fn classes(notes: &[Pitch]) -> Vec<PitchClass> {
    notes.iter().map(|note| note.class()).collect()
}

/// Own plan where the passage is two bars of one chord of so many notes.
fn over_two_bars<const LEAST: usize>(passage: &Passage) -> Vec<Plan> {
    if passage.two_bars(LEAST) {
        passage.own_plan()
    } else {
        Vec::new()
    }
}

/// Every strategy, in the order in which they take turns.
pub const KNOWN: &[Known] = &[
    Known {
        name: "any-way",
        weights: &[],
        plans: |passage| passage.own_plan(),
        is_one: |_, _| true,
    },
    Known {
        name: "clear-then-leading-on",
        weights: &[],
        plans: |passage| {
            let mut plans = over_two_bars::<2>(passage);
            plans.retain(|_| passage.after().is_some());
            for plan in &mut plans {
                plan.bars[passage.bars.start].clarity = Clarity::Clear;
                plan.bars[passage.bars.start + 1].clarity = Clarity::Free;
            }
            plans
        },
        is_one: |passage, notes| {
            let (first, second) = passage.halves(notes);
            passage.is_root(first[0])
                && passage.clarity(first) >= CLEAR
                && !passage.is_root(second[0])
                && by_step(second[second.len() - 1], passage.after().unwrap())
        },
    },
    Known {
        name: "unclear-then-clear",
        weights: &[],
        plans: |passage| {
            let (first, second) = (passage.bars.start, passage.bars.start + 1);
            let mut plans = over_two_bars::<3>(passage);
            plans.retain(|plan| plan.has_room(second, Cadence::BeatOne));
            for plan in &mut plans {
                (plan.bars[first].cadence, plan.bars[first].clarity) = (None, Clarity::Ambiguous);
                plan.bars[second].cadence = Some(Cadence::BeatOne);
                plan.bars[second].clarity = Clarity::Clear;
            }
            plans
        },
        is_one: |passage, notes| {
            let (first, second) = passage.halves(notes);
            let into = moves(&[first[first.len() - 1], second[0]])[0];
            let approached = [1, -1, 2, -2, -7, 5].contains(&into);
            passage.clarity(first) <= AMBIGUOUS && passage.is_root(second[0]) && approached
        },
    },
    Known {
        name: "other-order",
        weights: &[],
        plans: over_two_bars::<3>,
        is_one: |passage, notes| {
            let (first, second) = passage.halves(notes);
            sorted(first) == sorted(second) && classes(first) != classes(second)
        },
    },
    Known {
        name: "octave-away",
        weights: &[
            (&order::CELL_AGAIN, Weight::ZERO),
            (&melody::UNRECOVERED_LEAP, Weight::Milli(-2000)),
            (&melody::AWKWARD_LEAP, Weight::Milli(-2000)),
        ],
        plans: |passage| {
            let mut plans = over_two_bars::<2>(passage);
            for plan in &mut plans {
                let second = plan.bars[passage.bars.start + 1].slots.start;
                plan.slots[second].shift = true;
            }
            plans
        },
        is_one: |passage, notes| {
            let (first, second) = passage.halves(notes);
            [12, -12].iter().any(|way| {
                let away = |(a, b): (&Pitch, &Pitch)| moves(&[*a, *b])[0] == *way;
                first.iter().zip(second).all(away)
            })
        },
    },
    Known {
        name: "sequence",
        weights: &[
            (&arrival::OUTSIDE_ARRIVAL, Weight::Milli(-500)),
            (&arrival::COLOUR_ARRIVAL, Weight::ZERO),
        ],
        plans: over_two_bars::<2>,
        is_one: |passage, notes| {
            let ground = passage.ground();
            let inside = |note: Pitch| ground.member(note.class()) != Member::Outside;
            let (first, second) = passage.halves(notes);
            // The next note of the scale that way: all between lie outside.
            let is_next = |from: Pitch, to: Pitch, way: i32| {
                let size = moves(&[from, to])[0] * way;
                let between = (1..size).all(|n| {
                    let midi = i32::from(from.midi()) + n * way;
                    !inside(Pitch::new(midi as u8).unwrap())
                });
                size > 0 && between
            };
            notes.iter().all(|note| inside(*note))
                && [1, -1].iter().any(|way| {
                    let mut pairs = first.iter().zip(second);
                    pairs.all(|(from, to)| is_next(*from, *to, *way))
                })
        },
    },
    Known {
        name: "scale-then-arpeggio",
        weights: &[],
        plans: over_two_bars::<3>,
        is_one: |passage, notes| {
            let (walk, back) = passage.halves(notes);
            let tones = |note: &Pitch| passage.ground().is_chord_tone(note.class());
            [1, -1].iter().any(|way| {
                let steps = moves(walk)
                    .iter()
                    .all(|size| [1, 2].contains(&(size * way)));
                steps && moves(back).iter().all(|size| size * way <= -2)
            }) && back.iter().all(tones)
        },
    },
    Known {
        name: "passing-chord",
        weights: &[],
        plans: |passage| {
            if !passage.two_bars(4) {
                return Vec::new();
            }
            passing_chords(passage)
                .into_iter()
                .map(|chord| {
                    let mut plan = passage.line.plan.clone();
                    let row = plan.bars[passage.bars.start].slots.clone();
                    let ground = Arc::new(Ground::new(chord, passage.ground().key));
                    plan.reharmonise(row.start + row.len() / 2..row.end, &ground);
                    plan
                })
                .collect()
        },
        is_one: |_, _| true,
    },
    Known {
        name: "pedal-then-run",
        weights: &[
            (&melody::THREE_ALIKE, Weight::ZERO),
            (&melody::REPEATED_NOTE, Weight::ZERO),
            (&order::THIN_BAR, Weight::ZERO),
            (&melody::OSCILLATION, Weight::ZERO),
            (&melody::PEDAL, Weight::Milli(500)),
            (&melody::UNRECOVERED_LEAP, Weight::Milli(-500)),
        ],
        plans: over_two_bars::<3>,
        is_one: |passage, notes| {
            let (stay, run) = passage.halves(notes);
            let run = moves(run);
            stay.iter().all(|note| passage.is_root(*note))
                && (run.iter().all(|size| [1, 2].contains(size))
                    || run.iter().all(|size| [-1, -2].contains(size)))
        },
    },
    Known {
        name: "other-order-of-the-line",
        weights: &[],
        plans: |passage| {
            let long = passage.bars.clone().any(|bar| passage.row(bar).len() >= 3);
            if long { passage.own_plan() } else { Vec::new() }
        },
        is_one: |passage, notes| {
            let own: Vec<Pitch> = passage.line.reading.notes[passage.slots.clone()]
                .iter()
                .map(|note| note.pitch)
                .collect();
            passage.bars.clone().all(|bar| {
                let row = passage.row(bar);
                let (now, own) = (&notes[row.clone()], &own[row]);
                let one_order = own.iter().all(|note| note.class() == own[0].class());
                sorted(now) == sorted(own) && (one_order || classes(now) != classes(own))
            })
        },
    },
];

/// A half step above, a half step below, and the dominant.
pub fn passing_chords(passage: &Passage) -> Vec<Chord> {
    let home = passage.ground().chord;
    let by = |steps, semitones| home.transposed(Interval::new(steps, semitones).unwrap());
    let dominant: Chord = format!("{}7", by(4, 7).root).parse().unwrap();
    vec![by(1, 1), by(-1, -1), dominant]
}
