//! Fitting a style to an instrument and a range.

use linewright_diagnostic::Diagnostic;
use linewright_render::wording;
use linewright_rulebook::style::{Instrument, Range, Style};
use linewright_theory::{Bass, Pitch};

/// What to change of a style for one player. The default changes nothing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Fit {
    /// The instrument: its name and program, and the range cut to its reach.
    pub bass: Option<Bass>,
    /// The lowest note; the style's otherwise. Overrules the instrument's reach.
    pub low: Option<Pitch>,
    /// The highest note; the style's otherwise. Overrules the instrument's reach.
    pub high: Option<Pitch>,
}

impl Fit {
    /// The style with these changes.
    ///
    /// # Errors
    /// A range that does not go up, spans less than an octave, or is too wide.
    pub fn style(&self, mut style: Style) -> Result<Style, Diagnostic> {
        let Range {
            mut low, mut high, ..
        } = style.range;
        if let Some(bass) = self.bass {
            style.instrument = Instrument {
                name: bass.name().to_owned(),
                program: bass.program(),
            };
            let (lowest, highest) = bass.reach();
            low = Pitch::new(low.midi().max(lowest)).unwrap_or(low);
            high = Pitch::new(high.midi().min(highest)).unwrap_or(high);
        }
        let wanted = Range {
            low: self.low.unwrap_or(low),
            high: self.high.unwrap_or(high),
            ..style.range
        };
        if wanted == style.range {
            return Ok(style);
        }
        style.range = wanted.checked().map_err(|message| {
            let [low, high] = wording::range(wanted);
            let message = format!("{message}; here it would go from {low} to {high}");
            Diagnostic::error(message, "").within(&format!("style `{}`", style.name))
                .hinting("give a lower lowest note or a higher highest note, as they sound: E1 is the open E string")
        })?;
        Ok(style)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_rulebook::style::Library;

    fn plain() -> Style {
        Library::builtin().style("plain").unwrap()
    }

    fn pitch(midi: u8) -> Option<Pitch> {
        Pitch::new(midi)
    }

    #[test]
    fn a_fit_that_asks_for_nothing_changes_nothing() {
        assert_eq!(Fit::default().style(plain()), Ok(plain()));
    }

    #[test]
    fn an_instrument_brings_its_program_and_cuts_the_range_to_its_reach() {
        let mut low = plain();
        low.range.low = pitch(24).unwrap();
        let fit = Fit {
            bass: Some(Bass::Guitar),
            ..Fit::default()
        };
        let style = fit.style(low).unwrap();
        assert_eq!((style.instrument.program, style.range.low.midi()), (34, 28));
        assert_eq!(style.range.high, plain().range.high);
    }

    #[test]
    fn a_range_that_is_upside_down_or_narrow_is_refused_with_a_hint() {
        for (low, high) in [(50, 40), (40, 45), (10, 120)] {
            let fit = Fit {
                low: pitch(low),
                high: pitch(high),
                ..Fit::default()
            };
            let fault = fit.style(plain()).unwrap_err().to_string();
            assert!(fault.contains("range") && fault.contains("hint"), "{fault}");
            let names = wording::range(Range {
                low: pitch(low).unwrap(),
                high: pitch(high).unwrap(),
                ..plain().range
            });
            assert!(names.iter().all(|name| fault.contains(name)), "{fault}");
        }
    }

    #[test]
    fn the_heart_of_the_range_follows_a_narrower_range() {
        let fit = Fit {
            low: pitch(40),
            ..Fit::default()
        };
        let range = fit.style(plain()).unwrap().range;
        assert!(range.heart_low >= range.low && range.heart_low > plain().range.heart_low);
    }
}
