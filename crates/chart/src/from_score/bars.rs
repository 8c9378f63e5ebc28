//! Measures → the bars of a chart: metres, pick-up, measures that are split, repeats.

use linewright_diagnostic::{Diagnostics, Place};
use linewright_notation::{
    BarLine, Ending, Jump, Measure, QUARTER, Score, Symbol, Ticks, TimeSignature, Until, endings,
};
use linewright_theory::Key;

use super::metre::{Counted, counted, of_length};
use crate::metre::Metre;

/// Most passes that a repeat may have.
const MOST_PASSES: u8 = 99;

/// A bar to be.
pub(super) struct Draft {
    /// The number of its first measure, from 1.
    pub(super) measure: usize,
    pub(super) metre: Metre,
    pub(super) beat: Ticks,
    pub(super) beats: u8,
    pub(super) pickup: bool,
    pub(super) key: Option<Key>,
    /// In quarter notes a minute.
    pub(super) tempo: Option<u16>,
    pub(super) section: Option<String>,
    pub(super) opens_repeat: bool,
    pub(super) ending: Vec<u8>,
    pub(super) segno: bool,
    pub(super) coda: bool,
    pub(super) to_coda: bool,
    pub(super) fine: bool,
    pub(super) jump: Option<Jump>,
    pub(super) right: BarLine,
    /// By place.
    pub(super) symbols: Vec<(Ticks, Symbol)>,
}

/// The bars of a score. A measure that cannot be a bar is a fault, and left out.
pub(super) fn drafts(score: &Score, found: &mut Diagnostics) -> Vec<Draft> {
    let mut reader = Reader {
        measures: &score.measures,
        drafts: Vec::new(),
        time: first_time(&score.measures),
        pickup: 0,
        carried: Carried::default(),
        in_ending: false,
        found,
    };
    let mut nth = 0;
    while nth < score.measures.len() {
        nth += reader.take(nth);
    }
    reader.drafts
}

/// The metre of the first full measure: a pick-up may have one of its own.
fn first_time(measures: &[Measure]) -> TimeSignature {
    let own = measures.first().and_then(|m| m.time);
    let next = measures.get(1).and_then(|m| m.time);
    match (own, next) {
        (Some(own), Some(next)) if counted(own).is_none() && own.ticks() < next.ticks() => next,
        (own, _) => own.unwrap_or(TimeSignature { beats: 4, unit: 4 }),
    }
}

/// What has to wait for the bar to come.
#[derive(Default)]
struct Carried {
    opens_repeat: bool,
    segno: bool,
    section: Option<String>,
    key: Option<Key>,
    tempo: Option<u16>,
    /// What sounds when the bar begins, where it does not say so itself.
    symbol: Option<Symbol>,
}

struct Reader<'a> {
    measures: &'a [Measure],
    drafts: Vec<Draft>,
    time: TimeSignature,
    /// The length of the pick-up to this part.
    pickup: Ticks,
    carried: Carried,
    in_ending: bool,
    found: &'a mut Diagnostics,
}

