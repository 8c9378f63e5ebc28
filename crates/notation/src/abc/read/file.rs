//! Bytes as text, and the tunes of a text.

use std::borrow::Cow;

use linewright_diagnostic::{Diagnostics, NotText, Place, utf8};

use super::MAX_BYTES;
use crate::abc::text::plain;

/// The text of a file. What is not UTF-8 is taken for Latin-1, as older files are.
pub(super) fn decode(bytes: &[u8]) -> Result<Cow<'_, str>, Diagnostics> {
    let refuse = |message: String, hint: &str| Err(Diagnostics::one(Place::Whole, message, hint));
    match utf8(bytes, MAX_BYTES) {
        Ok(text) => Ok(Cow::Borrowed(text)),
        Err(NotText::NotUtf8 { .. }) => Ok(Cow::Owned(
            bytes.iter().map(|&byte| char::from(byte)).collect(),
        )),
        Err(NotText::Other(kind)) => refuse(
            format!("this is {}, and no ABC", kind.name()),
            kind.hint_for_line(),
        ),
        Err(NotText::TooLong { bytes }) => refuse(
            format!("the file has {bytes} bytes, and at most {MAX_BYTES} are read"),
            "give a file with fewer tunes: cut it at the lines that begin with `X:`",
        ),
        Err(NotText::Utf16) => refuse("the file is in UTF-16".into(), "save it as UTF-8"),
        Err(NotText::Zero { byte }) => refuse(
            format!("this is no text: byte {byte} is zero"),
            "give an ABC file, a plain text",
        ),
    }
}

/// A line with its number in the file, from 1.
#[derive(Copy, Clone, Debug)]
pub(super) struct Line<'a> {
    pub number: usize,
    pub text: &'a str,
}

impl Line<'_> {
    /// A place in the line.
    pub fn at(&self, column: usize) -> Place {
        Place::column(self.number, column)
    }
}

/// A file cut into tunes.
pub(super) struct File<'a> {
    /// The lines before the first tune; the fields among them count for all tunes.
    pub header: Vec<Line<'a>>,
    pub tunes: Vec<Tune<'a>>,
    /// Whether a line `X:` begins the first tune.
    pub numbered: bool,
}

/// The lines of a tune, from its `X:` on.
pub(super) struct Tune<'a> {
    /// What its `X:` says; 0 when that is no number.
    pub number: usize,
    pub lines: Vec<Line<'a>>,
}

impl<'a> File<'a> {
    /// Tunes begin with a line `X:` and end with a blank line. A text without any `X:` but with a
    /// `K:` is one tune.
    pub fn split(text: &'a str) -> Self {
        let mut header = Vec::new();
        let mut tunes: Vec<Tune> = Vec::new();
        let mut inside = false;
        for line in lines(text) {
            if let Some(number) = field(line.text, 'X') {
                inside = true;
                tunes.push(Tune {
                    number: number.trim().parse().unwrap_or(0),
                    lines: Vec::new(),
                });
            } else if line.text.trim().is_empty() {
                inside = false;
            }
            match tunes.last_mut() {
                Some(tune) if inside => tune.lines.push(line),
                Some(_) => {}
                None => header.push(line),
            }
        }
        let numbered = !tunes.is_empty();
        if !numbered && header.iter().any(|line| field(line.text, 'K').is_some()) {
            tunes.push(Tune {
                number: 1,
                lines: std::mem::take(&mut header),
            });
        }
        File {
            header,
            tunes,
            numbered,
        }
    }
}

impl Tune<'_> {
    pub fn title(&self) -> Option<String> {
        let title = self.lines.iter().find_map(|line| field(line.text, 'T'))?;
        Some(plain(uncommented(title))).filter(|title| !title.is_empty())
    }

    /// Where it begins.
    pub fn place(&self) -> Place {
        self.lines
            .first()
            .map_or(Place::Whole, |line| Place::column(line.number, 1))
    }
}

/// The value of a line that is this field.
pub(super) fn field(line: &str, name: char) -> Option<&str> {
    line.strip_prefix(name)?.strip_prefix(':')
}

/// A field's value without the comment after it.
pub(super) fn uncommented(text: &str) -> &str {
    let mut escaped = false;
    for (at, c) in text.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '%' => return &text[..at],
            _ => {}
        }
    }
    text
}

/// The lines of a text, which end with `\n`, `\r\n` or `\r`.
fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let mut rest = Some(text);
    let mut number = 0;
    std::iter::from_fn(move || {
        let text = rest?;
        number += 1;
        let end = text.find(['\n', '\r']);
        rest = end.map(|end| {
            let after = &text[end..];
            let length = if after.starts_with("\r\n") { 2 } else { 1 };
            &after[length..]
        });
        Some(Line {
            number,
            text: &text[..end.unwrap_or(text.len())],
        })
    })
}

/// The field that a line is. A line of music may begin like one, as `d:|`.
pub(super) fn field_line(text: &str) -> Option<(char, &str)> {
    let name = text
        .chars()
        .next()
        .filter(|c| c.is_ascii_alphabetic() || *c == '+')?;
    let value = text[1..].strip_prefix(':')?;
    let note = matches!(name, 'A'..='G' | 'a'..='g' | 'x' | 'z');
    (!note || !value.starts_with([':', '|'])).then_some((name, value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tunes_begin_at_their_number_and_end_at_a_blank_line() {
        let file = File::split("M:3/4\r\n\r\nX:7\rT:One\nK:C\nA\n\nfree text\nX: 9\nK:G\n");
        assert_eq!(file.header.len(), 2);
        let numbers: Vec<_> = file
            .tunes
            .iter()
            .map(|t| (t.number, t.lines.len()))
            .collect();
        assert_eq!(numbers, [(7, 4), (9, 2)]);
        assert_eq!(file.tunes[1].lines[0].number, 9);
        assert_eq!(file.tunes[0].title().as_deref(), Some("One"));
    }

    #[test]
    fn old_files_are_latin_1() {
        assert_eq!(decode(b"T:M\xE4rz").unwrap(), "T:März");
        assert!(decode(&vec![b' '; MAX_BYTES + 1]).is_err());
        assert!(decode(&vec![b' '; MAX_BYTES]).is_ok());
        assert!(
            decode(b"\xFF\xFEa\0")
                .unwrap_err()
                .to_string()
                .contains("UTF-16")
        );
        assert!(decode(b"a\0").unwrap_err().to_string().contains("byte 2"));
    }

    #[test]
    fn a_comment_ends_a_value_unless_its_sign_is_escaped() {
        assert_eq!(uncommented("a \\% b \\\\% c"), "a \\% b \\\\");
    }
}
