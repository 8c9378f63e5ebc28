//! The text: bytes checked, lines cut, words found with their columns.

use linewright_diagnostic::{Diagnostics, Place};

use super::MAX_BYTES;

/// The text of a file, if it can be read as one. A byte order mark is skipped.
pub(super) fn check(bytes: &[u8]) -> Result<&str, Diagnostics> {
    let refuse = |message: String, hint: &str| Diagnostics::one(Place::Whole, message, hint);
    if bytes.len() > MAX_BYTES {
        let size = bytes.len();
        return Err(refuse(
            format!("the text has {size} bytes, and a line may have at most {MAX_BYTES}"),
            "give the text of a line; a long one fits into a few thousand bytes",
        ));
    }
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(refuse(
            "the text is in UTF-16".into(),
            "save the file as UTF-8",
        ));
    }
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(refuse(
            format!("this is no text: byte {} is zero", at + 1),
            "give a plain text in UTF-8",
        ));
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        let line = 1 + bytes[..at].iter().filter(|byte| **byte == b'\n').count();
        Diagnostics::one(
            Place::Line(line),
            format!("byte {} is not UTF-8 text", at + 1),
            "save the file as UTF-8",
        )
    })?;
    Ok(text.strip_prefix('\u{FEFF}').unwrap_or(text))
}

/// The lines without their ends (`\n`, `\r\n` or `\r`) and without the escapes that colour a
/// page in a terminal.
pub(super) fn lines(text: &str) -> impl Iterator<Item = String> {
    let text = text.strip_suffix('\n').unwrap_or(text);
    text.split('\n').flat_map(|line| {
        let line = line.strip_suffix('\r').unwrap_or(line);
        line.split('\r').map(without_colours)
    })
}

/// The line without `ESC [ … m`.
fn without_colours(line: &str) -> String {
    let mut plain = String::with_capacity(line.len());
    let mut rest = line;
    while let Some(at) = rest.find("\u{1b}[") {
        plain.push_str(&rest[..at]);
        let codes = &rest[at + 2..];
        let end = codes
            .find(|c: char| !c.is_ascii_digit() && c != ';')
            .filter(|&end| codes[end..].starts_with('m'));
        match end {
            Some(end) => rest = &codes[end + 1..],
            None => {
                plain.push('\u{1b}');
                rest = &rest[at + 1..];
            }
        }
    }
    plain.push_str(rest);
    plain
}

/// A word and its column, in characters from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Word<'a> {
    pub(super) column: usize,
    pub(super) text: &'a str,
}

/// A piece of the text as a message quotes it: short, and without characters that disturb a
/// terminal.
pub(super) fn quote(text: &str) -> String {
    format!("\"{}\"", shown(text))
}

/// The same without the quotation marks.
pub(super) fn shown(text: &str) -> String {
    const MOST: usize = 32;
    let mut shown: String = text
        .chars()
        .take(MOST)
        .map(|c| if disturbs(c) { '\u{FFFD}' } else { c })
        .collect();
    if text.chars().nth(MOST).is_some() {
        shown.push('…');
    }
    shown
}

/// Whether a character would break a line, disturb a terminal or turn text round.
pub(super) fn disturbs(c: char) -> bool {
    c.is_control() || matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_at_every_kind_of_line_end() {
        let cut = |text: &str| lines(text).collect::<Vec<_>>();
        assert_eq!(cut("a\r\nb\rc\n\nd\n"), ["a", "b", "c", "", "d"]);
        assert_eq!(cut(""), [""]);
    }

    #[test]
    fn colours_are_left_out_and_other_escapes_are_not() {
        assert_eq!(without_colours("\u{1b}[1;34mF1\u{1b}[0m |"), "F1 |");
        assert_eq!(without_colours("a\u{1b}[2Kb\u{1b}["), "a\u{1b}[2Kb\u{1b}[");
    }

    #[test]
    fn bytes_that_are_no_text_are_refused_with_their_place() {
        let refusal = |bytes: &[u8]| check(bytes).unwrap_err().to_string();
        assert!(refusal(b"ab\0c").contains("byte 3 is zero"));
        assert!(refusal(b"a\nb\xFFc").starts_with("2: byte 4"));
        assert!(refusal(b"\xFF\xFEa\0").contains("UTF-16"));
        assert!(refusal(&vec![b' '; MAX_BYTES + 1]).contains("1048577 bytes"));
        assert!(check(&vec![b' '; MAX_BYTES]).is_ok());
    }
}