impl Reader<'_> {
    /// Takes the measure at an index, and perhaps the one after it; how many were taken.
    fn take(&mut self, nth: usize) -> usize {
        let measure = &self.measures[nth];
        let number = nth + 1;
        if nth > 0
            && let Some(time) = measure.time
        {
            self.time = time;
        }
        let Some(full) = counted(self.time) else {
            if measure.time.is_some() || nth == 0 {
                self.refuse_metre(number);
            }
            return 1;
        };
        if measure.time.is_some() || nth == 0 {
            self.tell_metre(number, full);
        }
        let length = self.time.ticks();
        let carried = std::mem::take(&mut self.carried);
        if nth == 0 && measure.ticks < length {
            self.take_pickup(measure, full);
            return 1;
        }
        if measure.ticks == length {
            self.push(number, measure, full, full.metre.beats, carried);
            return 1;
        }
        let next = self.measures.get(nth + 1);
        if let Some(next) = next
            && measure.ticks + next.ticks.min(length) == length
            && next.time.is_none()
            && let Some(joined) = self.join(number, measure, next)
        {
            self.push(number, &joined, full, full.metre.beats, carried);
            return 2;
        }
        if self.is_upbeat(nth, length) {
            self.leave_upbeat(number, measure, carried);
            return 1;
        }
        if ends_part(self.measures, nth) && self.pickup > 0 && measure.ticks + self.pickup == length
        {
            self.found.remark(
                Place::Measure(number),
                "the measure is short, since the pick-up makes up for it",
                "it was filled up with its last chord",
            );
            self.push(number, measure, full, full.metre.beats, carried);
            return 1;
        }
        match of_length(measure.ticks, full.beat) {
            Some(own) => {
                self.found.remark(
                    Place::Measure(number),
                    format!(
                        "the measure lasts {} beats and not {}",
                        own.metre.beats, full.metre.beats
                    ),
                    format!("it was read as a bar of {}", own.metre),
                );
                self.push(number, measure, own, own.metre.beats, carried);
            }
            None if measure.ticks < length + full.beat => {
                let hint = match measure.ticks < length {
                    true => "it was filled up with its last chord",
                    false => "it was read as a full bar",
                };
                self.found.remark(
                    Place::Measure(number),
                    format!("the measure lasts {}", quarters(measure.ticks)),
                    hint,
                );
                self.push(number, measure, full, full.metre.beats, carried);
            }
            None => self.found.error(
                Place::Measure(number),
                format!(
                    "the measure lasts {} and so is no bar of a chart",
                    quarters(measure.ticks)
                ),
                "let it have whole beats, from 2 to 7",
            ),
        }
        1
    }

    /// Whether a short measure leads into a part within the piece, whose last measure is as
    /// much shorter.
    fn is_upbeat(&self, nth: usize, length: Ticks) -> bool {
        let measure = &self.measures[nth];
        let begins = nth > 0 && (ends_part(self.measures, nth - 1) || measure.opens_repeat);
        let end = (nth + 1..self.measures.len()).find(|&at| ends_part(self.measures, at));
        let fills = |at: usize| self.measures[at].ticks + measure.ticks == length;
        begins && measure.right == BarLine::Single && end.is_some_and(fills)
    }

    fn leave_upbeat(&mut self, number: usize, measure: &Measure, carried: Carried) {
        self.found.remark(
            Place::Measure(number),
            "an up-beat leads into this part",
            "it was left out; the last bar of the part was filled up",
        );
        self.pickup = measure.ticks;
        let symbol = measure.symbols.last().map(|last| last.symbol.clone());
        self.carried = Carried {
            opens_repeat: measure.opens_repeat || carried.opens_repeat,
            segno: measure.segno || carried.segno,
            section: measure.section.clone().or(carried.section),
            key: measure.key.or(carried.key),
            tempo: measure.tempo.or(carried.tempo),
            symbol: symbol.or(carried.symbol),
        };
    }

    fn refuse_metre(&mut self, number: usize) {
        let TimeSignature { beats, unit } = self.time;
        self.found.error(
            Place::Measure(number),
            format!("a chart cannot count {beats}/{unit}"),
            "a line walks in quarter notes from 2/4 to 7/4, or in the dotted quarters of 6/8, \
             9/8 and 12/8: write the tune in one of these",
        );
    }

    /// Tells where a metre becomes another.
    fn tell_metre(&mut self, number: usize, full: Counted) {
        let TimeSignature { beats, unit } = self.time;
        if unit == 4 {
            return;
        }
        let beat = match full.beat {
            QUARTER => "the quarter note is the beat",
            _ => "the dotted quarter is the beat, and the tempo counts these beats",
        };
        self.found.remark(
            Place::Measure(number),
            format!("{beats}/{unit} was read as {}", full.metre),
            beat,
        );
    }

    fn take_pickup(&mut self, measure: &Measure, full: Counted) {
        self.pickup = measure.ticks;
        self.carried.opens_repeat |= measure.opens_repeat;
        self.carried.segno |= measure.segno;
        let beats = (measure.ticks + full.beat / 2) / full.beat;
        let beats = u8::try_from(beats).unwrap_or(full.metre.beats);
        if beats == 0 || measure.symbols.is_empty() && measure.ticks < full.beat {
            self.found.remark(
                Place::Measure(1),
                "the pick-up is shorter than a beat",
                "it was left out",
            );
            self.carried.section = measure.section.clone();
            (self.carried.key, self.carried.tempo) = (measure.key, measure.tempo);
            self.carried.symbol = measure.symbols.last().map(|last| last.symbol.clone());
            return;
        }
        let beats = beats.min(full.metre.beats - 1);
        if !measure.ticks.is_multiple_of(full.beat) {
            self.found.remark(
                Place::Measure(1),
                format!("the pick-up lasts {}", quarters(measure.ticks)),
                format!("it was read as one of {beats} beats"),
            );
        }
        let plain = Measure {
            opens_repeat: false,
            segno: false,
            ..measure.clone()
        };
        self.push(1, &plain, full, beats, Carried::default());
        if let Some(draft) = self.drafts.last_mut() {
            draft.pickup = true;
        }
    }

    /// Two measures that are one bar, if their signs allow it.
    fn join(&mut self, number: usize, first: &Measure, second: &Measure) -> Option<Measure> {
        let fixed = first.to_coda
            || first.fine
            || first.jump.is_some()
            || !second.ending.is_empty()
            || second.segno
            || second.coda;
        let repeats = matches!(first.right, BarLine::Repeat(_));
        if fixed || (repeats && matches!(second.right, BarLine::Repeat(_))) {
            return None;
        }
        if repeats || second.opens_repeat {
            self.found.remark(
                Place::Measure(number),
                "a repeat sign stands in the middle of the bar",
                "it was moved to the next bar line, so that what goes before it is played there \
                 every time",
            );
        } else {
            self.found.remark(
                Place::Measure(number),
                format!("measures {number} and {} are one bar", number + 1),
                "they were joined",
            );
        }
        let mut joined = first.clone();
        joined.ticks += second.ticks;
        joined.right = if repeats { first.right } else { second.right };
        joined.to_coda = second.to_coda;
        joined.fine = second.fine;
        joined.jump = second.jump;
        joined.symbols.extend(second.symbols.iter().map(|symbol| {
            let mut symbol = symbol.clone();
            symbol.at = symbol.at.saturating_add(first.ticks);
            symbol
        }));
        // What begins at the second half begins at the next bar.
        self.carried = Carried {
            opens_repeat: second.opens_repeat,
            segno: false,
            section: second.section.clone(),
            key: second.key,
            tempo: second.tempo,
            symbol: None,
        };
        Some(joined)
    }

    /// Adds a bar, with what was carried to it.
    fn push(
        &mut self,
        number: usize,
        measure: &Measure,
        counted: Counted,
        beats: u8,
        carried: Carried,
    ) {
        let opens_repeat = measure.opens_repeat || carried.opens_repeat;
        if opens_repeat {
            self.in_ending = false;
        }
        self.in_ending |= !measure.ending.is_empty();
        let mut symbols: Vec<(Ticks, Symbol)> = measure
            .symbols
            .iter()
            .map(|symbol| (symbol.at, symbol.symbol.clone()))
            .collect();
        if let Some(symbol) = carried.symbol
            && symbols.iter().all(|(at, _)| *at > 0)
        {
            symbols.insert(0, (0, symbol));
        }
        let right = self.right(number, measure.right);
        let ending = self.passes(number, &measure.ending);
        self.drafts.push(Draft {
            measure: number,
            metre: counted.metre,
            beat: counted.beat,
            beats,
            pickup: false,
            key: measure.key.or(carried.key),
            tempo: measure.tempo.or(carried.tempo),
            section: measure.section.clone().or(carried.section),
            opens_repeat,
            ending,
            segno: measure.segno || carried.segno,
            coda: measure.coda,
            to_coda: measure.to_coda,
            fine: measure.fine,
            jump: measure.jump,
            right,
            symbols,
        });
    }

    fn right(&mut self, number: usize, right: BarLine) -> BarLine {
        match right {
            BarLine::Single | BarLine::Double | BarLine::Final => right,
            // Endings name their passes themselves.
            BarLine::Repeat(_) if self.in_ending => BarLine::Repeat(2),
            BarLine::Repeat(passes) => {
                if !(2..=MOST_PASSES).contains(&passes) {
                    self.found.remark(
                        Place::Measure(number),
                        format!("a repeat cannot be played {passes} times in all"),
                        "it was read as played twice",
                    );
                    return BarLine::Repeat(2);
                }
                BarLine::Repeat(passes)
            }
        }
    }

    fn passes(&mut self, number: usize, ending: &[u8]) -> Vec<u8> {
        let mut passes = ending.to_vec();
        passes.sort_unstable();
        passes.dedup();
        let size = passes.len();
        passes.retain(|pass| (1..=MOST_PASSES).contains(pass));
        if passes.len() < size {
            self.found.error(
                Place::Measure(number),
                "an ending has a number that no pass has",
                format!("number endings from 1 to {MOST_PASSES}"),
            );
        }
        passes
    }
}

