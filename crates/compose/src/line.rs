//! A finished line with all that is needed to print it or make it again.

use std::sync::Arc;

use linewright_chart::Timeline;
use linewright_notation::{QUARTER, Ticks};
use linewright_rulebook::plan::Plan;
use linewright_rulebook::style::Style;

use linewright_rulebook::{Reading, RuleBook, StyleBook};

use linewright_theory::{Degree, Note, Pitch};

use crate::provenance::{Choice, Origin};
use crate::written::{Role, Sound, Written, on_the_beats, settle, sounds};

/// Whose a line is, where that is told.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Credits {
    /// Who wrote the tune.
    pub composer: Option<String>,
    /// Who wrote the line, where it is a student's.
    pub student: Option<String>,
}

impl Credits {
    /// Those that are told, each with its name as header lines and facts have it.
    pub fn told(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let all = [("composer", &self.composer), ("student", &self.student)];
        all.into_iter()
            .filter_map(|(name, who)| Some((name, who.as_deref()?)))
    }
}

/// A finished line.
#[derive(Clone, Debug)]
pub struct Line {
    /// The form that it is played over, all choruses in order.
    pub timeline: Arc<Timeline>,
    /// The style that it is written in.
    pub style: Arc<Style>,
    /// The rulebook of the style.
    pub book: Arc<RuleBook>,
    /// The plan that it follows.
    pub plan: Plan,
    /// The walk, read by the rulebook: the notes on the beats.
    pub reading: Reading,
    /// The line as it is written, for each bar of the timeline what stands in it: it fills the
    /// bar.
    pub written: Vec<Vec<Written>>,
    /// Whose it is: of a composed line the composer that the chart tells.
    pub credits: Credits,
    /// Which of all lines it is.
    pub origin: Origin,
}

impl Line {
    /// A line that somebody else wrote, read under a plan: one pitch for each of its slots.
    ///
    /// # Panics
    /// If there are not as many pitches as slots.
    pub fn given(
        style_book: &StyleBook,
        timeline: &Arc<Timeline>,
        plan: Plan,
        pitches: &[Pitch],
    ) -> Self {
        Self::made(style_book, timeline, plan, pitches, (0, 0), None)
    }

    /// A line with its reading; `made` is the seed and the line's number within it.
    pub(crate) fn made(
        style_book: &StyleBook,
        timeline: &Arc<Timeline>,
        plan: Plan,
        pitches: &[Pitch],
        (seed, line): (u64, u64),
        choice: Option<Choice>,
    ) -> Self {
        let reading = style_book.read(&plan, pitches);
        Self {
            written: on_the_beats(timeline, &plan, &reading.notes),
            credits: Credits {
                composer: timeline.composer.clone(),
                student: None,
            },
            timeline: timeline.clone(),
            style: style_book.style().clone(),
            book: style_book.book().clone(),
            plan,
            reading,
            origin: Origin {
                style_hash: style_book.hash(),
                seed,
                line,
                choice,
            },
        }
    }

    /// The notes that sound, in order: those of the walk and what lies between them, each with
    /// all that is tied to it.
    pub fn sounds(&self) -> Vec<Sound> {
        sounds(&self.written)
    }

    /// The degree of a pitch over the chord that sounds at a place in a bar; `None` where there
    /// is none.
    pub fn degree_at(&self, bar: usize, at: Ticks, pitch: Pitch) -> Option<Degree> {
        let beat = u8::try_from(at / QUARTER).ok()?;
        let chord = self.timeline.bars.get(bar)?.harmony_at(beat)?.chord()?;
        let above = i32::from(pitch.midi()) - i32::from(chord.root.class().get());
        Some(chord.degree(above.rem_euclid(12) as u8))
    }

    /// Spells the notes of the walk as the reading does, for a line that was played and has no
    /// spelling of its own.
    pub fn spell_as_read(&mut self) {
        let mut spelled: Option<Note> = None;
        for written in self.written.iter_mut().flatten() {
            match written.role {
                Role::Walk(slot) => spelled = self.reading.notes.get(slot).map(|note| note.note),
                Role::Held => {}
                _ => spelled = None,
            }
            if let (Some(note), Some(spelled)) = (&mut written.event.note, spelled)
                && note.pitch() == spelled.pitch()
            {
                *note = spelled;
            }
        }
    }

    /// The same line with every bar written as another line has it whose walk is the same there.
    /// Both must have the slots of their plans in the same places.
    pub fn written_as(mut self, other: &Line) -> Self {
        for (bar, planned) in other.plan.bars.iter().enumerate() {
            let walk = |line: &Line| {
                let notes = line.reading.notes[planned.slots.clone()].iter();
                notes.map(|note| note.pitch).collect::<Vec<_>>()
            };
            if walk(&self) == walk(other) {
                self.written[bar].clone_from(&other.written[bar]);
            }
        }
        settle(&mut self.written);
        self
    }
}
