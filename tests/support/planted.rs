//! The faults to plant, and places for them: a clean line in which a change of a note or two
//! makes one thing wrong.

use std::collections::BTreeSet;
use std::ops::Range;

use linewright::Line;
use linewright::compose::{Passage, Tables};
use linewright::rulebook::{Place, RuleBook};
use linewright::style::Weight;
use linewright::theory::Pitch;

use Fault::{Found, Missing};
use linewright_workshop::judge::{Fault, Faults, Judge};

/// One fault to plant.
pub struct Row {
    /// What is planted, in words.
    pub name: &'static str,
    /// The style of the clean line.
    pub style: &'static str,
    /// The fault.
    pub fault: Fault,
    /// Which of its kind: asked of the planted line and the fault's note or bar.
    pub where_: fn(&Judge, usize) -> bool,
    /// What is wrong besides, by the same change: each a true fault of its own.
    pub with: &'static [Fault],
}

const fn row(name: &'static str, style: &'static str, fault: Fault) -> Row {
    Row {
        name,
        style,
        fault,
        where_: |_, _| true,
        with: &[],
    }
}

impl Row {
    const fn at(mut self, where_: fn(&Judge, usize) -> bool) -> Self {
        self.where_ = where_;
        self
    }

    const fn with(mut self, with: &'static [Fault]) -> Self {
        self.with = with;
        self
    }
}

fn is_beat(judge: &Judge, at: usize, beat: u8) -> bool {
    judge.slot(at).beat + 1 == beat
}

