//! Measures as they fill up.

use linewright_diagnostic::{Diagnostics, Place};
use linewright_theory::Key;

use super::MAX_MEASURES;
use super::item::{Exact, Item};
use super::join;
use super::lexer::{Bar, Stroke};
use crate::abc::sign::Sign;
use crate::written::Metre;
use crate::{BarLine, Measure, Symbol, SymbolAt, Ticks, TimeSignature};

/// Longest measure: more than any metre makes.
const MAX_TICKS: Ticks = 1 << 30;

/// What stands at the beginning of a measure.
#[derive(Clone, Debug, Default)]
pub(super) struct Start {
    pub opens_repeat: bool,
    pub ending: Vec<u8>,
    pub section: Option<String>,
    pub segno: bool,
    pub coda: bool,
    pub key: Option<Key>,
    pub time: Option<TimeSignature>,
    pub tempo: Option<u16>,
}

/// A finished measure, where it begins in the file, and the length that the metre wants of it.
#[derive(Clone, Debug)]
pub(super) struct Done {
    pub measure: Measure,
    pub place: Place,
    pub full: Option<Ticks>,
}

/// The measures so far and the one that is being read.
#[derive(Debug, Default)]
pub(super) struct Bars {
    pub done: Vec<Done>,
    /// Of the measure that is being read.
    pub start: Start,
    /// Of the one after it.
    next: Start,
    pub items: Vec<Item>,
    pub now: Ticks,
    symbols: Vec<SymbolAt>,
    place: Place,
    to_coda: bool,
    fine: bool,
    jump: Option<crate::Jump>,
    times: Option<u8>,
    /// In force, as far as it is known.
    metre: Option<Metre>,
}

impl Bars {
    /// What begins here: with this measure if nothing is in it yet, else with the next.
    pub fn begins(&mut self) -> &mut Start {
        if self.items.is_empty() {
            &mut self.start
        } else {
            &mut self.next
        }
    }

    pub fn is_empty(&self) -> bool {
        self.items.is_empty()
    }

    pub fn symbol(&mut self, symbol: Symbol) {
        self.symbols.push(SymbolAt {
            at: self.now,
            symbol,
        });
    }

    /// Whether a symbol stands here already.
    pub fn has_symbol(&self) -> bool {
        self.symbols.last().is_some_and(|last| last.at == self.now)
    }

    /// Adds an item of a length that is not zero.
    ///
    /// # Errors
    /// When the measure gets absurdly long.
    pub fn push(&mut self, mut item: Item, place: Place) -> Result<(), Diagnostics> {
        if self.items.is_empty() {
            self.place = place;
        }
        item.at = self.now;
        let end = self
            .now
            .checked_add(item.ticks)
            .filter(|end| *end < MAX_TICKS);
        self.now = end.ok_or_else(|| {
            Diagnostics::one(
                place,
                "this measure is absurdly long",
                "write bar lines, and lengths as multiples of the unit that `L:` tells",
            )
        })?;
        self.items.push(item);
        Ok(())
    }

    /// Gives the last item another length.
    pub fn stretch_last(&mut self, exact: Exact) {
        if let Some(last) = self.items.last_mut() {
            last.exact = exact;
            last.ticks = exact.rounded().clamp(1, MAX_TICKS);
            self.now = last.at.saturating_add(last.ticks).min(MAX_TICKS);
        }
    }

    /// Notes a sign that stands at the end of a measure: of this one, or, if nothing is in it,
    /// of the one before.
    pub fn ends_with(&mut self, sign: Sign) {
        let before = self.done.last_mut().filter(|_| self.items.is_empty());
        match (sign, before) {
            (Sign::ToCoda, Some(done)) => done.measure.to_coda = true,
            (Sign::ToCoda, None) => self.to_coda = true,
            (Sign::Fine, Some(done)) => done.measure.fine = true,
            (Sign::Fine, None) => self.fine = true,
            (Sign::Jump(jump), Some(done)) => done.measure.jump = Some(jump),
            (Sign::Jump(jump), None) => self.jump = Some(jump),
            (Sign::Times(times), Some(done)) => {
                if let BarLine::Repeat(known) = &mut done.measure.right {
                    *known = times;
                }
            }
            (Sign::Times(times), None) => self.times = Some(times),
            (Sign::Segno | Sign::Coda, _) => {}
        }
    }

    /// A bar line. Two with nothing between are one.
    ///
    /// # Errors
    /// When there are too many measures.
    pub fn bar(&mut self, bar: &Bar, full: Option<Ticks>) -> Result<(), Diagnostics> {
        let right = match (bar.ends, bar.stroke) {
            (0, Stroke::Single) => BarLine::Single,
            (0, Stroke::Double) => BarLine::Double,
            (0, Stroke::Final) => BarLine::Final,
            (1, _) => BarLine::Repeat(self.times.unwrap_or(2)),
            (ends, _) => BarLine::Repeat(ends.saturating_add(1)),
        };
        if !self.items.is_empty() {
            self.close(right, full)?;
        } else if let Some(before) = self.done.last_mut()
            && right != BarLine::Single
            && !matches!(before.measure.right, BarLine::Repeat(_))
        {
            before.measure.right = right;
        }
        self.start.opens_repeat |= bar.opens;
        if !bar.ending.is_empty() {
            self.start.ending.clone_from(&bar.ending);
        }
        Ok(())
    }

    /// Finishes the measure that is being read.
    pub fn close(&mut self, right: BarLine, full: Option<Ticks>) -> Result<(), Diagnostics> {
        if self.done.len() == MAX_MEASURES {
            return Err(Diagnostics::one(
                self.place,
                format!("the tune has more than {MAX_MEASURES} measures"),
                "give a shorter tune",
            ));
        }
        let start = std::mem::replace(&mut self.start, std::mem::take(&mut self.next));
        let symbols = std::mem::take(&mut self.symbols);
        // What stands at the very end belongs to the next note.
        let (mut symbols, late): (Vec<_>, Vec<_>) =
            symbols.into_iter().partition(|symbol| symbol.at < self.now);
        self.symbols = late
            .into_iter()
            .map(|late| SymbolAt { at: 0, ..late })
            .collect();
        symbols.sort_by_key(|symbol| symbol.at);
        let items = std::mem::take(&mut self.items);
        if let Some(time) = start.time {
            self.metre = Some(Metre::of(time));
        }
        let mut measure = Measure {
            ticks: std::mem::take(&mut self.now),
            pickup: false,
            time: start.time,
            key: start.key,
            tempo: start.tempo,
            section: start.section,
            opens_repeat: start.opens_repeat,
            ending: start.ending,
            segno: start.segno,
            coda: start.coda,
            to_coda: std::mem::take(&mut self.to_coda),
            fine: std::mem::take(&mut self.fine),
            jump: self.jump.take(),
            right,
            symbols,
            events: Vec::new(),
        };
        let common = TimeSignature { beats: 4, unit: 4 };
        let metre = self.metre.get_or_insert_with(|| Metre::of(common));
        join::fill(&mut measure, &items, metre, self.done.is_empty());
        self.times = None;
        self.done.push(Done {
            measure,
            place: self.place,
            full,
        });
        Ok(())
    }
}
