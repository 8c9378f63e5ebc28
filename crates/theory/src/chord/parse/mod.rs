//! Reading chord symbols.

mod modifiers;
mod respelled;
mod signs;

use linewright_diagnostic::{Diagnostic, clean::quoted};

use signs::folded;

use super::Chord;
use super::build::{Base, Number, Parts};
use crate::Name;
use crate::name::read_name;

/// The longest symbol that is read, in characters.
const LONGEST: usize = 64;

/// Reads one symbol; see [`Chord`] for what is understood.
pub(super) fn parse(text: &str) -> Result<Chord, Diagnostic> {
    read(text).map_err(|fault| match respelled::meant(text) {
        Some(chord) => fault.hinting(format!("write {chord}")),
        None => fault,
    })
}

fn read(text: &str) -> Result<Chord, Diagnostic> {
    if text.chars().count() > LONGEST {
        return Err(Diagnostic::error(
            format!("{} is longer than {LONGEST} characters", quoted(text)),
            "write one chord symbol, as in Bbmaj7",
        ));
    }
    let Some((root, end)) = read_name(text) else {
        return Err(no_root(text));
    };
    let mut reader = Reader::new(text, end);
    reader.prefix()?;
    reader.number()?;
    reader.modifiers(false)?;
    let bass = reader.bass()?;
    reader.check()?;
    Ok(Chord {
        root,
        bass,
        quality: reader.parts.quality(),
    })
}

fn no_root(text: &str) -> Diagnostic {
    let hint = match text.trim_matches('.') {
        "" => "write a root and a quality, as in Bbmaj7".to_owned(),
        "N.C" | "NC" | "nc" | "n.c" => {
            "a bar without harmony has no chord symbol; leave the chord out here".to_owned()
        }
        _ => match text.chars().next().map(|c| c.to_ascii_uppercase()) {
            Some(capital @ 'A'..='G') => {
                format!("write the root as a capital letter: {capital}")
            }
            _ => "begin with a root from A to G, as in Bbmaj7".to_owned(),
        },
    };
    Diagnostic::error(format!("{} has no chord root", quoted(text)), hint)
}

/// The rest of a symbol after the root, with the many ways to write a sign folded into one.
struct Reader<'a> {
    text: &'a str,
    signs: Vec<(usize, char)>,
    next: usize,
    parts: Parts,
    /// Where `alt` stands, for messages.
    alt_at: Option<usize>,
    /// Where `sus` stands, for messages.
    sus_at: Option<usize>,
}

