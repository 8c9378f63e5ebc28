//! Every order of a cell, with its notes in every octave of the range, ranked in context.

use std::collections::BTreeSet;
use std::sync::Arc;

use linewright_chart::Chart;
use linewright_compose::Line;
use linewright_compose::{Passage, Tables};
use linewright_diagnostic::Diagnostics;
use linewright_rulebook::Rule;
use linewright_rulebook::StyleBook;
use linewright_rulebook::plan::{Onset, Plan};
use linewright_rulebook::rules::{arrival, melody, tone};
use linewright_rulebook::style::Weight;
use linewright_theory::{Chord, Key, Pitch, PitchClass};

/// Most notes of a cell.
pub const MOST_NOTES: usize = 7;

/// Most beginnings that are looked at.
const MOST_STEPS: usize = 8_000_000;

/// What is asked of the beginning and the end of a line, which a cell has not.
const ENDS: &[(&Rule, Weight)] = &[
    (&arrival::OPENING_ROOT, Weight::ZERO),
    (&tone::OPEN_ENDING, Weight::ZERO),
    (&melody::LEAP_INTO_THE_END, Weight::ZERO),
    (&arrival::LONE_ROOT, Weight::ZERO),
];

/// A cell to put in order.
#[derive(Clone, Debug)]
pub struct Cell {
    /// Its notes, in any order; 2 to [`MOST_NOTES`].
    pub classes: Vec<PitchClass>,
    /// The chord that it is played over.
    pub chord: Chord,
    /// The key.
    pub key: Key,
    /// The note before it.
    pub before: Option<Pitch>,
    /// The note after it.
    pub after: Option<Pitch>,
    /// The chord of the note after it; the same chord when `None`.
    pub next_chord: Option<Chord>,
}

/// One order, in the octaves that rank best.
#[derive(Clone, Debug)]
pub struct Order {
    /// The line: the bar of the cell between the notes before and after.
    pub line: Line,
    /// Slots of the cell in the line.
    pub slots: std::ops::Range<usize>,
    /// The score with the notes around it, in milli-points.
    pub score: i64,
}

/// The orders of a cell, best first.
#[derive(Clone, Debug)]
pub struct Orders {
    /// How many orders there are.
    pub orders: u64,
    /// How many ways there are to put each note of one order into the range.
    pub placements: u64,
    /// What is listed of them.
    pub listed: Listed,
    /// Those that were asked for.
    pub ranked: Vec<Order>,
    /// Whether the search was ended before all that were asked for were found.
    pub cut_short: bool,
}

/// What is listed.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Listed {
    /// Every order once, in its best octaves.
    Orders,
    /// Every order in all octaves.
    Placements,
}

/// Why a cell has no orders.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum OrdersError {
    /// Fewer than two notes, or too many.
    #[error("the cell has {0} notes\n  hint: give 2 to {MOST_NOTES}, such as 1-3-5-6")]
    Size(usize),
    /// A note that the range does not hold.
    #[error(
        "a note of the cell does not lie in the range\n  hint: widen the range with --low and --high"
    )]
    OutOfRange(PitchClass),
    /// The chord cannot be played so.
    #[error(transparent)]
    Chart(#[from] Diagnostics),
    /// The notes before and after lie too far apart.
    #[error("the notes before and after lie too far apart\n  hint: give notes of one register")]
    TooWide,
}