/// Whether a measure is the last of a part: of the piece, or before a sign of form.
fn ends_part(measures: &[Measure], nth: usize) -> bool {
    let measure = &measures[nth];
    nth + 1 == measures.len() || measure.right != BarLine::Single || measure.jump.is_some()
}

/// Makes repeats whole that are written as folk tunes are: one that only its end or its first
/// ending tells of begins where the repeat before ended, or at the last double bar line since;
/// and nothing goes back from a last ending, whatever its bar line says.
pub(super) fn complete_repeats(drafts: &mut [Draft], measures: &[Measure]) {
    let closed_endings: Vec<_> = endings(measures).into_iter().filter(|e| e.closed).collect();
    // Whether a bar lies in an ending that goes back, and not at its end.
    let goes_on = |draft: &Draft| {
        let inside = |ending: &Ending| (ending.first..ending.last).contains(&(draft.measure - 1));
        closed_endings.iter().any(inside)
    };
    // Where a repeat could begin; whether one is open; whether its first ending is over.
    let (mut begin, mut open, mut closed) = (0, true, false);
    for nth in 0..drafts.len() {
        if drafts[nth].opens_repeat {
            (open, closed) = (true, false);
        } else if drafts[nth].ending.contains(&1) && !open {
            drafts[begin].opens_repeat = true;
            (open, closed) = (true, false);
        } else if drafts[nth].ending.is_empty()
            && closed
            && !goes_on(&drafts[nth - 1])
            && !in_ending(drafts, nth)
        {
            (begin, open, closed) = (nth, false, false);
        }
        match drafts[nth].right {
            BarLine::Repeat(_) if closed => {
                let more = drafts
                    .get(nth + 1)
                    .is_some_and(|next| !next.ending.is_empty());
                if !more {
                    drafts[nth].right = BarLine::Double;
                    (begin, open, closed) = (nth + 1, false, false);
                }
            }
            BarLine::Repeat(_) => {
                if !open && begin <= nth {
                    drafts[begin].opens_repeat = true;
                }
                closed = drafts
                    .get(nth + 1)
                    .is_some_and(|next| !next.ending.is_empty());
                if !closed {
                    (begin, open) = (nth + 1, false);
                }
            }
            BarLine::Double | BarLine::Final if (!open || closed) && !goes_on(&drafts[nth]) => {
                (begin, open, closed) = (nth + 1, false, false);
            }
            _ => {}
        }
    }
}

