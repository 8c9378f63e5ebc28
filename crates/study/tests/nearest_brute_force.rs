//! The nearest line that passes, and the one change that mends a fault, against every change of
//! short lines on few notes.

mod support;

use std::sync::Arc;

use linewright_compose::Composer;
use linewright_compose::Line;
use linewright_rulebook::plan::{Dice, Plan, Purpose};
use linewright_rulebook::style::{Criterion, Style};
use linewright_study::mark::{Asked, Fix, Mark, Marked, Scheme, Wrong, mark};
use linewright_study::{PlanSource, Study};
use linewright_theory::Pitch;
use support::{Draws, range, style, timeline};

/// A line to be brought to the pass mark.
struct Case {
    composer: Composer,
    line: Line,
    scheme: Scheme,
}

impl Case {
    /// Notes drawn at random over the plan of a seed.
    fn random(style: Style, chart: &str, seed: u64) -> Self {
        let composer = Composer::new(style).unwrap();
        let timeline = timeline(chart);
        let plan = Plan::draw(
            &timeline,
            composer.style(),
            &mut Dice::new(seed, 0, Purpose::Plan),
        );
        let mut draws = Draws::new(seed);
        let all = range(&composer);
        let notes: Vec<Pitch> = plan.slots.iter().map(|_| *draws.of(&all)).collect();
        Self::given(composer, &timeline, plan, &notes)
    }

    fn given(
        composer: Composer,
        timeline: &Arc<linewright_chart::Timeline>,
        plan: Plan,
        notes: &[Pitch],
    ) -> Self {
        let line = Line::given(&composer, timeline, plan, notes);
        let scheme = Scheme::of(composer.book(), composer.style(), timeline, &line.plan, 0);
        Self {
            composer,
            line,
            scheme,
        }
    }

    fn notes(&self) -> Vec<Pitch> {
        let notes = self.line.reading.notes.iter();
        notes.map(|note| note.pitch).collect()
    }

    fn mark(&self, notes: &[Pitch]) -> Mark {
        let plan = self.line.plan.clone();
        let line = Line::given(&self.composer, &self.line.timeline, plan, notes);
        mark(&line, &self.scheme)
    }

    fn marked(&self, asked: Asked) -> Marked {
        let study = Study {
            line: self.line.clone(),
            plan: PlanSource::Inferred,
            silent: Vec::new(),
            remarks: Vec::new(),
        };
        Marked::of(&self.composer, study, asked)
    }

    /// The fewest changes after which the line passes, up to so many.
    fn fewest(&self, most: usize) -> Option<usize> {
        let all = range(&self.composer);
        (0..=most).find(|&changes| self.some_pass(&mut self.notes(), 0, changes, &all))
    }

    fn some_pass(&self, notes: &mut [Pitch], from: usize, changes: usize, all: &[Pitch]) -> bool {
        if changes == 0 {
            return self.mark(notes).passes();
        }
        for at in from..notes.len() {
            let own = notes[at];
            for &note in all.iter().filter(|note| **note != own) {
                notes[at] = note;
                if self.some_pass(notes, at + 1, changes - 1, all) {
                    return true;
                }
            }
            notes[at] = own;
        }
        false
    }
}

/// A style on so few notes, with another pass mark.
fn few(name: &str, low: &str, high: &str, pass: u8) -> Style {
    let mut style = style(name);
    (style.range.low, style.range.high) = (support::pitch(low), support::pitch(high));
    (style.range.heart_low, style.range.heart_high) = (style.range.low, style.range.high);
    style.marks.pass = pass;
    style
}

/// What the cases had in them, so that none of it is missing.
#[derive(Default, Debug)]
struct Seen {
    by_changes: [usize; 4],
    further: usize,
    used_up: usize,
    devices: usize,
}

