//! A judge of given lines that shares nothing with the rules: what is wrong with a line over its
//! plan, worked out from the notes, the chords under them and what the plan asks.
//!
//! What a fault is is common practice, no source, as the grades define it; the names are those
//! of the rules that should find it.

mod devices;

use std::collections::BTreeSet;
use std::fmt;
use std::ops::Range;

use linewright::chart::Metre;
use linewright::plan::{Cadence, Plan, Slot};
use linewright::rulebook::Place;
use linewright::style::{Criterion, Style, Weight};
use linewright::theory::{Member, Pitch};
use linewright::{Line, Timeline};

/// Something that is wrong.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// This is there and should not be.
    Found(&'static str),
    /// This should be there and is not.
    Missing(&'static str),
    /// None of the grade's devices is in two bars.
    NoDevice,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = match self {
            Fault::Found(name) => (*name).to_owned(),
            Fault::Missing(name) => format!("no {name}"),
            Fault::NoDevice => "no device".to_owned(),
        };
        f.pad(&text)
    }
}

/// What is wrong, and where.
pub type Faults = BTreeSet<(Fault, Place)>;

/// What every fault belongs to, and which share of one place's marks it costs, in thousandths:
/// the order is that of the report.
pub const FAULTS: &[(Fault, Criterion, i64)] = &[
    (Fault::Found("third"), Criterion::Harmony, 1000),
    (Fault::Found("seventh"), Criterion::Harmony, 1000),
    (Fault::Found("colour-tone"), Criterion::Harmony, 1000),
    (Fault::Found("scale-tone"), Criterion::Harmony, 1000),
    (Fault::Found("chromatic-tone"), Criterion::Harmony, 1000),
    (
        Fault::Found("chromatic-on-the-beat"),
        Criterion::Harmony,
        1000,
    ),
    (Fault::Found("open-ending"), Criterion::Harmony, 1000),
    (Fault::Found("third-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("fifth-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("seventh-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("colour-arrival"), Criterion::Arrivals, 1000),
    (Fault::Found("outside-arrival"), Criterion::Arrivals, 1000),
    (Fault::Missing("slash-bass"), Criterion::Arrivals, 1000),
    (Fault::Found("anticipation"), Criterion::Arrivals, 1000),
    (
        Fault::Found("unresolved-chromatic"),
        Criterion::Arrivals,
        1000,
    ),
    (
        Fault::Missing("beat-one-cadence"),
        Criterion::Cadences,
        1000,
    ),
    (
        Fault::Missing("own-root-cadence"),
        Criterion::Cadences,
        1000,
    ),
    (
        Fault::Missing("next-root-cadence"),
        Criterion::Cadences,
        1000,
    ),
    (Fault::Found("awkward-leap"), Criterion::Motion, 1000),
    (Fault::Found("leap-into-the-end"), Criterion::Motion, 1000),
    (Fault::Found("unrecovered-leap"), Criterion::Motion, 1000),
    (Fault::Found("leaps-one-way"), Criterion::Motion, 500),
    (Fault::Found("three-alike"), Criterion::Motion, 1000),
    (Fault::Found("thin-bar"), Criterion::Order, 500),
    (Fault::Found("cell-again"), Criterion::Order, 1000),
    (Fault::Found("too-wide-leap"), Criterion::Range, 1000),
    (Fault::Found("out-of-range"), Criterion::Range, 1000),
    (Fault::NoDevice, Criterion::Device, 1000),
];

/// A line's notes over its plan.
#[derive(Clone)]
pub struct Judge<'a> {
    timeline: &'a Timeline,
    plan: &'a Plan,
    style: &'a Style,
    pairs: Vec<[usize; 2]>,
    /// The notes, which may be changed.
    pub notes: Vec<Pitch>,
}

impl<'a> Judge<'a> {
    /// The judge of a line.
    pub fn new(line: &'a Line) -> Self {
        let mut judge = Self {
            timeline: &line.timeline,
            plan: &line.plan,
            style: &line.style,
            pairs: Vec::new(),
            notes: line.reading.notes.iter().map(|note| note.pitch).collect(),
        };
        judge.pairs = judge.pairs_of_bars();
        judge
    }

    /// The pairs of bars in which one of the grade's devices is asked for.
    pub fn pairs(&self) -> &[[usize; 2]] {
        &self.pairs
    }

    /// All that is wrong.
    pub fn faults(&self) -> Faults {
        self.faults_in(0..self.plan.bars.len())
    }

    /// All that is wrong in some bars.
    pub fn faults_in(&self, bars: Range<usize>) -> Faults {
        let mut faults = Faults::new();
        for bar in bars.clone() {
            for at in self.plan.bars[bar].slots.clone() {
                for name in self.wrong_at(at) {
                    faults.insert((Fault::Found(name), Place::Note(at)));
                }
            }
            for name in self.wrong_with_bar(bar) {
                faults.insert((Fault::Found(name), Place::Bar(bar)));
            }
            faults.extend(self.missing_in(bar));
        }
        for &pair in &self.pairs {
            if pair.iter().any(|bar| bars.contains(bar)) && self.devices_in(pair).is_empty() {
                faults.insert((Fault::NoDevice, Place::Bar(pair[0])));
            }
        }
        faults
    }

    /// The notes of a bar, by their numbers.
    pub fn row(&self, bar: usize) -> Range<usize> {
        self.plan.bars[bar].slots.clone()
    }

    /// What one place's share of a criterion is, in thousandths of a mark.
    pub fn price(&self, criterion: Criterion) -> i64 {
        let order = Criterion::ALL.iter().position(|one| *one == criterion);
        let total = i64::from(self.style.marks.totals[order.expect("a criterion")]) * 1000;
        let bars = self.plan.bars.iter().filter(|bar| !bar.slots.is_empty());
        let places = match criterion {
            Criterion::Arrivals => (0..self.notes.len()).filter(|&at| self.arrives(at)).count(),
            Criterion::Cadences => bars.filter(|bar| bar.cadence.is_some()).count(),
            Criterion::Device => self.pairs.len(),
            _ => bars.count(),
        };
        total / places.max(1) as i64
    }

    /// Whether the style asks for a thing, and charges for it where it is not there.
    fn asks(&self, name: &str) -> bool {
        self.style.marks.expected.contains_key(name)
    }

    /// Whether the style charges for a thing where it is there.
    fn charges(&self, name: &str) -> bool {
        let forbidden = self.style.weight(name) == Weight::Never;
        match self.style.marks.faults.get(name) {
            Some(share) => *share > 0,
            None => forbidden,
        }
    }

    pub fn slot(&self, at: usize) -> &Slot {
        &self.plan.slots[at]
    }

    fn midi(&self, at: usize) -> i32 {
        i32::from(self.notes[at].midi())
    }

    /// Semitones into a note from the note before.
    pub fn into(&self, at: usize) -> i32 {
        self.midi(at) - self.midi(at - 1)
    }

    pub fn member(&self, at: usize) -> Member {
        self.slot(at).ground.member(self.notes[at].class())
    }

    fn is_tone(&self, at: usize) -> bool {
        use Member::{Fifth, Root, Seventh, Third};
        matches!(self.member(at), Root | Third | Fifth | Seventh)
    }

    /// Whether another chord sounds under this note than under the one before.
    pub fn is_new_chord(&self, at: usize) -> bool {
        at == 0 || self.slot(at - 1).ground.chord != self.slot(at).ground.chord
    }

    pub fn is_beat_one(&self, at: usize) -> bool {
        let slot = self.slot(at);
        slot.beat == 0 && !self.timeline.bars[slot.bar].pickup
    }

    /// Beat one, the middle of four, or where a group of beats begins.
    fn is_strong(&self, at: usize) -> bool {
        let slot = self.slot(at);
        let bar = &self.timeline.bars[slot.bar];
        if bar.pickup {
            return false;
        }
        let mut starts = vec![0];
        if bar.metre == Metre::FOUR_FOUR {
            starts.push(2);
        }
        let mut beat = 0;
        for group in bar.metre.groups() {
            starts.push(beat);
            beat += group;
        }
        starts.contains(&slot.beat)
    }

    fn arrives(&self, at: usize) -> bool {
        self.is_beat_one(at) || self.is_new_chord(at)
    }

    fn is_last_note(&self, at: usize) -> bool {
        at + 1 == self.notes.len()
    }

    /// What is wrong at a note, of what the style charges for.
    fn wrong_at(&self, at: usize) -> Vec<&'static str> {
        let member = self.member(at);
        let mut wrong = vec![
            ("third", member == Member::Third),
            ("seventh", member == Member::Seventh),
            ("colour-tone", member == Member::Colour),
            ("scale-tone", member == Member::Scale),
            ("chromatic-tone", member == Member::Outside),
            (
                "chromatic-on-the-beat",
                member == Member::Outside && self.is_strong(at),
            ),
            ("open-ending", self.is_last_note(at) && !self.is_tone(at)),
            ("anticipation", self.anticipates(at)),
        ];
        // Where a chord is only held, another tone on beat one is a matter of taste.
        if self.is_new_chord(at) {
            wrong.extend([
                ("third-arrival", member == Member::Third),
                ("fifth-arrival", member == Member::Fifth),
                ("seventh-arrival", member == Member::Seventh),
                ("colour-arrival", member == Member::Colour),
                (
                    "outside-arrival",
                    matches!(member, Member::Scale | Member::Outside),
                ),
            ]);
        }
        let range = self.style.range;
        let inside = (range.low..=range.high).contains(&self.notes[at]);
        wrong.push(("out-of-range", !inside));
        if at >= 1 {
            wrong.extend(self.wrong_moves(at));
        }
        if at >= 2 {
            wrong.extend(self.wrong_turns(at));
        }
        let charged = wrong.into_iter().filter(|(_, is)| *is);
        charged
            .map(|(name, _)| name)
            .filter(|name| self.charges(name))
            .collect()
    }

    /// The last note of a chord that is foreign to it and a tone of the chord to come, not its
    /// root.
    fn anticipates(&self, at: usize) -> bool {
        if self.is_last_note(at) || !self.is_new_chord(at + 1) || self.is_tone(at) {
            return false;
        }
        let there = self.slot(at + 1).ground.member(self.notes[at].class());
        matches!(there, Member::Third | Member::Fifth | Member::Seventh)
    }

    fn wrong_moves(&self, at: usize) -> Vec<(&'static str, bool)> {
        let size = self.into(at).abs();
        let shift = self.slot(at).shift;
        let from = self.notes[at - 1].class();
        let taken_up = self.is_new_chord(at) && self.slot(at).ground.is_chord_tone(from);
        let limit = if shift {
            self.style.largest_shift
        } else {
            self.style.largest_leap
        };
        let step_across_octaves = [10, 11, 13, 14].contains(&size) && !shift;
        vec![
            (
                "unresolved-chromatic",
                self.member(at - 1) == Member::Outside && size != 1 && !taken_up,
            ),
            ("awkward-leap", size == 6 || step_across_octaves),
            ("too-wide-leap", size > i32::from(limit)),
            (
                "leap-into-the-end",
                self.is_last_note(at) && size > 7 && !shift,
            ),
        ]
    }

    fn wrong_turns(&self, at: usize) -> Vec<(&'static str, bool)> {
        let (first, second) = (self.into(at - 1), self.into(at));
        let turns_back =
            (first > 0 && (-4..0).contains(&second)) || (first < 0 && (1..=4).contains(&second));
        let one_way = (first > 4 && second > 4) || (first < -4 && second < -4);
        vec![
            (
                "unrecovered-leap",
                first.abs() > 7 && !self.slot(at - 1).shift && !turns_back,
            ),
            ("leaps-one-way", one_way && (first + second).abs() > 12),
            ("three-alike", first == 0 && second == 0),
        ]
    }

    /// What is wrong with a bar as a whole, of what the style charges for.
    fn wrong_with_bar(&self, bar: usize) -> Vec<&'static str> {
        let mut wrong = Vec::new();
        if self.is_thin(bar) && self.charges("thin-bar") {
            wrong.push("thin-bar");
        }
        if self.begins_like_the_bar_before(bar) == Some(true) && self.charges("cell-again") {
            wrong.push("cell-again");
        }
        wrong
    }

    /// Degrees of the notes of a bar: 1 to 7, and 0 for a chromatic note.
    fn cell(&self, slots: Range<usize>) -> Vec<u8> {
        let degree = |at: usize| {
            let ground = &self.slot(at).ground;
            match self.member(at) {
                Member::Root => 1,
                Member::Third => 3,
                Member::Fifth => 5,
                Member::Outside => 0,
                _ => {
                    let number = ground.degree(self.notes[at]).number;
                    if number > 7 { number - 7 } else { number }
                }
            }
        };
        slots.map(degree).collect()
    }

    /// Whether a bar of four notes (the first four of seven) has two different ones at most.
    fn is_thin(&self, bar: usize) -> bool {
        let row = self.plan.bars[bar].slots.clone();
        if ![4, 7].contains(&row.len()) {
            return false;
        }
        let row = row.start..row.start + 4;
        let cell = self.cell(row.clone());
        // The same degree of another chord is another note.
        let mut chord = 0;
        let mut different = BTreeSet::new();
        for (nth, degree) in cell.into_iter().enumerate() {
            if nth > 0 && self.is_new_chord(row.start + nth) {
                chord += 1;
            }
            different.insert((chord, degree));
        }
        different.len() <= 2
    }

    /// Whether a bar begins like the bar before it, and then whether the root is the same (in a
    /// bar of two: whether both notes are).
    fn begins_like_the_bar_before(&self, bar: usize) -> Option<bool> {
        let before = self.plan.bars[bar.checked_sub(1)?].slots.clone();
        let now = self.plan.bars[bar].slots.clone();
        if before.len() != now.len() || now.len() < 2 {
            return None;
        }
        if now.len() == 2 {
            return (self.notes[before] == self.notes[now]).then_some(true);
        }
        let count = if now.len() == 4 { 3 } else { 2 };
        let offset = |at: usize| self.notes[at].class().above(self.slot(at).ground.root);
        let alike = (0..count).all(|n| offset(before.start + n) == offset(now.start + n));
        let root = |at: usize| self.slot(at).ground.root;
        alike.then(|| root(before.start) == root(now.start))
    }

    /// What the plan and the chart ask of a bar, and is not there.
    fn missing_in(&self, bar: usize) -> Vec<(Fault, Place)> {
        let row = self.plan.bars[bar].slots.clone();
        if row.is_empty() {
            return Vec::new();
        }
        let (first, last) = (row.start, row.end - 1);
        let mut missing = Vec::new();
        for at in row.clone().filter(|_| self.asks("slash-bass")) {
            let slash = self.slot(at).ground.chord.bass.is_some();
            if slash && self.is_new_chord(at) && self.member(at) != Member::Root {
                missing.push((Fault::Missing("slash-bass"), Place::Note(at)));
            }
        }
        let cadence = match self.plan.bars[bar].cadence {
            Some(Cadence::BeatOne) => {
                let near = [1, 2].contains(&self.into(first).abs());
                let falls = [-7, 5].contains(&self.into(first));
                let lands = self.member(first) == Member::Root && (near || falls);
                ("beat-one-cadence", Place::Note(first), lands)
            }
            Some(Cadence::OwnRoot) => ("own-root-cadence", Place::Bar(bar), self.closes(bar)),
            Some(Cadence::NextRoot) => {
                let next = self.slot(last + 1).ground.line_root;
                let lands = self.notes[last].class() == next;
                ("next-root-cadence", Place::Note(last), lands)
            }
            None => return missing,
        };
        if !cadence.2 && self.asks(cadence.0) {
            missing.push((Fault::Missing(cadence.0), cadence.1));
        }
        missing
    }

    /// Whether a bar outlines its last chord in other tones, then closes on its root.
    fn closes(&self, bar: usize) -> bool {
        let row = self.plan.bars[bar].slots.clone();
        let last = row.end - 1;
        let changes = (row.start + 1..row.end)
            .rev()
            .find(|&at| self.is_new_chord(at));
        let before: Vec<Member> = (changes.unwrap_or(row.start)..last)
            .map(|at| self.member(at))
            .collect();
        let outline: BTreeSet<Member> = before
            .iter()
            .copied()
            .filter(|m| matches!(m, Member::Third | Member::Fifth | Member::Seventh))
            .collect();
        self.member(last) == Member::Root
            && !before.contains(&Member::Root)
            && outline.len() >= 2
            && outline.iter().any(|member| *member != Member::Fifth)
    }
}
