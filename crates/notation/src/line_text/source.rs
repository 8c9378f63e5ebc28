//! The text: bytes checked, lines cut, words found with their columns.

use linewright_diagnostic::{Diagnostic, NotText, Place, utf8};

use super::MAX_BYTES;

/// The text of a file, if it can be read as one. A byte order mark is skipped.
pub(super) fn check(bytes: &[u8]) -> Result<&str, Diagnostic> {
    utf8(bytes, MAX_BYTES).map_err(|why| match why {
        NotText::Other(kind) => Diagnostic::error(
            format!("this is {}, and no text", kind.name()),
            kind.hint_for_line(),
        ),
        NotText::TooLong { bytes } => Diagnostic::error(
            format!("the text has {bytes} bytes, and a line may have at most {MAX_BYTES}"),
            "give the text of one line, or a page as it was printed",
        ),
        NotText::Utf16 => Diagnostic::error("the text is in UTF-16", "save the file as UTF-8"),
        NotText::Zero { byte } => Diagnostic::error(
            format!("this is no text: byte {byte} is zero"),
            "give a plain text in UTF-8",
        ),
        NotText::NotUtf8 { byte, line } => {
            let message = format!("byte {byte} is not UTF-8 text");
            Diagnostic::error(message, "save the file as UTF-8").at(Place::Line(line))
        }
    })
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

#[cfg(test)]
mod tests {
    use super::super::{MAX_PLAIN, MAX_ROWS};
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
        assert!(refusal(b"MThd\0\0\0\x06").contains("a MIDI file"));
        let bytes = format!("{} bytes", MAX_BYTES + 1);
        assert!(refusal(&vec![b' '; MAX_BYTES + 1]).contains(&bytes));
        assert!(check(&vec![b' '; MAX_BYTES]).is_ok());
    }

    #[test]
    fn pages_may_be_longer_than_lines_but_not_in_rows_and_bars_without_end() {
        let read = |text: &str| super::super::read(text.as_bytes());
        let refusal = |text: &str| read(text).unwrap_err().to_string();
        let long = "# a remark\n".repeat(MAX_PLAIN / 11 + 1);
        assert!(refusal(&format!("{long}| F1 |")).contains("a line may have at most"));
        assert!(read(&format!("{long}\nnotes | F1 |\n")).is_ok());
        assert!(refusal(&"\n".repeat(MAX_ROWS + 1)).contains("rows"));
        let row = format!("notes |{}", " F1 |".repeat(MAX_PLAIN / 5));
        assert!(refusal(&row).contains("a row of more than"));
        let page = format!("T\nlinewright 1\n\nnotes |{}\n\n", " F1 |".repeat(4000));
        assert_eq!(read(&page.repeat(16)).unwrap().0.len(), 16);
        assert!(refusal(&page.repeat(17)).contains("bars in all"));
    }
}
