//! Reading chord symbols.

use super::build::{Base, Modifier, Number, Parts};
use super::{Chord, ChordError};
use crate::Name;
use crate::error::quoted;
use crate::name::read_name;

/// The longest symbol that is read, in characters.
const LONGEST: usize = 64;

const TOKENS_MAJOR: [&str; 7] = ["maj", "Maj", "MAJ", "ma", "Ma", "MA", "M"];
const TOKENS_MINOR: [&str; 8] = ["min", "Min", "MIN", "mi", "Mi", "MI", "m", "-"];

/// Reads one symbol; see [`Chord`] for what is understood.
pub(super) fn parse(text: &str) -> Result<Chord, ChordError> {
    if text.chars().count() > LONGEST {
        return Err(ChordError::new(
            0,
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

fn no_root(text: &str) -> ChordError {
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
    ChordError::new(0, format!("{} has no chord root", quoted(text)), hint)
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

    fn peek(&self) -> Option<char> {
        self.ahead(0)
    }

    fn ahead(&self, n: usize) -> Option<char> {
        self.signs.get(self.next + n).map(|&(_, c)| c)
    }

    fn at(&self) -> usize {
        self.signs
            .get(self.next)
            .map_or(self.text.len(), |&(at, _)| at)
    }

    fn eat(&mut self, token: &str) -> bool {
        let count = token.chars().count();
        let fits = token
            .chars()
            .enumerate()
            .all(|(n, c)| self.ahead(n) == Some(c));
        if fits {
            self.next += count;
        }
        fits
    }

    fn error<T>(&self, at: usize, message: String, hint: &str) -> Result<T, ChordError> {
        Err(ChordError::new(at, message, hint))
    }

    /// `maj`, but not the `ma` of `madd9`, nor the `M` of `MI7`.
    fn eat_major(&mut self) -> bool {
        if self.eat("Δ") {
            return true;
        }
        TOKENS_MAJOR.iter().any(|token| {
            let next = self.ahead(token.len());
            let other_word = match *token {
                "M" => matches!(next, Some('I' | 'i')),
                "ma" | "Ma" | "MA" => matches!(next, Some('d' | 'l' | 'u')),
                _ => false,
            };
            !other_word && self.eat(token)
        })
    }

    /// `o` for diminished, but not that of `omit`.
    fn eat_small_o(&mut self) -> bool {
        self.ahead(1) != Some('m') && self.eat("o")
    }

    /// The triad, and `maj` before a number.
    fn prefix(&mut self) -> Result<(), ChordError> {
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
        let minor = TOKENS_MINOR.iter().any(|token| self.eat(token));
        if minor {
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

    fn number(&mut self) -> Result<(), ChordError> {
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
            2 => {
                return self.error(
                    at,
                    "a bare 2 can mean two chords".into(),
                    "write add9 to keep the third, or sus2 to replace it",
                );
            }
            4 => {
                return self.error(
                    at,
                    "a bare 4 can mean two chords".into(),
                    "write add11 to keep the third, or sus4 to replace it",
                );
            }
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

    /// A number of at most two digits.
    fn digits(&mut self) -> Option<u32> {
        let first = self.peek()?.to_digit(10)?;
        self.next += 1;
        let second = self.peek().and_then(|c| c.to_digit(10));
        match (first, second) {
            (1, Some(second)) => {
                self.next += 1;
                Some(10 + second)
            }
            (6, Some(9)) => {
                self.next += 1;
                Some(69)
            }
            _ => Some(first),
        }
    }

    fn modifiers(&mut self, inside: bool) -> Result<(), ChordError> {
        let open = self.next.saturating_sub(1);
        let first = self.next;
        loop {
            match self.peek() {
                None if inside => {
                    let at = self.signs[open].0;
                    return self.error(at, "this bracket is not closed".into(), "add ) at its end");
                }
                None => return Ok(()),
                Some(')') if inside => {
                    if self.next == first {
                        let at = self.signs[open].0;
                        return self.error(
                            at,
                            "there is nothing between these brackets".into(),
                            "leave them out, or write alterations between them, as in (b9,#11)",
                        );
                    }
                    self.next += 1;
                    return Ok(());
                }
                Some('(') if !inside => {
                    self.next += 1;
                    self.modifiers(true)?;
                }
                Some(',' | ' ') if inside => self.next += 1,
                Some(',') if self.next + 1 < self.signs.len() => {
                    self.next += 1;
                    self.modifier(true)?;
                }
                Some('/') if !inside => return Ok(()),
                Some(_) => self.modifier(inside)?,
            }
        }
    }

    /// One modifier; `listed` where a bare number may stand, in brackets or after a comma.
    fn modifier(&mut self, listed: bool) -> Result<(), ChordError> {
        let at = self.at();
        if self.eat("sus") {
            self.sus_at = Some(at);
            match (self.eat("2"), self.eat("4")) {
                (true, four) => {
                    self.parts.sus2 = true;
                    self.parts.sus4 |= four;
                }
                (false, _) => self.parts.sus4 = true,
            }
        } else if self.eat("alt") {
            self.alt_at = Some(at);
            self.parts.alt = true;
        } else if self.eat("add") {
            self.eat(" ");
            self.add(at)?;
        } else if self.eat("omit") || self.eat("no") {
            self.eat(" ");
            self.omit(at)?;
        } else if self.eat_major() {
            self.major_seventh(at)?;
        } else if self.eat("aug") {
            self.parts.modifiers.push(Modifier::Alter(5, 1));
        } else if let Some(alter) = self.accidental() {
            self.alteration(at, alter)?;
        } else if listed && self.peek().is_some_and(|c| c.is_ascii_digit()) {
            self.add(at)?;
        } else {
            return self.stray(at);
        }
        Ok(())
    }

    fn accidental(&mut self) -> Option<i8> {
        let alter = match self.peek()? {
            '#' | '+' => 1,
            'b' | '-' => -1,
            _ => return None,
        };
        self.next += 1;
        Some(alter)
    }

    fn alteration(&mut self, at: usize, alter: i8) -> Result<(), ChordError> {
        let plus = self.signs[self.next - 1].1 == '+';
        let number = self.digits();
        let modifier = match (number, alter) {
            (None, 1) if plus => Modifier::Alter(5, 1),
            (Some(5), _) => Modifier::Alter(5, alter),
            (Some(9 | 2), _) => Modifier::Alter(9, alter),
            (Some(11 | 4), 1) => Modifier::Alter(11, 1),
            (Some(13), -1) => Modifier::Alter(13, -1),
            (Some(6), -1) => Modifier::Add(6, -1),
            (Some(7), 1) => Modifier::MajorSeventh,
            _ => {
                return self.error(
                    at,
                    format!("{} is not an alteration", quoted(&self.text[at..self.at()])),
                    "write one of b5, #5, b9, #9, #11, b13 or b6",
                );
            }
        };
        self.parts.modifiers.push(modifier);
        Ok(())
    }

    fn add(&mut self, at: usize) -> Result<(), ChordError> {
        let alter = self.accidental().unwrap_or(0);
        let number = self.digits();
        let (number, alter) = match (number, alter) {
            (Some(9 | 2), _) => (9, alter),
            (Some(11 | 4), 0 | 1) => (11, alter),
            (Some(13), 0 | -1) => (13, alter),
            (Some(6), 0 | -1) => (6, alter),
            (Some(5), _) => (5, alter),
            (Some(3), 0) => (3, 0),
            (Some(7), _) => {
                return self.error(
                    at,
                    "a seventh is not added".into(),
                    "write the seventh chord itself, as in C7, Cmaj7 or Cdim(maj7)",
                );
            }
            _ => {
                return self.error(
                    at,
                    format!("{} cannot be added", quoted(&self.text[at..self.at()])),
                    "write one of add9, add11, add13, add6, addb9, add#9, add#11 or addb13",
                );
            }
        };
        self.parts.modifiers.push(Modifier::Add(number, alter));
        Ok(())
    }

    fn omit(&mut self, at: usize) -> Result<(), ChordError> {
        match self.digits() {
            Some(number @ (3 | 5 | 7 | 9 | 11 | 13)) => {
                self.parts.modifiers.push(Modifier::No(number as u8));
                Ok(())
            }
            _ => self.error(
                at,
                format!("{} cannot be left out", quoted(&self.text[at..self.at()])),
                "write no3, no5, no7, no9 or no11",
            ),
        }
    }

    /// `(maj7)` after a triad or a number.
    fn major_seventh(&mut self, at: usize) -> Result<(), ChordError> {
        let extension = self.digits();
        self.parts.modifiers.push(Modifier::MajorSeventh);
        match extension {
            None | Some(7) => {}
            Some(9) => self.parts.modifiers.push(Modifier::Add(9, 0)),
            Some(11) => {
                self.parts.modifiers.push(Modifier::Add(9, 0));
                self.parts.modifiers.push(Modifier::Add(11, 0));
            }
            Some(_) => {
                return self.error(
                    at,
                    format!("{} is not a seventh", quoted(&self.text[at..self.at()])),
                    "write maj7, maj9 or maj11",
                );
            }
        }
        Ok(())
    }

    fn stray<T>(&self, at: usize) -> Result<T, ChordError> {
        let rest = &self.text[at..];
        let hint = match self.peek() {
            Some('|' | '\\') => {
                "chords on top of each other are not read; write one chord, with a bass note as in \
                 C7/E if it needs one"
            }
            Some(')') => "there is no ( before it",
            Some(' ') => "write the symbol without blanks",
            Some(c) if c.is_ascii_digit() => {
                "write alterations with b or #, and additions as add9 or (9)"
            }
            Some('(' | '[') => "write one pair of round brackets, as in C7(b9,#11)",
            _ => {
                "write a quality such as m7, maj7, 7, m7b5 or dim7, then alterations such as b9 or \
                 #11"
            }
        };
        self.error(
            at,
            format!("{} in this chord symbol makes no sense", quoted(rest)),
            hint,
        )
    }

    fn bass(&mut self) -> Result<Option<Name>, ChordError> {
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
    fn check(&self) -> Result<(), ChordError> {
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

/// One sign for all the ways to write it.
fn folded(c: char) -> char {
    match c {
        '♭' => 'b',
        '♯' => '#',
        '−' | '–' | '‑' => '-',
        '∆' | '△' => 'Δ',
        'º' | '˚' => '°',
        'Ø' | '∅' | '⌀' => 'ø',
        other => other,
    }
}