impl Seen {
    /// Compares the fix of one case with the listing.
    fn check(&mut self, case: &Case, most: usize, what: &str) {
        let marked = case.marked(Asked {
            fix: Some(24),
            ..Asked::default()
        });
        assert_eq!(marked.mark, case.mark(&case.notes()));
        assert_eq!(marked.fix.is_none(), marked.mark.passes(), "{what}");
        let Some(fix) = marked.fix else { return };
        let fewest = case.fewest(most);
        let Fix::Changes(changes) = &fix else {
            assert_eq!(fewest, None, "{what}: {fix:?}");
            return;
        };
        let mut notes = case.notes();
        for change in changes {
            assert_ne!(notes[change.slot], change.pitch, "{what}");
            notes[change.slot] = change.pitch;
        }
        assert!(changes.is_sorted_by_key(|change| change.slot), "{what}");
        let after = case.mark(&notes);
        assert!(after.passes(), "{what}: {fix:?}");
        match fewest {
            Some(fewest) => {
                assert_eq!(changes.len(), fewest, "{what}: {fix:?}");
                self.by_changes[fewest] += 1;
            }
            None => {
                assert!(changes.len() > most, "{what}: {fix:?}");
                self.further += 1;
            }
        }
        let used_up = |mark: &Mark| {
            mark.criteria.iter().any(|one| {
                let cost: i64 = one.faults.iter().map(|fault| fault.cost).sum();
                cost > one.total
            })
        };
        self.used_up += usize::from(used_up(&after));
        let missing = after.faults().any(|fault| fault.what == Wrong::NoDevice);
        self.devices += usize::from(missing);
    }
}

#[test]
fn no_line_with_fewer_changes_passes() {
    let mut seen = Seen::default();
    let forms = [
        ("plain", "key: F\n| C7 | F7 |", "C2", "G2"),
        ("grade-1", "key: F\n| F7 | Bb7 | C7 | F7 |", "F2", "C3"),
        ("grade-2", "key: C\ntime: 3/4\n| Dm7 | G7 |", "D2", "A2"),
        (
            "grade-3",
            "key: C\ntime: 2/4\n| Dm7 | G7 | C6 | C6 |",
            "B1",
            "F2",
        ),
        (
            "grade-4",
            "key: C\ntime: 2/4\n| Dm7 | G7 | Cmaj7 |",
            "B1",
            "F2",
        ),
        (
            "grade-6",
            "key: Bb\ntime: 3/4\n| Cm7 | F7 | Bb6 |",
            "A1",
            "D2",
        ),
        ("grade-7", "key: Gm\ntime: 3/4\n| Gm7 | % |", "F2", "Bb2"),
        (
            "grade-8",
            "key: C\ntime: 2/4\n| C6 | Am7 | Dm7 | G7 |",
            "C2",
            "F2",
        ),
    ];
    for (nth, (style, chart, low, high)) in forms.into_iter().enumerate() {
        for seed in 0..6 {
            let pass = [50, 60, 70, 80, 90, 97][(seed as usize + nth) % 6];
            let case = Case::random(few(style, low, high, pass), chart, seed * 31 + nth as u64);
            let what = format!("{style}, seed {seed}, pass mark {pass}");
            seen.check(&case, 3, &what);
        }
    }
    println!("{seen:?}");
    assert!(
        seen.by_changes[1..].iter().all(|count| *count >= 3),
        "{seen:?}"
    );
    assert!(seen.used_up >= 1 && seen.devices >= 3, "{seen:?}");
}

/// With most of the marks for a few criteria, and passes below what they are worth together.
#[test]
fn a_criterion_that_is_used_up_costs_no_more() {
    let mut seen = Seen::default();
    for seed in 0..60_u64 {
        let mut style = few("grade-3", "C2", "F2", [45, 55, 65][seed as usize % 3]);
        let at = |criterion: Criterion| criterion as usize;
        style.marks.totals = [14; 7];
        style.marks.totals[at(Criterion::ALL[seed as usize % 7])] = 30;
        let chart = "key: F\ntime: 3/4\n| C7 | F7 |";
        let case = Case::random(style, chart, seed + 100);
        seen.check(&case, 2, &format!("seed {seed}"));
    }
    println!("{seen:?}");
    assert!(seen.used_up >= 3, "{seen:?}");
}

