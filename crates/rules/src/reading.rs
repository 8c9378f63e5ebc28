//! A line read by the rulebook: every finding, note by note and bar by bar.

use linewright_plan::{Cadence, Plan};
use linewright_style::Style;
use linewright_theory::{Degree, Going, Member, Note, Pitch, spell};

use crate::book::RuleBook;
use crate::clarity::{Rival, clarity};
use crate::facts::{BarFacts, tension};
use crate::finding::{Finding, Place};
use crate::rule::{Family, Label, Look, Rule, RuleId};
use crate::segment::{Likeness, head, likeness};
use crate::symbol::{CellSymbol, cell_symbol, members_by_symbol};
use crate::window::{BarWindow, EchoWindow, NoteWindow, ShapePlace, ShapeWindow, StepWindow};

/// A function that a rule gives to a note.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Function {
    /// The rule that found it.
    pub rule: RuleId,
    /// The function's name.
    pub name: &'static str,
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
    Reader::of(book, style, plan, pitches).finish()
}

/// What every rule finds in a line, in no particular order: the findings of [`read`], at a part
/// of its cost.
///
/// # Panics
/// If there are not as many pitches as slots.
pub fn findings(book: &RuleBook, style: &Style, plan: &Plan, pitches: &[Pitch]) -> Vec<Finding> {
    Reader::of(book, style, plan, pitches).findings
}

/// What every rule finds at the places that hang on one note of a line (see [`hangs_on`]), in no
/// particular order: where that note changes, only these findings do.
///
/// # Panics
/// If there are not as many pitches as slots, or no such slot.
pub fn findings_around(
    book: &RuleBook,
    style: &Style,
    plan: &Plan,
    pitches: &[Pitch],
    slot: usize,
) -> Vec<Finding> {
    let mut reader = Reader::new(book, style, plan, pitches);
    for at in slot..(slot + 3).min(pitches.len()) {
        reader.note(at);
    }
    let bar = plan.slots[slot].bar;
    for bar in bar..(bar + 2).min(plan.bars.len()) {
        if plan.bars[bar].slots.is_empty() {
            continue;
        }
        reader.bar(bar);
        if bar > 0 && !plan.bars[bar - 1].slots.is_empty() {
            reader.echo(bar - 1, bar);
        }
    }
    reader.findings
}

/// Whether what is found at a place can hang on the note of a slot: at the note itself and the
/// two after it, at its bar and the next.
pub fn hangs_on(plan: &Plan, place: Place, slot: usize) -> bool {
    let own = plan.slots[slot].bar;
    match place {
        Place::Note(at) => (slot..slot + 3).contains(&at),
        Place::Bar(bar) => (own..own + 2).contains(&bar),
    }
}

/// How much more a rule can find in a line when one note of it changes, at the most, in full
/// findings.
pub fn most_by_one_note(rule: &Rule) -> i64 {
    // At the places that hang on a note; a long bar is looked at in two parts.
    let places = match rule.look {
        Look::Note(_) => 1,
        Look::Step(_) | Look::Bar(_) | Look::Echo(_) => 2,
        Look::Shape(_) => 3,
    };
    // What grows with a distance or a speed may be many times full.
    let times = match rule.name {
        "register-contour" | "outside-the-heart" | "fast-leap" => 128,
        _ => 1,
    };
    places * times
}

/// The name of the rule that finds a cadence of this kind.
pub fn cadence_rule(cadence: Cadence) -> &'static str {
    match cadence {
        Cadence::BeatOne => "beat-one-cadence",
        Cadence::OwnRoot => "own-root-cadence",
        Cadence::NextRoot => "next-root-cadence",
    }
}

struct Reader<'a> {
    book: &'a RuleBook,
    style: &'a Style,
    plan: &'a Plan,
    pitches: &'a [Pitch],
    findings: Vec<Finding>,
    /// Each bar that has notes, what is computed of it, and its best rival.
    heard: Vec<(usize, BarFacts, Rival)>,
}

impl<'a> Reader<'a> {
    /// Nothing found yet.
    fn new(book: &'a RuleBook, style: &'a Style, plan: &'a Plan, pitches: &'a [Pitch]) -> Self {
        assert_eq!(pitches.len(), plan.slots.len(), "one pitch for each slot");
        Reader {
            book,
            style,
            plan,
            pitches,
            findings: Vec::new(),
            heard: Vec::new(),
        }
    }

    /// Lets every rule look everywhere.
    fn of(book: &'a RuleBook, style: &'a Style, plan: &'a Plan, pitches: &'a [Pitch]) -> Self {
        let mut reader = Self::new(book, style, plan, pitches);
        for at in 0..pitches.len() {
            reader.note(at);
        }
        let mut before = None;
        for bar in (0..plan.bars.len()).filter(|&bar| !plan.bars[bar].slots.is_empty()) {
            reader.bar(bar);
            if let Some(before) = before.replace(bar) {
                reader.echo(before, bar);
            }
        }
        reader
    }

