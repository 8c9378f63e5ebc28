//! What is counted in a line, by code that shares nothing with the rules.

use linewright_plan::{Beat, Cadence, Clarity, Slot};
use linewright_rules::{AMBIGUOUS, Line};
use linewright_theory::Member;

/// Counts over many lines.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    pub lines: u64,
    pub notes: u64,
    pub limits_broken: u64,
    pub unexplained: u64,
    pub bar_pairs: u64,
    pub alike: u64,
    pub wide_leaps: u64,
    pub loose_leaps: u64,
    pub cadences: u64,
    pub cadences_kept: u64,
    pub new_downbeats: u64,
    pub new_downbeats_on_root: u64,
    pub held_downbeats: u64,
    pub held_downbeats_on_root: u64,
    pub moves: u64,
    pub repeats: u64,
    pub up: u64,
    pub down: u64,
    pub into_one: u64,
    pub half_into_one: u64,
    pub whole_into_one: u64,
    pub chromatic: u64,
    pub meant_ambiguous: u64,
    pub came_ambiguous: u64,
    pub ambiguous_unlanded: u64,
    pub low: u8,
    pub high: u8,
    pub pairs: u64,
    pub pair_notes: u64,
    pub pair_changed: u64,
    pub misadded: u64,
    pub shifts: u64,
    pub shifts_taken: u64,
}

fn share(part: u64, whole: u64) -> f64 {
    if whole == 0 {
        f64::NAN
    } else {
        part as f64 * 100.0 / whole as f64
    }
}

impl Tally {
    /// Counts one line.
    pub fn add(&mut self, line: &Line) {
        self.lines += 1;
        let slots = &line.plan.slots;
        let notes = &line.reading.notes;
        let midi: Vec<i32> = notes
            .iter()
            .map(|note| i32::from(note.pitch.midi()))
            .collect();
        self.notes += notes.len() as u64;
        self.limits_broken += u64::from(line.reading.breaks_limits());
        let points: i64 = line
            .reading
            .findings
            .iter()
            .filter_map(|f| f.points)
            .map(i64::from)
            .sum();
        let by_place: i64 = notes.iter().map(|n| n.points).sum::<i64>()
            + line.reading.bars.iter().map(|b| b.points).sum::<i64>();
        self.misadded += u64::from(points != line.reading.score || by_place != line.reading.score);
        for (at, note) in notes.iter().enumerate() {
            if self.low == 0 || note.pitch.midi() < self.low {
                self.low = note.pitch.midi();
            }
            self.high = self.high.max(note.pitch.midi());
            let explained = note.functions.iter().any(|f| f.name != "chromatic tone");
            self.unexplained += u64::from(!explained);
            self.chromatic += u64::from(note.member == Member::Outside);
            self.downbeat(&slots[at], note.member);
        }
        for at in 1..midi.len() {
            self.step(&midi, slots, at);
        }
        self.bars(line, &midi);
    }

    fn downbeat(&mut self, slot: &Slot, member: Member) {
        if slot.strength != Beat::Down {
            return;
        }
        let root = u64::from(member == Member::Root);
        if slot.chord_starts {
            self.new_downbeats += 1;
            self.new_downbeats_on_root += root;
        } else {
            self.held_downbeats += 1;
            self.held_downbeats_on_root += root;
        }
    }

    fn step(&mut self, midi: &[i32], slots: &[Slot], at: usize) {
        let step = midi[at] - midi[at - 1];
        self.moves += 1;
        self.repeats += u64::from(step == 0);
        self.up += u64::from(step > 0);
        self.down += u64::from(step < 0);
        if slots[at].strength == Beat::Down {
            self.into_one += 1;
            self.half_into_one += u64::from(step.abs() == 1);
            self.whole_into_one += u64::from(step.abs() == 2);
        }
        if slots[at].shift {
            self.shifts += 1;
            self.shifts_taken += u64::from(step.abs() >= 8);
        }
        if step.abs() > 7 {
            self.wide_leaps += 1;
            let back = midi.get(at + 1).map(|next| next - midi[at]);
            let recovered =
                back.is_some_and(|back| back.signum() == -step.signum() && back.abs() <= 4);
            self.loose_leaps += u64::from(!recovered && !slots[at].shift);
        }
    }

