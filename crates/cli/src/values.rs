//! Reading the values of options.

use std::ffi::OsStr;
use std::ops::RangeInclusive;
use std::str::FromStr;

use clap::builder::{PossibleValue, StringValueParser, TypedValueParser};
use clap::{Arg, Command};
use linewright::diagnostic::nearest;
use linewright::study::vary::{STRATEGIES, Strategy, strategy_named};
use linewright::{Diagnostic, Key, Library, Note, Pitch, RULES};

use crate::keys::AskedKey;

/// A note as it sounds, such as `E1`.
pub fn note(text: &str) -> Result<Pitch, String> {
    let note: Note = read(text)?;
    note.pitch().ok_or_else(|| {
        format!("{note} is too low or too high to be played; E1 is the open E string")
    })
}

/// A key, such as `Bb` or `F#m`.
pub fn key(text: &str) -> Result<Key, String> {
    read(text)
}

/// A musical value, or in one sentence why it is none.
fn read<T: FromStr<Err = Diagnostic>>(text: &str) -> Result<T, String> {
    text.parse().map_err(|error: Diagnostic| error.in_short())
}

/// Points with up to three decimals, as milli-points: the temperatures that a style may
/// have.
pub fn temperature(text: &str) -> Result<u32, String> {
    let wrong = || "write a number of points from 0.05 to 50, such as 0.7".to_owned();
    let (whole, decimals) = text.split_once('.').unwrap_or((text, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(decimals) || whole.len() > 2 || decimals.len() > 3 {
        return Err(wrong());
    }
    let number = |part: &str| part.parse::<u32>().map_err(|_| wrong());
    let milli = number(whole)? * 1000 + number(&format!("{decimals:0<3}"))?;
    (50..=50_000)
        .contains(&milli)
        .then_some(milli)
        .ok_or_else(wrong)
}

/// A whole number from `LOW` to `HIGH`.
pub fn number<T: TryFrom<u64>, const LOW: u64, const HIGH: u64>(text: &str) -> Result<T, String> {
    let number = text.trim().parse::<u64>().ok();
    let number = number.filter(|number| (LOW..=HIGH).contains(number));
    let number = number.and_then(|number| T::try_from(number).ok());
    number.ok_or_else(|| match HIGH {
        u64::MAX => format!("write a whole number, {LOW} or more"),
        _ => format!("write a whole number from {LOW} to {HIGH}"),
    })
}

/// A name as it is listed: in small letters, with hyphens.
pub fn listed(text: &str) -> String {
    let text = text.trim().to_lowercase();
    let words = text.split(|c: char| c.is_whitespace() || c == '_' || c == '-');
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("-")
}

/// The name of a new style: 1 to 40 small letters, digits and hyphens.
pub fn style_name(text: &str) -> Result<String, String> {
    let tidy = tidy_name(text);
    match tidy == text && !text.is_empty() {
        true => Ok(tidy),
        false => Err("write 1 to 40 small letters, digits and hyphens".to_owned()),
    }
}

/// A text as the name of a style: in small letters, with hyphens for what else is between them.
pub fn tidy_name(text: &str) -> String {
    let text = text.to_lowercase();
    let words = text.split(|c: char| !c.is_ascii_lowercase() && !c.is_ascii_digit());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("-").chars().take(40).collect()
}

/// The names of the styles that ship with the program.
pub fn styles() -> Vec<&'static str> {
    Library::builtin_names().collect()
}

/// The names of the rules.
pub fn rules() -> Vec<&'static str> {
    RULES.iter().map(|rule| rule.name).collect()
}

/// A name: one of these, which a shell completes, or another text.
#[derive(Clone, Copy, Debug)]
pub struct Name(pub fn() -> Vec<&'static str>);

impl TypedValueParser for Name {
    type Value = String;

    fn parse_ref(
        &self,
        command: &Command,
        argument: Option<&Arg>,
        value: &OsStr,
    ) -> Result<String, clap::Error> {
        StringValueParser::new().parse_ref(command, argument, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        Some(Box::new((self.0)().into_iter().map(PossibleValue::new)))
    }
}

/// A strategy by its name.
#[derive(Clone, Copy, Debug)]
pub struct StrategyName;

impl TypedValueParser for StrategyName {
    type Value = &'static Strategy;

    fn parse_ref(
        &self,
        command: &Command,
        argument: Option<&Arg>,
        value: &OsStr,
    ) -> Result<&'static Strategy, clap::Error> {
        strategy.parse_ref(command, argument, value)
    }

    fn possible_values(&self) -> Option<Box<dyn Iterator<Item = PossibleValue> + '_>> {
        let names = STRATEGIES.iter().map(|strategy| strategy.name);
        Some(Box::new(names.map(PossibleValue::new)))
    }
}