/// Every fault of a note, a move, a bar or a phrase.
pub static ROWS: &[Row] = &[
    // Harmony.
    row(
        "a chromatic note on beat three",
        "handbook",
        Found("chromatic-on-the-beat"),
    )
    .at(|j, at| is_beat(j, at, 3) && !j.is_new_chord(at)),
    row(
        "a chromatic note on beat one",
        "handbook",
        Found("chromatic-on-the-beat"),
    )
    .at(|j, at| j.is_beat_one(at))
    .with(&[Found("outside-arrival")]),
    row(
        "a chromatic note on beat four of five",
        "handbook",
        Found("chromatic-on-the-beat"),
    )
    .at(|j, at| is_beat(j, at, 4)),
    row("an end on a colour tone", "handbook", Found("open-ending")),
    row("a third in roots and fifths", "grade-1", Found("third")).at(|j, at| !j.is_new_chord(at)),
    row("a seventh in roots and fifths", "grade-1", Found("seventh"))
        .at(|j, at| !j.is_new_chord(at)),
    row(
        "a colour tone in roots and fifths",
        "grade-1",
        Found("colour-tone"),
    )
    .at(|j, at| !j.is_new_chord(at)),
    row(
        "a scale tone in roots and fifths",
        "grade-1",
        Found("scale-tone"),
    )
    .at(|j, at| !j.is_new_chord(at)),
    row(
        "a chromatic note in roots and fifths",
        "grade-1",
        Found("chromatic-tone"),
    )
    .at(|j, at| !j.is_new_chord(at))
    .with(&[Found("chromatic-on-the-beat")]),
    row(
        "a colour tone in chord tones",
        "grade-2",
        Found("colour-tone"),
    )
    .at(|j, at| !j.is_new_chord(at)),
    row(
        "a scale tone in chord tones",
        "grade-2",
        Found("scale-tone"),
    )
    .at(|j, at| !j.is_new_chord(at)),
    row(
        "a chromatic note in chord tones",
        "grade-2",
        Found("chromatic-tone"),
    )
    .at(|j, at| !j.is_new_chord(at)),
    // Arrivals and approaches.
    row(
        "a scale tone where the chord is new",
        "handbook",
        Found("outside-arrival"),
    ),
    row(
        "a scale tone where the chord is new",
        "grade-5",
        Found("outside-arrival"),
    ),
    row("the third for the root", "grade-1", Found("third-arrival")).with(&[Found("third")]),
    row(
        "the seventh for the root",
        "grade-1",
        Found("seventh-arrival"),
    )
    .with(&[Found("seventh")]),
    row("the third for the root", "grade-2", Found("third-arrival")),
    row("the fifth for the root", "grade-2", Found("fifth-arrival")),
    row(
        "the seventh for the root",
        "grade-2",
        Found("seventh-arrival"),
    ),
    row("a ninth for the root", "grade-2", Found("colour-arrival")).with(&[Found("colour-tone")]),
    row(
        "a scale tone for the root",
        "grade-2",
        Found("outside-arrival"),
    )
    .with(&[Found("scale-tone")]),
    row("the fifth for the root", "grade-4", Found("fifth-arrival")),
    row(
        "another tone for the bass of a slash chord",
        "handbook",
        Missing("slash-bass"),
    ),
    row(
        "the fifth for the bass of a slash chord",
        "grade-2",
        Missing("slash-bass"),
    )
    .with(&[Found("fifth-arrival")]),
    row(
        "a chromatic note left by leap",
        "handbook",
        Found("unresolved-chromatic"),
    ),
    row(
        "a chromatic note left by whole step",
        "grade-4",
        Found("unresolved-chromatic"),
    )
    .at(|j, at| j.into(at).abs() == 2),
    row(
        "a foreign note that is the next chord's",
        "grade-3",
        Found("anticipation"),
    ),
    row(
        "a foreign note that is the next chord's",
        "grade-2",
        Found("anticipation"),
    )
    .with(&[Found("scale-tone")]),
    // Cadences.
    row(
        "no landing on beat one",
        "grade-3",
        Missing("beat-one-cadence"),
    ),
    row(
        "no close on the bar's own root",
        "grade-6",
        Missing("own-root-cadence"),
    ),
    row(
        "no early root at the phrase's end",
        "closing-four",
        Missing("next-root-cadence"),
    ),
    row(
        "no landing on beat one in three",
        "waltz",
        Missing("beat-one-cadence"),
    )
    .at(|j, at| j.slot(at).of == 3),
    row(
        "three notes of a bar outside the harmony",
        "plain",
        Found("outside-bar"),
    ),
    // Motion.
    row("a tritone", "handbook", Found("tritone")).at(|j, at| j.into(at).abs() == 6),
    row("a minor seventh", "handbook", Found("awkward-leap")).at(|j, at| j.into(at).abs() == 10),
    row("a major seventh", "handbook", Found("awkward-leap")).at(|j, at| j.into(at).abs() == 11),
    row("a ninth", "handbook", Found("awkward-leap"))
        .at(|j, at| j.into(at).abs() > 12)
        .with(&[Found("too-wide-leap")]),
    row(
        "a leap up that goes on up",
        "handbook",
        Found("unrecovered-leap"),
    )
    .at(|j, at| j.into(at - 1) > 7 && j.into(at) > 0),
    row(
        "a leap down that leaps back",
        "handbook",
        Found("unrecovered-leap"),
    )
    .at(|j, at| j.into(at - 1) < -7 && j.into(at) > 7),
    row(
        "a sixth into the last note",
        "handbook",
        Found("leap-into-the-end"),
    ),
    row("two leaps up", "handbook", Found("leaps-one-way")).at(|j, at| j.into(at) > 0),
    row("two leaps down", "grade-5", Found("leaps-one-way")).at(|j, at| j.into(at) < 0),
    row("three alike", "handbook", Found("three-alike")),
    row("three alike in two", "two-feel", Found("three-alike")),
    // Order.
    row(
        "the cell of the bar before",
        "handbook",
        Found("cell-again"),
    )
    .at(|j, bar| j.row(bar).len() == 4),
    row(
        "the cell of the bar before in three",
        "waltz",
        Found("cell-again"),
    )
    .at(|j, bar| j.row(bar).len() == 3),
    row(
        "the two notes of the bar before",
        "grade-1",
        Found("cell-again"),
    )
    .at(|j, bar| j.row(bar).len() == 2),
    row("a bar of two notes", "handbook", Found("thin-bar")),
    row("a bar of two notes", "grade-2", Found("thin-bar")),
    // Range and playability.
    row("a note below the range", "handbook", Found("out-of-range"))
        .at(|j, at| j.notes[at].midi() < 40),
    row("a note above the range", "handbook", Found("out-of-range"))
        .at(|j, at| j.notes[at].midi() > 50),
    row(
        "a leap beyond an octave",
        "handbook",
        Found("too-wide-leap"),
    ),
    row(
        "a sixth where the hand stays",
        "fast",
        Found("too-wide-leap"),
    )
    .at(|j, at| j.into(at).abs() < 10),
];

/// Every device of the grades: where it is the only one of two bars, it goes.
pub static DEVICES: &[(&str, &[&str], &[Fault])] = &[
    ("grade-2", &["third"], &[]),
    ("grade-2", &["seventh"], &[]),
    ("grade-3", &["half-step-approach"], &[]),
    ("grade-3", &["scale-step-approach"], &[]),
    ("grade-4", &["scale-run"], &[]),
    ("grade-4", &["dominant-approach"], &[]),
    ("grade-4", &["double-chromatic-approach"], &[]),
    ("grade-5", &["reordered-cell"], &[]),
    ("grade-5", &["third-arrival"], &[]),
    ("grade-5", &["fifth-arrival"], &[]),
    ("grade-5", &["seventh-arrival"], &[]),
    (
        "grade-6",
        &["own-root-cadence"],
        &[Missing("own-root-cadence")],
    ),
    (
        "grade-6",
        &["early-root", "next-root-cadence"],
        &[Missing("next-root-cadence")],
    ),
    ("grade-6", &["early-root"], &[]),
    ("grade-7", &["register-shift"], &[]),
    ("grade-7", &["octave"], &[]),
    ("grade-7", &["ambiguous-bar"], &[]),
    ("grade-8", &["colour-tone"], &[]),
    ("grade-8", &["enclosure"], &[]),
    ("grade-8", &["sequence"], &[]),
];

