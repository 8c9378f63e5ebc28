//! Bar lines, and what stands over and under the staff.

use linewright_diagnostic::{Diagnostics, Place};
use linewright_theory::Interval;

use super::Music;
use crate::Symbol;
use crate::abc::read::lexer::{Bar, Stroke};
use crate::abc::read::quoted::{self, Quoted};
use crate::abc::read::report::Kind;
use crate::abc::sign::Sign;
use crate::abc::text::{plain, shown};

impl Music {
    pub(super) fn quotation(&mut self, text: &str, place: Place) {
        let text = plain(text);
        let mut alternative = || {
            self.reports.once(
                Kind::Alternative,
                place,
                format!("the alternative chord in {} is left out", shown(&text)),
                "write one chord symbol",
            );
        };
        match quoted::read(&text) {
            Quoted::Sign(sign) => self.signs.push(sign),
            Quoted::Annotation => {}
            Quoted::Words => self.reports.once(
                Kind::Words,
                place,
                format!("{} is no chord symbol and is left out", shown(&text)),
                "write words as `\"^words\"`, fingers as `!1!`, chord symbols as `\"Am7\"`",
            ),
            Quoted::Alternative(_) if self.bars.has_symbol() => alternative(),
            Quoted::Alternative(symbol) => self.symbol(symbol),
            Quoted::WithAlternative(symbol) => {
                alternative();
                self.symbol(symbol);
            }
            Quoted::Symbol(symbol, wrong) => {
                if let Some((message, hint)) = wrong {
                    let message = format!(
                        "the chord symbol {} cannot be read: {message}",
                        shown(&text)
                    );
                    self.reports.add(place, message, hint);
                }
                self.symbol(symbol);
            }
        }
    }

    pub(super) fn symbol(&mut self, symbol: Symbol) {
        let symbol = match symbol {
            Symbol::Chord(chord) if self.interval != Interval::UNISON => {
                Symbol::Chord(chord.transposed(self.interval))
            }
            other => other,
        };
        self.bars.symbol(symbol);
    }

    pub(super) fn decoration(&mut self, name: &str) {
        match name {
            "style=x" | "ghost" => self.ghost = true,
            _ => self.signs.extend(Sign::read(name)),
        }
    }

    pub(super) fn bar(&mut self, bar: &Bar) -> Result<(), Diagnostics> {
        let mut after = Vec::new();
        for sign in std::mem::take(&mut self.signs) {
            match sign {
                Sign::Segno | Sign::Coda => after.push(sign),
                other => self.bars.ends_with(other),
            }
        }
        self.bars.bar(bar, self.full())?;
        self.full_line = false;
        for sign in after {
            match sign {
                Sign::Segno => self.bars.start.segno = true,
                _ => self.bars.start.coda = true,
            }
        }
        self.accidentals.clear();
        self.chord = None;
        self.broken = None;
        self.blank = true;
        Ok(())
    }

    /// An ending that no bar line comes before.
    pub(super) fn ending(&mut self, passes: Vec<u8>) -> Result<(), Diagnostics> {
        let full = self.full();
        let bar = Bar {
            ends: 0,
            opens: false,
            stroke: Stroke::Single,
            ending: passes,
        };
        self.full_line = false;
        self.bars.bar(&bar, full)
    }
}