fn strategy(text: &str) -> Result<&'static Strategy, String> {
    strategy_named(&listed(text)).ok_or_else(|| {
        let names = STRATEGIES.iter().map(|strategy| strategy.name);
        match nearest(text, names.clone()) {
            Some(name) => format!("did you mean {name}?"),
            None => format!(
                "the strategies are {}",
                names.collect::<Vec<_>>().join(", ")
            ),
        }
    })
}

/// Seeds `M-N`, or the single seed `M`; at most a thousand.
pub fn seeds(text: &str) -> Result<RangeInclusive<u64>, String> {
    let wrong = || "write the first and the last seed, such as 1-50".to_owned();
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let number = |part: &str| part.trim().parse::<u64>().map_err(|_| wrong());
    let (first, last) = (number(first)?, number(last)?);
    if first > last {
        return Err(format!("{first} comes after {last}; {}", wrong()));
    }
    if last - first >= 1000 {
        return Err("at most 1000 lines are composed; give fewer seeds".to_owned());
    }
    Ok(first..=last)
}

/// Bars `M-N`, or the single bar `M`.
pub fn bars(text: &str) -> Result<RangeInclusive<usize>, String> {
    let wrong = || "write the first and the last bar, such as 5-8".to_owned();
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let number = |part: &str| part.trim().parse::<usize>().map_err(|_| wrong());
    let (first, last) = (number(first)?, number(last)?);
    if first > last {
        return Err(format!("{first} comes after {last}; {}", wrong()));
    }
    Ok(first..=last)
}

/// Where to transpose a chart to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Transposition {
    /// To a key.
    Key(AskedKey),
    /// By so many semitones.
    Semitones(i32),
}

/// A key, or semitones with a sign.
pub fn transposition(text: &str) -> Result<Transposition, String> {
    if text.starts_with(['+', '-', '−']) || text.starts_with(|c: char| c.is_ascii_digit()) {
        let plain = text.replace('−', "-");
        return match plain.parse::<i32>() {
            Ok(semitones) if (-48..=48).contains(&semitones) => {
                Ok(Transposition::Semitones(semitones))
            }
            _ => {
                Err("write semitones from -48 to +48, such as +5, or a key, such as Bb".to_owned())
            }
        };
    }
    AskedKey::read(text).map(Transposition::Key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn temperatures_are_exact_thousandths_within_their_range() {
        assert_eq!(
            ["0.7", "1", "50", "0.05", "1.234"].map(temperature),
            [700, 1000, 50_000, 50, 1234].map(Ok)
        );
        for wrong in [
            "0",
            "0.049",
            "50.001",
            "1.2345",
            "-1",
            ".5",
            "5.",
            "1e3",
            "NaN",
            "",
            "99999999999",
        ] {
            assert!(temperature(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn numbers_are_whole_and_within_their_range() {
        assert_eq!(number::<u8, 1, 8>(" 8"), Ok(8));
        assert_eq!(
            number::<u64, 0, { u64::MAX }>("18446744073709551615"),
            Ok(u64::MAX)
        );
        for wrong in ["0", "9", "", "x", "1.5", "-1", "99999999999999999999999"] {
            let told = number::<u8, 1, 8>(wrong);
            assert_eq!(
                told,
                Err("write a whole number from 1 to 8".to_owned()),
                "{wrong}"
            );
        }
    }

    #[test]
    fn names_are_taken_in_any_case_with_blanks_or_hyphens() {
        for typed in ["closing-four", "Closing Four", " CLOSING_four "] {
            assert_eq!(listed(typed), "closing-four");
        }
        let name = strategy("Other Order").map(|strategy| strategy.name);
        assert_eq!(name, Ok("other-order"));
    }

    #[test]
    fn bars_go_up_and_one_bar_is_enough() {
        assert_eq!(bars("5-8"), Ok(5..=8));
        assert_eq!(bars("3"), Ok(3..=3));
        for wrong in [
            "8-5",
            "",
            "-",
            "a-b",
            "1-2-3",
            "-3",
            "99999999999999999999999",
        ] {
            assert!(bars(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_transposition_is_a_key_or_semitones() {
        assert_eq!(transposition("+5"), Ok(Transposition::Semitones(5)));
        assert_eq!(transposition("-2"), Ok(Transposition::Semitones(-2)));
        assert_eq!(
            transposition("Bb"),
            AskedKey::read("Bb").map(Transposition::Key)
        );
        for wrong in ["+", "+99", "H", "", "5x"] {
            assert!(transposition(wrong).is_err(), "{wrong}");
        }
    }
}