impl<'a> Reader<'a> {
    fn new(text: &'a str, from: usize) -> Reader<'a> {
        let signs = text[from..]
            .char_indices()
            .map(|(at, c)| (from + at, folded(c)))
            .collect();
        Reader {
            text,
            signs,
            next: 0,
            parts: Parts::new(),
            alt_at: None,
            sus_at: None,
        }
    }

    /// The triad, and `maj` before a number.
    fn prefix(&mut self) -> Result<(), Diagnostic> {
        let delta = self.peek() == Some('Δ');
        if self.eat_major() {
            self.parts.major_seventh = true;
            if delta && !self.peek().is_some_and(|c| c.is_ascii_digit()) {
                self.parts.number = Number::Seven;
            } else if self.eat("+") {
                self.parts.base = Base::Augmented;
            }
            return Ok(());
        }
        if self.eat_minor() {
            self.parts.base = Base::Minor;
        } else if self.eat("dim") || self.eat("°") || self.eat_small_o() {
            self.parts.base = Base::Diminished;
        } else if self.eat("ø") {
            self.parts.base = Base::HalfDiminished;
        } else if self.eat("aug") || self.eat("+") {
            self.parts.base = Base::Augmented;
        } else {
            self.eat("dom");
            return Ok(());
        }
        if self.parts.base == Base::Minor
            && self.peek() == Some('/')
            && matches!(self.ahead(1), Some('m' | 'M' | 'Δ'))
        {
            self.next += 1;
        }
        if self.parts.base != Base::HalfDiminished && self.eat_major() {
            self.parts.major_seventh = true;
            if !self.peek().is_some_and(|c| c.is_ascii_digit()) {
                self.parts.number = Number::Seven;
            }
        }
        Ok(())
    }

    fn number(&mut self) -> Result<(), Diagnostic> {
        if self.parts.number != Number::None {
            return Ok(());
        }
        let at = self.at();
        let Some(number) = self.digits() else {
            return Ok(());
        };
        let base = self.parts.base;
        self.parts.number = match number {
            69 => Number::SixNine,
            6 if self.peek() == Some('/') && self.ahead(1) == Some('9') => {
                self.next += 2;
                Number::SixNine
            }
            5 if base == Base::Major && !self.parts.major_seventh => Number::Five,
            5 if base == Base::Augmented => Number::None,
            6 => Number::Six,
            7 => Number::Seven,
            9 => Number::Nine,
            11 => Number::Eleven,
            13 => Number::Thirteen,
            2 | 4 => return self.bare(at, number),
            5 => {
                return self.error(
                    at,
                    "a power chord has no third or seventh".into(),
                    "write the root and 5 alone, as in C5",
                );
            }
            _ => {
                return self.error(
                    at,
                    format!("no chord is numbered {number}"),
                    "write 5, 6, 6/9, 7, 9, 11 or 13",
                );
            }
        };
        let sixth = matches!(self.parts.number, Number::Six | Number::SixNine);
        let diminished = matches!(base, Base::Diminished | Base::HalfDiminished);
        if diminished && (sixth || (base == Base::Diminished && number == 13)) {
            return self.error(
                at,
                format!("a diminished chord has no {number}"),
                "write dim7, whose seventh sounds like a sixth, or name the tones as in dim7(9)",
            );
        }
        Ok(())
    }

    /// A 2 or 4 without a word that says whether the third stays.
    fn bare<T>(&self, at: usize, number: u32) -> Result<T, Diagnostic> {
        let ninth_or_eleventh = number + 7;
        self.error(
            at,
            format!("a bare {number} can mean two chords"),
            &format!(
                "write add{ninth_or_eleventh} to keep the third, or sus{number} to replace it"
            ),
        )
    }

    fn bass(&mut self) -> Result<Option<Name>, Diagnostic> {
        if self.peek() != Some('/') {
            return Ok(None);
        }
        self.next += 1;
        let at = self.at();
        let rest = &self.text[at..];
        match read_name(rest) {
            Some((name, end)) if end == rest.len() => Ok(Some(name)),
            Some((name, end)) if rest[end..].starts_with('/') => self.error(
                at + end,
                format!("there is a second bass note after {name}"),
                "write one bass note, as in C7/E",
            ),
            Some((name, _)) => self.error(
                at,
                format!(
                    "{} is a second chord, and two chords at once are not read",
                    quoted(rest)
                ),
                &format!("write one chord with a bass note, as in C7/{name}"),
            ),
            None if rest.starts_with(|c: char| c.is_ascii_digit()) => self.error(
                at,
                format!("{} after the slash is not a bass note", quoted(rest)),
                "only 6/9 has a number after the slash; write additions as add9 or (9)",
            ),
            None => self.error(
                at,
                format!("{} after the slash is not a bass note", quoted(rest)),
                "write a note name, as in C7/Bb",
            ),
        }
    }

    /// What only shows once the whole symbol is read.
    fn check(&self) -> Result<(), Diagnostic> {
        if let (Some(at), Base::Diminished) = (self.sus_at, self.parts.base) {
            return self.error(
                at,
                "a diminished chord has no suspension".into(),
                "leave sus out, or write the tones you mean, as in C7sus4(b5)",
            );
        }
        if let Some(at) = self.alt_at {
            let plain = self.parts.base == Base::Major
                && !self.parts.major_seventh
                && matches!(self.parts.number, Number::None | Number::Seven)
                && !self.parts.sus2
                && !self.parts.sus4;
            if !plain {
                return self.error(
                    at,
                    "only a dominant seventh can be altered".into(),
                    "write 7alt after the root, as in G7alt",
                );
            }
        }
        Ok(())
    }
}
