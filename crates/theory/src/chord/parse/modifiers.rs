//! What follows the number: suspensions, alterations, additions, omissions.

use linewright_diagnostic::{Diagnostic, clean::quoted};

use super::Reader;
use crate::chord::build::{Modifier, Number};

impl Reader<'_> {
    pub(super) fn modifiers(&mut self, inside: bool) -> Result<(), Diagnostic> {
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
    fn modifier(&mut self, listed: bool) -> Result<(), Diagnostic> {
        let at = self.at();
        if self.eat("sus") {
            self.sus_at = Some(at);
            match (self.eat("2"), self.eat("4")) {
                (true, four) => {
                    self.parts.sus2 = true;
                    self.parts.sus4 |= four;
                }
                (false, true) => self.parts.sus4 = true,
                (false, false) => {
                    self.parts.sus4 = true;
                    self.suspended_number();
                }
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
        } else if let Some(number @ ('2' | '4')) = self.peek().filter(|_| listed) {
            return self.bare(at, number.to_digit(10).unwrap_or_default());
        } else if listed && self.peek().is_some_and(|c| c.is_ascii_digit()) {
            self.add(at)?;
        } else {
            return self.stray(at);
        }
        Ok(())
    }

    /// The number that people write after `sus` in place of before it: `sus7` is `7sus4`.
    fn suspended_number(&mut self) {
        if self.parts.number != Number::None {
            return;
        }
        let start = self.next;
        self.parts.number = match self.digits() {
            Some(7) => Number::Seven,
            Some(9) => Number::Nine,
            Some(13) => Number::Thirteen,
            _ => {
                self.next = start;
                Number::None
            }
        };
    }

    fn alteration(&mut self, at: usize, alter: i8) -> Result<(), Diagnostic> {
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

    fn add(&mut self, at: usize) -> Result<(), Diagnostic> {
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

    fn omit(&mut self, at: usize) -> Result<(), Diagnostic> {
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
    fn major_seventh(&mut self, at: usize) -> Result<(), Diagnostic> {
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

    fn stray<T>(&self, at: usize) -> Result<T, Diagnostic> {
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
}