/// With nearly all of the marks for the device.
#[test]
fn devices_are_counted_by_pairs_of_bars() {
    let mut seen = Seen::default();
    for (nth, grade) in ["grade-3", "grade-4", "grade-5", "grade-8"]
        .iter()
        .enumerate()
    {
        for seed in 0..6_u64 {
            let mut style = few(grade, "C2", "F2", [55, 80, 98][seed as usize % 3]);
            style.marks.totals = [5, 5, 5, 5, 5, 5, 70];
            let chart = "key: C\ntime: 2/4\n| C6 | Am7 | Dm7 | G7 |";
            let case = Case::random(style, chart, seed * 7 + nth as u64);
            seen.check(&case, 3, &format!("{grade}, seed {seed}"));
        }
    }
    println!("{seen:?}");
    assert!(seen.by_changes[1] >= 3 && seen.devices >= 2, "{seen:?}");
}

const LONG: &str =
    "key: C\ntime: 2/4\n| Dm7 | G7 | Cmaj7 | Am7 | Dm7 | G7 | Em7 | A7 | Dm7 | G7 | C6 | C6 |";

#[test]
fn the_change_that_mends_a_fault_is_the_cheapest_of_its_notes() {
    let mut mended = 0;
    let mut beyond = 0;
    for (style, chart, seed) in [
        ("plain", "key: F\n| C7 | F7 | Bb7 | F7 |", 1_u64),
        ("grade-2", "key: C\n| Dm7 | G7 | Cmaj7 | % |", 2),
        ("grade-3", "key: C\n| Dm7 | G7 | Cmaj7 | % |", 3),
        ("grade-5", "key: Gm\ntime: 3/4\n| Am7b5 | D7 | Gm6 | % |", 4),
        ("grade-1", "key: F\n| F7 | Bb7 | C7 | F7 |", 5),
        // Long enough that a change is judged by a part of the line.
        ("grade-3", LONG, 6),
        ("grade-4", LONG, 7),
        (
            "grade-7",
            "key: Gm\n| Gm7 | % | % | % | % | % | % | % | % | % | % |",
            8,
        ),
        ("grade-8", LONG, 9),
    ] {
        let case = Case::random(few(style, "A1", "A2", 70), chart, seed);
        let marked = case.marked(Asked {
            mends: true,
            ..Asked::default()
        });
        let before = &marked.mark;
        assert_eq!(marked.mends.len(), before.faults().count());
        // No criterion is used up here: marks are a sum, and a mend can be weighed by it.
        let cost = |mark: &Mark| mark.faults().map(|fault| fault.cost).sum::<i64>();
        for (fault, mend) in before.faults().zip(&marked.mends) {
            let still = |mark: &Mark| {
                mark.faults()
                    .any(|other| (other.what, other.place) == (fault.what, fault.place))
            };
            let slots = hangs_on(&case.line, fault);
            let mut best: Option<i64> = None;
            for slot in slots.clone() {
                for note in range(&case.composer) {
                    let mut notes = case.notes();
                    if notes[slot] == note {
                        continue;
                    }
                    notes[slot] = note;
                    let after = case.mark(&notes);
                    if !still(&after) && cost(&after) < cost(before) {
                        best = best.into_iter().chain([cost(&after)]).min();
                    }
                }
            }
            match mend {
                None => assert_eq!(best, None, "{fault:?} in {style}"),
                Some(mend) => {
                    let mut notes = case.notes();
                    assert!(slots.contains(&mend.slot), "{fault:?} in {style}");
                    notes[mend.slot] = mend.pitch;
                    let after = case.mark(&notes);
                    assert!(!still(&after), "{fault:?} in {style}");
                    assert_eq!(Some(cost(&after)), best, "{fault:?} in {style}");
                    mended += 1;
                }
            }
            beyond += usize::from(mend.is_none());
        }
    }
    assert!(mended >= 20 && beyond >= 1, "{mended} mended, {beyond} not");
}

/// The notes that a fault hangs on: the note and two before it, the bar, or the pair of bars.
fn hangs_on(line: &Line, fault: &linewright_study::mark::Fault) -> std::ops::Range<usize> {
    use linewright_rulebook::Place;
    let bars = &line.plan.bars;
    match fault.place {
        Place::Note(at) => at.saturating_sub(2)..at + 1,
        Place::Bar(bar) if fault.what == Wrong::NoDevice => {
            bars[bar].slots.start..bars[bar + 1].slots.end
        }
        Place::Bar(bar) => bars[bar].slots.clone(),
    }
}
