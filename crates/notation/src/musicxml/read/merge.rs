//! What only another part has: chord symbols, sections, tempos, the signs of the form.
//!
//! Scores of several parts often show these once, above the first.

use linewright_diagnostic::{Diagnostics, Place};

use super::document::Document;
use super::part::{Bar, PartReader};
use crate::{Measure, SymbolAt};

/// What one part lends to another.
#[derive(Default)]
pub(super) struct Loans {
    /// Chord symbols by measure.
    symbols: Option<Vec<Vec<SymbolAt>>>,
    /// Measures that lend what stands above the staff.
    marks: Option<Marks>,
}

struct Marks {
    measures: Vec<Measure>,
    coda_signs: Vec<(usize, bool)>,
    open_jumps: Vec<usize>,
}

/// The feel: the first words at the beginning, of the part or of any other.
pub(super) fn feel(document: &Document, chosen: usize) -> Option<String> {
    let of = |part: &PartReader| {
        let pickup = part
            .bars
            .first()
            .is_some_and(|bar| bar.zero || bar.nominal.is_some_and(|full| bar.extent < full));
        let first = part.feel.first()?;
        (first.0 == 0 || pickup).then(|| first.1.clone())
    };
    let parts = &document.parts;
    of(&parts[chosen].1).or_else(|| parts.iter().find_map(|(_, part)| of(part)))
}

/// What the part lacks and another has.
pub(super) fn loans(document: &Document, chosen: usize, problems: &mut Diagnostics) -> Loans {
    let mut loans = Loans::default();
    let own = &document.parts[chosen].1;
    let others = || {
        let all = document.parts.iter().enumerate();
        all.filter(|&(at, _)| at != chosen).map(|(_, part)| part)
    };
    if !own.has_symbols()
        && let Some((name, part)) = others().find(|(_, part)| part.has_symbols())
    {
        let symbols = part.bars.iter().map(|bar| bar.measure.symbols.clone());
        loans.symbols = Some(symbols.collect());
        problems.remark(
            Place::Whole,
            format!(
                "the chord symbols were taken from the part {}",
                name.shown()
            ),
            "put the chord symbols above the part to read if others are meant",
        );
    }
    if !has_marks(own)
        && let Some((_, part)) = others().find(|(_, part)| has_marks(part))
    {
        loans.marks = Some(Marks {
            measures: part.bars.iter().map(|bar| marks(&bar.measure)).collect(),
            coda_signs: part.coda_signs.clone(),
            open_jumps: part.open_jumps.clone(),
        });
    }
    loans
}

/// Whether anything of what is lent stands above a part.
fn has_marks(part: &PartReader) -> bool {
    let plain = |bar: &Bar| marks(&bar.measure) == Measure::new(0);
    !part.coda_signs.is_empty() || !part.bars.iter().all(plain)
}

/// The marks of a measure, and nothing else.
fn marks(measure: &Measure) -> Measure {
    Measure {
        tempo: measure.tempo,
        section: measure.section.clone(),
        segno: measure.segno,
        coda: measure.coda,
        to_coda: measure.to_coda,
        fine: measure.fine,
        jump: measure.jump,
        ..Measure::new(0)
    }
}

impl Loans {
    /// Gives them to the part.
    pub(super) fn give(self, part: &mut PartReader) {
        if let Some(symbols) = self.symbols {
            for (bar, symbols) in part.bars.iter_mut().zip(symbols) {
                bar.measure.symbols = symbols;
            }
        }
        let Some(marks) = self.marks else { return };
        let count = part.bars.len();
        for (bar, marks) in part.bars.iter_mut().zip(marks.measures) {
            bar.measure = Measure {
                tempo: marks.tempo,
                section: marks.section,
                segno: marks.segno,
                coda: marks.coda,
                to_coda: marks.to_coda,
                fine: marks.fine,
                jump: marks.jump,
                ..std::mem::replace(&mut bar.measure, Measure::new(0))
            };
        }
        let signs = marks.coda_signs.into_iter();
        part.coda_signs = signs.filter(|&(at, _)| at < count).collect();
        let jumps = marks.open_jumps.into_iter();
        part.open_jumps = jumps.filter(|&at| at < count).collect();
    }
}