/// A line with one thing wrong.
pub struct Planted {
    /// The clean line.
    pub line: Line,
    /// The notes with the fault.
    pub notes: Vec<Pitch>,
    /// Where the fault is.
    pub place: Place,
}

impl Planted {
    /// Bar as people count it, and beat of a note.
    pub fn at(&self) -> (usize, Option<u8>) {
        match self.place {
            Place::Bar(bar) => (self.line.timeline.bar_number(bar), None),
            Place::Note(at) => {
                let slot = &self.line.plan.slots[at];
                (self.line.timeline.bar_number(slot.bar), Some(slot.beat + 1))
            }
        }
    }
}

/// Plants a fault in the first of these lines, at the first place, where it can be alone: by
/// one changed note, else by two, else by three of one bar.
pub fn plant(row: &Row, lines: &[Line]) -> Option<Planted> {
    let is_wanted = |judge: &Judge, before: &Faults, now: &Faults| {
        let mut places = now.difference(before).filter_map(|&(fault, place)| {
            let at = match place {
                Place::Note(at) | Place::Bar(at) => at,
            };
            (fault == row.fault && (row.where_)(judge, at)).then_some(place)
        });
        places.find(|&place| comes_with(before, now, (row.fault, place), row.with))
    };
    (1..=3).find_map(|changes| {
        lines.iter().find_map(|line| {
            let (notes, place) = search(line, 0..line.plan.bars.len(), changes, is_wanted)?;
            let line = line.clone();
            Some(Planted { line, notes, place })
        })
    })
}

fn same(faults: &[Fault], others: &[Fault]) -> bool {
    let sorted = |faults: &[Fault]| {
        let mut faults = faults.to_vec();
        faults.sort();
        faults
    };
    sorted(faults) == sorted(others)
}

/// Goes through the changes of so many notes of one bar; the first after which what is
/// wrong is what is wanted.
fn search(
    line: &Line,
    within: Range<usize>,
    changes: usize,
    is_wanted: impl Fn(&Judge, &Faults, &Faults) -> Option<Place>,
) -> Option<(Vec<Pitch>, Place)> {
    let mut judge = Judge::new(line);
    let bars = line.plan.bars.len();
    for bar in within {
        // Two bars of which the changed one is either.
        let near = bar.saturating_sub(2)..(bar + 3).min(bars);
        let clean = judge.faults_in(near.clone());
        let row = line.plan.bars[bar].slots.clone();
        for slots in subsets(row, changes) {
            let own: Vec<Pitch> = slots.iter().map(|&at| judge.notes[at]).collect();
            for number in 0..choices(changes).pow(changes as u32) {
                if !change(&mut judge, line, &slots, &own, number, changes) {
                    continue;
                }
                let now = judge.faults_in(near.clone());
                if now != clean
                    && let Some(place) = is_wanted(&judge, &clean, &now)
                {
                    return Some((judge.notes, place));
                }
            }
            for (&at, &own) in slots.iter().zip(&own) {
                judge.notes[at] = own;
            }
        }
    }
    None
}

/// How many notes are tried in each place.
fn choices(changes: usize) -> usize {
    [40, 24, 14][changes - 1]
}

/// Puts the `number`th choice of notes around their own in place; false where one would stay or
/// lie too far out.
fn change(
    judge: &mut Judge,
    line: &Line,
    slots: &[usize],
    own: &[Pitch],
    number: usize,
    changes: usize,
) -> bool {
    let mut rest = number;
    for (&at, own) in slots.iter().zip(own) {
        let nth = (rest % choices(changes)) as i32;
        rest /= choices(changes);
        // 1, -1, 2, -2 and so on.
        let away = (nth / 2 + 1) * if nth % 2 == 0 { 1 } else { -1 };
        let midi = i32::from(own.midi()) + away;
        let range = line.style.range;
        let (low, high) = (range.low.midi() - 2, range.high.midi() + 2);
        match u8::try_from(midi)
            .ok()
            .filter(|midi| (low..=high).contains(midi))
        {
            Some(midi) => judge.notes[at] = Pitch::new(midi).expect("a pitch"),
            None => return false,
        }
    }
    true
}

