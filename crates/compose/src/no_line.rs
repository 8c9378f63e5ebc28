//! "No line is possible" as an answer: where, and which limits are in the way.

use std::collections::BTreeMap;
use std::fmt;

use linewright_chart::Timeline;
use linewright_lattice::{DeadEnd, Obstacle};
use linewright_rulebook::plan::Plan;
use linewright_rulebook::style::Style;
use linewright_rulebook::{IntervalPlace, IntervalWindow, NoteWindow, RuleBook, StepWindow};
use linewright_theory::Pitch;

/// What removes a candidate note.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// A rule with the weight "never", by name.
    Rule(&'static str),
    /// A limit on two moves in a row.
    Shape,
    /// A limit on the cell of a bar.
    Cell,
    /// A limit on a bar that begins like the bar before.
    Alike,
    /// The note was held fixed.
    Fixed,
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Cause::Rule(name) => write!(f, "`{name}`"),
            Cause::Shape => f.write_str("the rules on two moves in a row"),
            Cause::Cell => f.write_str("the rules on the cell of a bar"),
            Cause::Alike => f.write_str("`cell-again` and `sequence`"),
            Cause::Fixed => f.write_str("notes that are held fixed"),
        }
    }
}

/// Why there is no line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoLine(Kind);

#[derive(Clone, Debug, PartialEq, Eq)]
enum Kind {
    /// The chart has no chords.
    Silent,
    /// The limits leave no note on some beat.
    Limits {
        place: Where,
        causes: Vec<(Cause, usize)>,
    },
    /// The temperature is too low to draw by; the least that would do, in milli-points.
    TooCold { enough: u32 },
    /// There are so many lines only, and one of a later place was asked for.
    TooFew { count: usize },
}

/// The first beat at which no note is left.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Where {
    bar: usize,
    beat: u8,
    chord: String,
}

impl NoLine {
    /// A chart without a single chord.
    pub(crate) fn silent() -> Self {
        Self(Kind::Silent)
    }

    /// A temperature that is too low to draw by.
    pub(crate) fn too_cold(enough: f64) -> Self {
        Self(Kind::TooCold {
            enough: enough as u32 + 1,
        })
    }

    /// Fewer lines than the place that was asked for.
    pub(crate) fn too_few(count: usize) -> Self {
        Self(Kind::TooFew { count })
    }

    /// Finds the limits behind a dead end.
    pub(crate) fn explain(
        dead_end: &DeadEnd,
        timeline: &Timeline,
        book: &RuleBook,
        style: &Style,
        plan: &Plan,
        pitches: &[Pitch],
    ) -> Self {
        let slot = &plan.slots[dead_end.layer];
        let mut causes: BTreeMap<Cause, usize> = BTreeMap::new();
        for (&pitch, obstacle) in pitches.iter().zip(&dead_end.obstacles) {
            let cause = match obstacle {
                Obstacle::Pinned | Obstacle::Automaton | Obstacle::NotAccepted => Cause::Fixed,
                Obstacle::Unary => {
                    let window = NoteWindow {
                        style,
                        bar: &plan.bars[slot.bar],
                        slot,
                        pitch,
                    };
                    book.ban_on_note(&window)
                        .map_or(Cause::Fixed, |rule| Cause::Rule(rule.name))
                }
                Obstacle::Bigram => {
                    step_ban(dead_end, book, style, plan, pitches, pitch).unwrap_or(Cause::Shape)
                }
                Obstacle::Trigram => Cause::Shape,
                Obstacle::Prefix | Obstacle::Suffix => Cause::Cell,
                Obstacle::Repetition => Cause::Alike,
            };
            *causes.entry(cause).or_default() += 1;
        }
        let mut causes: Vec<(Cause, usize)> = causes.into_iter().collect();
        causes.sort_by_key(|(_, count)| std::cmp::Reverse(*count));
        let place = Where {
            bar: timeline.bar_number(slot.bar),
            beat: slot.beat + 1,
            chord: slot.ground.chord.to_string(),
        };
        Self(Kind::Limits { place, causes })
    }

    /// Bar and beat at which the limits leave no note: the bar as played, from 1 (a
    /// pick-up bar is 0), the beat from 1.
    pub fn place(&self) -> Option<(usize, u8)> {
        match &self.0 {
            Kind::Limits { place, .. } => Some((place.bar, place.beat)),
            _ => None,
        }
    }

    /// What removes the candidate notes there, and how many of them, most first.
    pub fn causes(&self) -> &[(Cause, usize)] {
        match &self.0 {
            Kind::Limits { causes, .. } => causes,
            _ => &[],
        }
    }
}

/// The rule that forbids most of the moves into a note.
fn step_ban(
    dead_end: &DeadEnd,
    book: &RuleBook,
    style: &Style,
    plan: &Plan,
    pitches: &[Pitch],
    pitch: Pitch,
) -> Option<Cause> {
    let at = dead_end.layer;
    let place = IntervalPlace::of(&plan.slots[at.checked_sub(1)?], &plan.slots[at]);
    let mut bans: BTreeMap<&'static str, usize> = BTreeMap::new();
    for &before in &dead_end.reached {
        let before = pitches[usize::from(before)];
        let interval = i32::from(pitch.midi()) - i32::from(before.midi());
        let step = StepWindow::into_slot(plan, at, before.class(), interval);
        let interval = IntervalWindow {
            style,
            place,
            interval,
        };
        if let Some(rule) = book.ban_on_move(&interval, &step) {
            *bans.entry(rule.name).or_default() += 1;
        }
    }
    bans.into_iter()
        .max_by_key(|(_, count)| *count)
        .map(|(name, _)| Cause::Rule(name))
}

impl fmt::Display for NoLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (Where { bar, beat, chord }, causes) = match &self.0 {
            Kind::Limits { place, causes } => (place, causes),
            Kind::Silent => {
                return f.write_str("the chart has no chords, so there is nothing to play\n  hint: write at least one bar with a chord");
            }
            Kind::TooCold { enough } => {
                let enough = f64::from(*enough) / 1000.0;
                return write!(
                    f,
                    "the temperature is too low for the weights of this style\n  hint: take {enough:.2} or more, or ask for the best line"
                );
            }
            Kind::TooFew { count } => {
                return write!(
                    f,
                    "there are only {count} lines under this plan\n  hint: ask for a place from 1 to {count}"
                );
            }
        };
        writeln!(
            f,
            "no line obeys the style's limits: no note is left at bar {bar}, beat {beat}, over {chord}"
        )?;
        for (cause, count) in causes {
            writeln!(
                f,
                "  {count} of the notes in range are ruled out by {cause}"
            )?;
        }
        f.write_str(
            "  hint: give one of these rules a weight instead of \"never\", or widen the range",
        )
    }
}

impl std::error::Error for NoLine {}
