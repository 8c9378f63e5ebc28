//! A text in which places are looked up.

use crate::clean;
use crate::place::Place;

/// How many characters of a long line are shown to either side of a place.
const SHOWN_SIDE: usize = 60;

/// A text and where its lines start. Lines end with `\n`, `\r\n` or a lone `\r`.
#[derive(Clone, Debug)]
pub struct Source<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

/// The line that a place is in, or the stretch around it, and what stands before a caret under
/// the place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Excerpt {
    pub(crate) line: String,
    pub(crate) caret: String,
}

impl<'a> Source<'a> {
    /// Finds the lines of a text.
    pub fn new(text: &'a str) -> Source<'a> {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (index, byte) in bytes.iter().enumerate() {
            let ends = *byte == b'\n' || (*byte == b'\r' && bytes.get(index + 1) != Some(&b'\n'));
            if ends {
                starts.push(index + 1);
            }
        }
        Source { text, starts }
    }

    /// The lines, each with the byte where it starts, without line ends.
    pub fn lines(&self) -> impl Iterator<Item = (usize, &'a str)> + '_ {
        (0..self.starts.len()).map(|index| (self.starts[index], self.line(index)))
    }

    fn line(&self, index: usize) -> &'a str {
        let end = self.starts.get(index + 1).copied();
        self.text[self.starts[index]..end.unwrap_or(self.text.len())].trim_end_matches(['\n', '\r'])
    }

    /// The byte after the last one that is not blank.
    pub fn end(&self) -> usize {
        self.text.trim_end().len()
    }

    /// The line and column of a byte, and what is shown of its line.
    pub(crate) fn look_up(&self, at: usize) -> (Place, Excerpt) {
        let index = self.starts.partition_point(|start| *start <= at) - 1;
        let line = self.line(index);
        let within = (at - self.starts[index]).min(line.len());
        let column = line[..within].chars().count();
        (Place::column(index + 1, column + 1), excerpt(line, column))
    }
}

/// What is shown of a line around a column, counted from 0.
fn excerpt(line: &str, column: usize) -> Excerpt {
    let from = column.saturating_sub(SHOWN_SIDE);
    let mut shown = String::new();
    let mut caret = String::new();
    if from > 0 {
        shown.push('…');
        caret.push(' ');
    }
    let mut rest = line.chars().enumerate().skip(from);
    for (position, c) in rest.by_ref().take(2 * SHOWN_SIDE) {
        shown.push(if c == '\t' || !clean::disturbs(c) {
            c
        } else {
            '\u{FFFD}'
        });
        if position < column {
            caret.push(if c == '\t' { '\t' } else { ' ' });
        }
    }
    if rest.next().is_some() {
        shown.push('…');
    }
    Excerpt {
        line: shown.trim_end().to_owned(),
        caret,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_at_every_kind_of_line_end() {
        let source = Source::new("a\r\nb\rc\n\nd");
        let texts: Vec<_> = source.lines().map(|(_, line)| line).collect();
        assert_eq!(texts, ["a", "b", "c", "", "d"]);
    }

    #[test]
    fn columns_count_characters_and_the_caret_keeps_tabs() {
        let text = "x\n\té♭ Z";
        let (place, excerpt) = Source::new(text).look_up(text.find('Z').unwrap());
        assert_eq!(place, Place::column(2, 5));
        assert_eq!(excerpt.caret, "\t   ");
    }

    #[test]
    fn a_long_line_is_shown_around_the_place_only() {
        let text = format!("{}!{}", "a".repeat(500), "b".repeat(500));
        let (place, excerpt) = Source::new(&text).look_up(500);
        assert_eq!(place, Place::column(1, 501));
        assert!(excerpt.line.chars().count() <= 2 * SHOWN_SIDE + 2);
        assert!(excerpt.line.ends_with("b…"));
        let under = excerpt.line.chars().nth(excerpt.caret.chars().count());
        assert_eq!(under, Some('!'));
    }
}