/// All sets of so many numbers of a range.
fn subsets(range: Range<usize>, size: usize) -> Vec<Vec<usize>> {
    if size == 0 {
        return vec![Vec::new()];
    }
    range
        .clone()
        .flat_map(|first| {
            let rest = subsets(first + 1..range.end, size - 1);
            rest.into_iter()
                .map(move |rest| [&[first][..], &rest].concat())
        })
        .collect()
}

/// Takes what devices there are away from a pair of bars in which only these are: by one or two
/// changed notes.
///
/// Where no line has such bars itself, two bars without any device are sought first, as good as
/// can be, and then the change that brings these in.
pub fn plant_device(devices: &[&str], with: &[Fault], lines: &[Line]) -> Option<Planted> {
    let wanted: BTreeSet<&str> = devices.iter().copied().collect();
    let none_left = |pair: [usize; 2]| {
        move |_: &Judge, before: &Faults, now: &Faults| {
            let place = Place::Bar(pair[0]);
            comes_with(before, now, (Fault::NoDevice, place), with).then_some(place)
        }
    };
    let pairs = |line: &Line| Judge::new(line).pairs().to_vec();
    let own = lines.iter().find_map(|line| {
        pairs(line).into_iter().find_map(|pair| {
            if Judge::new(line).devices_in(pair) != wanted {
                return None;
            }
            let bars = pair[0]..pair[1] + 1;
            let (notes, place) =
                (1..=2).find_map(|changes| search(line, bars.clone(), changes, none_left(pair)))?;
            let line = line.clone();
            Some(Planted { line, notes, place })
        })
    });
    let mut tables = Tables::default();
    own.or_else(|| {
        lines.iter().find_map(|line| {
            let clean = Judge::new(line).faults();
            pairs(line).into_iter().find_map(|pair| {
                let bare = reread(line, &without_devices(line, pair, &mut tables)?);
                let place = Place::Bar(pair[0]);
                let brings_in = |judge: &Judge, before: &Faults, now: &Faults| {
                    let only = judge.devices_in(pair) == wanted;
                    let undone = comes_with(now, before, (Fault::NoDevice, place), with);
                    (only && undone).then_some(place)
                };
                let bars = pair[0]..pair[1] + 1;
                let (notes, place) =
                    (1..=2).find_map(|changes| search(&bare, bars.clone(), changes, brings_in))?;
                let base = reread(line, &notes);
                let bare = bare.reading.notes.iter().map(|note| note.pitch).collect();
                Judge::new(&base)
                    .faults()
                    .is_subset(&clean)
                    .then_some(Planted {
                        line: base,
                        notes: bare,
                        place,
                    })
            })
        })
    })
}

/// Whether a fault comes, and with it such others, and none goes.
fn comes_with(before: &Faults, now: &Faults, fault: (Fault, Place), with: &[Fault]) -> bool {
    let others: Vec<Fault> = now
        .difference(before)
        .filter(|one| **one != fault)
        .map(|(fault, _)| *fault)
        .collect();
    let comes = now.contains(&fault) && !before.contains(&fault);
    comes && before.is_subset(now) && same(&others, with)
}

/// The line with other notes.
fn reread(line: &Line, notes: &[Pitch]) -> Line {
    let composer = linewright::Composer::new((*line.style).clone()).expect("a style");
    Line::given(&composer, &line.timeline, line.plan.clone(), notes)
}

/// A line with the best notes for two bars in which there is no device.
fn without_devices(line: &Line, pair: [usize; 2], tables: &mut Tables) -> Option<Vec<Pitch>> {
    let marks = &line.style.marks;
    let book = RuleBook::weighed(|_, rule| {
        let own = line.style.weight(rule.name);
        let is_device = marks.devices.iter().any(|name| name == rule.name);
        if is_device {
            Weight::Milli(-40_000)
        } else if own == Weight::Never || marks.fault(rule.name, own) > 0 {
            Weight::Milli(-100_000)
        } else {
            own
        }
    });
    let free = line.plan.bars[pair[0]].slots.start..line.plan.bars[pair[1]].slots.end;
    let notes = line.reading.notes.iter().enumerate();
    let given: Vec<Option<Pitch>> = notes
        .map(|(at, note)| (!free.contains(&at)).then_some(note.pitch))
        .collect();
    let passage = Passage::new(
        &(&book).into(),
        &line.style,
        &line.plan,
        &given,
        &[],
        tables,
    )?;
    let path = passage.lattice().best().ok()?.path;
    Some(path.into_iter().map(|k| passage.pitch(k)).collect())
}