    fn interval(&self, to: usize) -> i32 {
        i32::from(self.pitches[to].midi()) - i32::from(self.pitches[to - 1].midi())
    }

    fn is_chord_tone(&self, at: usize) -> bool {
        self.plan.slots[at]
            .ground
            .is_chord_tone(self.pitches[at].class())
    }

    /// Lets every rule look, and keeps what they find.
    fn look(&mut self, place: Place, strength: impl Fn(&Look) -> i32) {
        for entry in self.book.entries() {
            let strength = strength(&entry.rule.look);
            if strength != 0 {
                let points = entry.weight.times(strength);
                self.findings.push(Finding {
                    rule: entry.id,
                    place,
                    strength,
                    points,
                });
            }
        }
    }

    fn note(&mut self, at: usize) {
        let (plan, style) = (self.plan, self.style);
        let slot = &plan.slots[at];
        let bar = &plan.bars[slot.bar];
        let note = NoteWindow {
            style,
            bar,
            slot,
            pitch: self.pitches[at],
        };
        let step = (at > 0).then(|| {
            let class = self.pitches[at - 1].class();
            StepWindow::into_slot(style, plan, at, class, self.interval(at))
        });
        let shape = (at > 1).then(|| ShapeWindow {
            first: self.interval(at - 1),
            second: self.interval(at),
            middle_is_chord_tone: self.is_chord_tone(at - 1),
            last_is_chord_tone: self.is_chord_tone(at),
            place: ShapePlace::of(&plan.slots[at - 1], slot),
        });
        self.look(Place::Note(at), |look| match look {
            Look::Note(test) => test(&note),
            Look::Step(test) => step.as_ref().map_or(0, test),
            Look::Shape(test) => shape.as_ref().map_or(0, test),
            Look::Bar(_) | Look::Echo(_) => 0,
        });
    }

    fn offsets(&self, range: std::ops::Range<usize>) -> Vec<u8> {
        range
            .map(|at| self.plan.slots[at].ground.offset(self.pitches[at].class()))
            .collect()
    }

    fn cell(&self, range: std::ops::Range<usize>) -> (Vec<CellSymbol>, Vec<Member>) {
        range
            .map(|at| {
                let ground = &self.plan.slots[at].ground;
                let symbol = cell_symbol(ground, ground.offset(self.pitches[at].class()));
                (symbol, members_by_symbol(ground)[usize::from(symbol)])
            })
            .unzip()
    }

    fn bar(&mut self, bar: usize) {
        let plan = self.plan;
        let row = plan.bars[bar].slots.clone();
        let middle = row.start + head(row.len());
        for part in [row.start..middle, middle..row.end] {
            if part.is_empty() {
                continue;
            }
            let slots = &plan.slots[part.clone()];
            let (cell, members) = self.cell(part);
            let (clarity, rival) = clarity(slots, &cell);
            let facts = BarFacts {
                clarity,
                tension: tension(&members, clarity),
            };
            // A long bar is known by its head.
            if slots[0].position == 0 {
                self.heard.push((bar, facts, rival));
            }
            let window = BarWindow {
                bar: &plan.bars[bar],
                slots,
                cell: &cell,
                members: &members,
                facts,
            };
            self.look(Place::Bar(bar), |look| {
                if let Look::Bar(test) = look {
                    test(&window)
                } else {
                    0
                }
            });
        }
    }

    fn echo(&mut self, before: usize, bar: usize) {
        let (first, second) = (
            self.plan.bars[before].slots.clone(),
            self.plan.bars[bar].slots.clone(),
        );
        if before + 1 != bar {
            return;
        }
        let alike = match likeness(first.len(), second.len()) {
            None => false,
            Some(Likeness::Notes) => self.pitches[first.clone()] == self.pitches[second.clone()],
            Some(Likeness::Degrees(n)) => {
                self.offsets(first.start..first.start + n)
                    == self.offsets(second.start..second.start + n)
            }
        };
        if alike {
            let slots = &self.plan.slots;
            let window = EchoWindow {
                before: &slots[first.start],
                slot: &slots[second.start],
            };
            self.look(Place::Bar(bar), |look| {
                if let Look::Echo(test) = look {
                    test(&window)
                } else {
                    0
                }
            });
        }
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
            .heard
            .iter()
            .map(|heard| self.bar_reading(heard))
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

    fn bar_reading(&self, (bar, facts, rival): &(usize, BarFacts, Rival)) -> BarReading {
        let bar = *bar;
        let plan = &self.plan.bars[bar];
        let row = plan.slots.clone();
        let kept = |name: &str| {
            self.between(Place::Bar(bar), Place::Note(row.end - 1))
                .iter()
                .any(|finding| self.book.entry(finding.rule).rule.name == name)
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