    fn bars(&mut self, line: &Line, midi: &[i32]) {
        let plan = &line.plan;
        let of = |bar: usize| line.reading.bars.iter().find(|reading| reading.bar == bar);
        for (bar, wish) in plan.bars.iter().enumerate() {
            let Some(reading) = of(bar) else { continue };
            if let Some(cadence) = wish.cadence {
                self.cadences += 1;
                self.cadences_kept += u64::from(self.keeps(line, bar, cadence));
            }
            if wish.clarity == Clarity::Ambiguous {
                self.meant_ambiguous += 1;
                let ambiguous = reading.clarity <= 2 * AMBIGUOUS;
                self.came_ambiguous += u64::from(ambiguous);
                let lands = plan
                    .bars
                    .get(bar + 1)
                    .is_some_and(|next| next.cadence.is_some());
                self.ambiguous_unlanded += u64::from(!lands);
            }
            if bar > 0 && !plan.bars[bar - 1].slots.is_empty() && wish.slots.len() > 2 {
                let before = &plan.bars[bar - 1].slots;
                self.bar_pairs += 1;
                let same_cell = of(bar - 1).is_some_and(|b| b.cell == reading.cell);
                self.alike += u64::from(same_cell);
                let _ = (before, midi);
            } else if bar > 0 && wish.slots.len() == 2 && plan.bars[bar - 1].slots.len() == 2 {
                self.bar_pairs += 1;
                self.alike +=
                    u64::from(midi[plan.bars[bar - 1].slots.clone()] == midi[wish.slots.clone()]);
            }
        }
    }

    /// Whether a bar cadences as planned, from its notes alone.
    fn keeps(&self, line: &Line, bar: usize, cadence: Cadence) -> bool {
        let slots = line.plan.bars[bar].slots.clone();
        let notes = &line.reading.notes;
        let (first, last) = (slots.start, slots.end - 1);
        let class = |at: usize| notes[at].pitch.class();
        let root = |at: usize| line.plan.slots[at].ground.line_root;
        match cadence {
            Cadence::BeatOne => {
                let step =
                    i32::from(notes[first].pitch.midi()) - i32::from(notes[first - 1].pitch.midi());
                class(first) == root(first)
                    && (matches!(step.abs(), 1 | 2) || step == -7 || step == 5)
            }
            Cadence::OwnRoot => {
                class(last) == root(last)
                    && slots.clone().take(slots.len() - 1).all(|at| {
                        line.plan.slots[at].ground.chord != line.plan.slots[last].ground.chord
                            || class(at) != root(last)
                    })
            }
            Cadence::NextRoot => line.plan.slots[last]
                .next
                .as_ref()
                .is_some_and(|next| next.line_root == class(last)),
        }
    }

    /// Counts the notes in which two lines over one form differ.
    pub fn compare(&mut self, a: &Line, b: &Line) {
        let at = |line: &Line| -> Vec<(usize, u8, u8)> {
            line.reading
                .notes
                .iter()
                .map(|n| {
                    let slot = &line.plan.slots[n.slot];
                    (slot.bar, slot.beat, n.pitch.midi())
                })
                .collect()
        };
        let (a, b) = (at(a), at(b));
        self.pairs += 1;
        self.pair_notes += a.len() as u64;
        self.pair_changed += a.iter().filter(|note| !b.contains(note)).count() as u64;
    }

    /// The heading of the table.
    pub const HEADING: &str = "style           lines limits unexpl misadd alike loose/wide  cad% root1new root1held into1(half/whole) rept%  up/dn  chrom% amb% unland shift% range  differ%";

    /// One row of the table.
    pub fn row(&self, name: &str) -> String {
        format!(
            "{name:<15} {:>5} {:>6} {:>6} {:>6} {:>5} {:>5}/{:<5} {:>5.1} {:>8.1} {:>9.1} {:>5.1} ({:.0}/{:.0}) {:>8.1} {:>4.0}/{:<4.0} {:>5.1} {:>5.1} {:>4} {:>6.1} {:>3}-{:<3} {:>5.1}",
            self.lines,
            self.limits_broken,
            self.unexplained,
            self.misadded,
            self.alike,
            self.loose_leaps,
            self.wide_leaps,
            share(self.cadences_kept, self.cadences),
            share(self.new_downbeats_on_root, self.new_downbeats),
            share(self.held_downbeats_on_root, self.held_downbeats),
            share(self.half_into_one + self.whole_into_one, self.into_one),
            share(self.half_into_one, self.into_one),
            share(self.whole_into_one, self.into_one),
            share(self.repeats, self.moves),
            share(self.up, self.moves),
            share(self.down, self.moves),
            share(self.chromatic, self.notes),
            share(self.came_ambiguous, self.meant_ambiguous),
            self.ambiguous_unlanded,
            share(self.shifts_taken, self.shifts),
            self.low,
            self.high,
            share(self.pair_changed, self.pair_notes),
        )
    }
}

impl Tally {
    /// Whether nothing was counted that must never be.
    pub fn is_sound(&self) -> bool {
        self.limits_broken
            + self.unexplained
            + self.misadded
            + self.alike
            + self.loose_leaps
            + self.ambiguous_unlanded
            == 0
    }
}
