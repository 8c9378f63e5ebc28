//! A line read by the rulebook: every finding, note by note and bar by bar.

use crate::plan::{Cadence, Plan};
use crate::style::Style;
use linewright_theory::{Degree, Going, Member, Note, Pitch, spell};

use crate::book::RuleBook;
use crate::clarity::Rival;
use crate::evaluate::{BarComputed, Evaluation, Evaluator};
use crate::finding::{Finding, Place};
use crate::rule::{Family, FunctionName, Label, Rule, RuleId};
use crate::rules::cadence::{BEAT_ONE_CADENCE, NEXT_ROOT_CADENCE, OWN_ROOT_CADENCE};

/// A function that a rule gives to a note.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Function {
    /// The rule that found it.
    pub rule: RuleId,
    /// What it is called.
    pub name: FunctionName,
    /// For an approach: whether it comes from below (`true`) or above.
    pub from_below: Option<bool>,
}

/// One note, read.
#[derive(Clone, Debug, PartialEq)]
pub struct NoteReading {
    /// Number of the note and of its slot, from 0.
    pub slot: usize,
    /// The note as it sounds.
    pub pitch: Pitch,
    /// The note as it is written, at sounding octave.
    pub note: Note,
    /// Its degree over its chord.
    pub degree: Degree,
    /// What it is to its chord.
    pub member: Member,
    /// Its functions, strongest first.
    pub functions: Vec<Function>,
    /// Milli-points of all findings at this note.
    pub points: i64,
}

/// One bar, read.
#[derive(Clone, Debug, PartialEq)]
pub struct BarReading {
    /// Index of the bar in the timeline.
    pub bar: usize,
    /// The cell: the degrees of its notes.
    pub cell: Vec<Degree>,
    /// How surely the notes name their chord, in milli-nats.
    pub clarity: i32,
    /// The best rival to its first chord.
    pub rival: Rival,
    /// Tension, in thousandths.
    pub tension: i32,
    /// The planned cadence, where the bar keeps it.
    pub cadence: Option<Cadence>,
    /// Milli-points of the findings at the bar itself.
    pub points: i64,
}

/// A line, read.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// One for each note.
    pub notes: Vec<NoteReading>,
    /// One for each bar that has notes.
    pub bars: Vec<BarReading>,
    /// Every finding, in order of place, then of rule.
    pub findings: Vec<Finding>,
    /// The score: the sum of all points, in milli-points.
    pub score: i64,
}

impl Reading {
    /// Whether the style forbids any of the findings.
    pub fn breaks_limits(&self) -> bool {
        self.findings.iter().any(|finding| finding.points.is_none())
    }
}

/// Reads a line under its plan: one pitch for each slot.
///
/// # Panics
/// If there are not as many pitches as slots.
pub fn read(book: &RuleBook, style: &Style, plan: &Plan, pitches: &[Pitch]) -> Reading {
    let mut reader = Reader {
        book,
        plan,
        pitches,
        findings: Vec::new(),
        computed: Vec::new(),
    };
    Evaluation::new(&Evaluator::of(book), style, plan, pitches)
        .everywhere(&mut reader.findings, Some(&mut reader.computed));
    reader.finish()
}

/// The rule that finds a cadence of this kind.
pub fn cadence_rule(cadence: Cadence) -> &'static Rule {
    match cadence {
        Cadence::BeatOne => &BEAT_ONE_CADENCE,
        Cadence::OwnRoot => &OWN_ROOT_CADENCE,
        Cadence::NextRoot => &NEXT_ROOT_CADENCE,
    }
}

struct Reader<'a> {
    book: &'a RuleBook,
    plan: &'a Plan,
    pitches: &'a [Pitch],
    findings: Vec<Finding>,
    /// Each bar that has notes, what is computed of it, and its best rival.
    computed: Vec<BarComputed>,
}