/// Lists the orders of a cell, best first, `count` at most.
///
/// # Errors
/// A cell of fewer than two notes or too many, or notes out of range.
pub fn orders(
    style_book: &StyleBook,
    cell: &Cell,
    listed: Listed,
    count: usize,
) -> Result<Orders, OrdersError> {
    let size = cell.classes.len();
    if !(2..=MOST_NOTES).contains(&size) {
        return Err(OrdersError::Size(size));
    }
    let range = style_book.style().range;
    let places = |class: PitchClass| {
        let pitches = (range.low.midi()..=range.high.midi()).filter_map(Pitch::new);
        pitches.filter(|pitch| pitch.class() == class).count() as u64
    };
    if let Some(&class) = cell.classes.iter().find(|class| places(**class) == 0) {
        return Err(OrdersError::OutOfRange(class));
    }
    let count_orders = permutations(&cell.classes);
    let placements: u64 = cell.classes.iter().map(|class| places(*class)).product();
    let timeline = bars(cell)?;
    let timeline = Arc::new(timeline);
    let onset = |beat: usize| Onset {
        beat: beat as u8,
        beats: 1,
    };
    let mut onsets: Vec<Vec<Onset>> = vec![(0..size).map(onset).collect()];
    if cell.before.is_some() {
        onsets.insert(0, vec![onset(size - 1)]);
    }
    if cell.after.is_some() {
        onsets.push(vec![onset(0)]);
    }
    let plan = Plan::over(&timeline, style_book.style(), &onsets);
    let first = usize::from(cell.before.is_some());
    let slots = first..first + size;
    let mut given = vec![None; plan.slots.len()];
    if let Some(before) = cell.before {
        given[0] = Some(before);
    }
    if let Some(after) = cell.after {
        given[slots.end] = Some(after);
    }
    // A cell neither begins a line nor ends one, and it may be a bar that the style would not
    // write: limits are prices here.
    let book = style_book.book().with(ENDS, true);
    let passage = Passage::new(
        &(&book).into(),
        style_book.style(),
        &plan,
        &given,
        &[],
        &mut Tables::default(),
    );
    let passage = passage.ok_or(OrdersError::TooWide)?;
    let in_range = |pitch: Pitch| (range.low..=range.high).contains(&pitch);
    let class_of = |k: u8| passage.pitch(k).class();
    let within = |path: &[u8]| {
        if path.len() <= slots.start || path.len() > slots.end {
            return true;
        }
        // Notes before and after may lie outside the range, those of the cell may not.
        if !path[slots.start..]
            .iter()
            .all(|&k| in_range(passage.pitch(k)))
        {
            return false;
        }
        let now = path[slots.start..].iter().map(|&k| class_of(k));
        now.clone().all(|class| {
            let wanted = cell.classes.iter().filter(|other| **other == class);
            now.clone().filter(|other| *other == class).count() <= wanted.count()
        })
    };
    let mut seen: BTreeSet<Vec<u8>> = BTreeSet::new();
    let (mut ranked, mut cut_short) = (Vec::new(), false);
    for scored in passage.lattice().ranked_where(within, MOST_STEPS) {
        if ranked.len() == count || (listed == Listed::Orders && seen.len() as u64 == count_orders)
        {
            break;
        }
        let Ok(scored) = scored else {
            cut_short = true;
            break;
        };
        let order: Vec<u8> = scored.path[slots.clone()]
            .iter()
            .map(|&k| class_of(k).get())
            .collect();
        if !seen.insert(order) && listed == Listed::Orders {
            continue;
        }
        let pitches: Vec<Pitch> = scored.path.iter().map(|&k| passage.pitch(k)).collect();
        ranked.push(Order {
            line: Line::given(style_book, &timeline, plan.clone(), &pitches),
            slots: slots.clone(),
            score: scored.score,
        });
    }
    Ok(Orders {
        orders: count_orders,
        placements,
        listed,
        ranked,
        cut_short,
    })
}

/// The bars of the cell: one, with one before it and one after it where notes are given there.
fn bars(cell: &Cell) -> Result<linewright_chart::Timeline, Diagnostics> {
    let size = cell.classes.len();
    let mut chords = vec![cell.chord];
    if cell.before.is_some() {
        chords.push(cell.chord);
    }
    if cell.after.is_some() {
        chords.push(cell.next_chord.unwrap_or(cell.chord));
    }
    let mut text = format!("title: {}\nkey: {}\ntime: {size}/4\n", cell.chord, cell.key);
    for chord in chords {
        text.push_str(&format!("| {chord} "));
    }
    text.push_str("|\n");
    Chart::parse("cell", text.as_bytes())?.unroll()
}

/// How many different orders some notes have.
fn permutations(classes: &[PitchClass]) -> u64 {
    let factorial = |n: usize| (1..=n as u64).product::<u64>();
    let kinds: BTreeSet<u8> = classes.iter().map(|class| class.get()).collect();
    let alike = |kind: u8| classes.iter().filter(|class| class.get() == kind).count();
    kinds
        .into_iter()
        .fold(factorial(classes.len()), |orders, kind| {
            orders / factorial(alike(kind))
        })
}