/// Whether the bar before this one lies in an ending that has not been closed.
fn in_ending(drafts: &[Draft], nth: usize) -> bool {
    let mut before = drafts[..nth].iter().rev();
    before
        .find(|draft| !draft.ending.is_empty() || draft.right != BarLine::Single)
        .is_some_and(|draft| draft.right == BarLine::Single)
}

/// A length in quarter notes: `1 quarter note`, `3½ quarter notes`.
fn quarters(ticks: Ticks) -> String {
    let hundredths = (u64::from(ticks) * 100 + u64::from(QUARTER) / 2) / u64::from(QUARTER);
    match (hundredths / 100, hundredths % 100) {
        (1, 0) => "1 quarter note".into(),
        (whole, 0) => format!("{whole} quarter notes"),
        (whole, part) => format!("{whole}.{part:02} quarter notes"),
    }
}

/// Leaves out signs of the road map that no jump uses.
pub(super) fn drop_unused_signs(drafts: &mut [Draft], found: &mut Diagnostics) {
    let jumps: Vec<Jump> = drafts.iter().filter_map(|draft| draft.jump).collect();
    let to_segno = jumps.iter().any(|jump| jump.to_segno);
    let to_coda = jumps.iter().any(|jump| jump.until == Until::Coda);
    let last = drafts.len().saturating_sub(1);
    for (nth, draft) in drafts.iter_mut().enumerate() {
        let mut drop = |sign: &mut bool, used: bool, name: &str| {
            if *sign && !used {
                *sign = false;
                found.remark(
                    Place::Measure(draft.measure),
                    format!("no jump uses the {name}"),
                    "it was left out",
                );
            }
        };
        drop(&mut draft.segno, to_segno, "segno");
        drop(&mut draft.coda, to_coda, "coda");
        drop(&mut draft.to_coda, to_coda, "jump to the coda");
        drop(&mut draft.fine, !jumps.is_empty() || nth == last, "fine");
    }
}