impl Reader<'_> {
    fn interval(&self, to: usize) -> i32 {
        i32::from(self.pitches[to].midi()) - i32::from(self.pitches[to - 1].midi())
    }

    /// The order of findings: by bar, the bar's own first, then note by note.
    fn order(&self, place: Place) -> (usize, u8, usize) {
        match place {
            Place::Note(at) => (self.plan.slots[at].bar, 1, at),
            Place::Bar(bar) => (bar, 0, 0),
        }
    }

    /// The findings from one place to another, both included, once in order.
    fn between(&self, first: Place, last: Place) -> &[Finding] {
        let (first, last) = (self.order(first), self.order(last));
        let start = self
            .findings
            .partition_point(|f| self.order(f.place) < first);
        let length = self.findings[start..].partition_point(|f| self.order(f.place) <= last);
        &self.findings[start..start + length]
    }

    fn finish(mut self) -> Reading {
        let mut findings = std::mem::take(&mut self.findings);
        findings.sort_by_key(|finding| (self.order(finding.place), finding.rule));
        self.findings = findings;
        let notes = (0..self.pitches.len())
            .map(|at| self.note_reading(at))
            .collect();
        let bars = self
            .computed
            .iter()
            .map(|computed| self.bar_reading(computed))
            .collect();
        let score = points(&self.findings);
        Reading {
            notes,
            bars,
            findings: self.findings,
            score,
        }
    }

    fn note_reading(&self, at: usize) -> NoteReading {
        let slot = &self.plan.slots[at];
        let pitch = self.pitches[at];
        let going = (at + 1 < self.pitches.len())
            .then(|| self.interval(at + 1))
            .and_then(|step| match step {
                1 => Some(Going::Up),
                -1 => Some(Going::Down),
                _ => None,
            });
        NoteReading {
            slot: at,
            pitch,
            note: spell(pitch, &slot.ground.chord, slot.ground.key, going),
            degree: slot.ground.degree(pitch),
            member: slot.ground.member(pitch.class()),
            functions: self.functions(at),
            points: points(self.between(Place::Note(at), Place::Note(at))),
        }
    }

    fn functions(&self, at: usize) -> Vec<Function> {
        let mut functions: Vec<(Family, Function)> = Vec::new();
        let last = (at + 2).min(self.pitches.len() - 1);
        for finding in self.between(Place::Note(at), Place::Note(last)) {
            let Place::Note(found) = finding.place else {
                continue;
            };
            let rule = self.book.entry(finding.rule).rule;
            let name = match rule.label {
                Label::This(name) if found == at => name,
                Label::Before(name) if found == at + 1 => name,
                Label::BothBefore(name) if found == at + 1 || found == at + 2 => name,
                _ => continue,
            };
            let sided = !matches!(rule.label, Label::This(_)) && rule.family == Family::Approach;
            let from_below = (sided && self.interval(found) != 0).then(|| self.interval(found) > 0);
            functions.push((
                rule.family,
                Function {
                    rule: finding.rule,
                    name,
                    from_below,
                },
            ));
        }
        let rank = |family: Family| match family {
            Family::Cadence => 0,
            Family::Approach => 1,
            Family::Tone => 3,
            _ => 2,
        };
        functions.sort_by_key(|(family, function)| (rank(*family), function.rule));
        functions
            .into_iter()
            .map(|(_, function)| function)
            .collect()
    }

    fn bar_reading(&self, (bar, facts, rival): &BarComputed) -> BarReading {
        let bar = *bar;
        let plan = &self.plan.bars[bar];
        let row = plan.slots.clone();
        let kept = |rule: &Rule| {
            self.between(Place::Bar(bar), Place::Note(row.end - 1))
                .iter()
                .any(|finding| self.book.entry(finding.rule).rule == rule)
        };
        let cadence = plan.cadence.filter(|&cadence| kept(cadence_rule(cadence)));
        BarReading {
            bar,
            cell: row
                .map(|at| self.plan.slots[at].ground.degree(self.pitches[at]))
                .collect(),
            clarity: facts.clarity,
            rival: rival.clone(),
            tension: facts.tension,
            cadence,
            points: points(self.between(Place::Bar(bar), Place::Bar(bar))),
        }
    }
}

/// The points of some findings together.
fn points(findings: &[Finding]) -> i64 {
    findings
        .iter()
        .filter_map(|finding| finding.points)
        .map(i64::from)
        .sum()
}
