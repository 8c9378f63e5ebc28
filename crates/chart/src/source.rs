//! The text of a chart: bytes checked, lines found, places looked up.

/// Most bytes of a chart's text; longer ones are refused.
pub const MAX_BYTES: usize = 1 << 20;

/// How many characters of a long source line are shown to either side of a
/// fault.
const SHOWN_SIDE: usize = 60;

/// How many characters of a faulty token are quoted.
const SHOWN_TOKEN: usize = 32;

/// A checked text and where its lines start.
pub(crate) struct Source<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

/// A place as people count it, with the line it is on.
pub(crate) struct Place {
    pub line: usize,
    pub column: usize,
    pub excerpt: String,
    pub caret: String,
}

/// Bytes that are no chart text: message and hint.
pub(crate) type Refusal = (String, String);

impl<'a> Source<'a> {
    /// Checks size and encoding. A byte order mark at the start is skipped.
    pub(crate) fn check(bytes: &'a [u8]) -> Result<Source<'a>, Refusal> {
        if bytes.len() > MAX_BYTES {
            return Err((
                format!(
                    "the text has {} bytes, and a chart may have at most {MAX_BYTES}",
                    bytes.len()
                ),
                "give a chart file; a long tune fits into a few thousand bytes".into(),
            ));
        }
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            return Err((
                "the text is in UTF-16 (byte 1 begins a UTF-16 byte order mark)".into(),
                "save the file as UTF-8".into(),
            ));
        }
        if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
            return Err((
                format!("this is no text: byte {} is zero", at + 1),
                "give a chart file, a plain text in UTF-8".into(),
            ));
        }
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let at = error.valid_up_to();
            let line = 1 + bytes[..at].iter().filter(|byte| **byte == b'\n').count();
            (
                format!("byte {} (in line {line}) is not UTF-8 text", at + 1),
                "save the file as UTF-8".to_owned(),
            )
        })?;
        let text = text.strip_prefix('\u{FEFF}').unwrap_or(text);
        Ok(Source {
            text,
            starts: line_starts(text),
        })
    }

    /// The lines, each with the byte offset of its start, without line ends.
    pub(crate) fn lines(&self) -> impl Iterator<Item = (usize, &'a str)> + '_ {
        (0..self.starts.len()).map(|index| (self.starts[index], self.line(index)))
    }

    fn line(&self, index: usize) -> &'a str {
        let end = self.starts.get(index + 1).copied();
        self.text[self.starts[index]..end.unwrap_or(self.text.len())].trim_end_matches(['\n', '\r'])
    }

    /// The place after the last line that is not blank.
    pub(crate) fn end(&self) -> usize {
        self.text.trim_end().len()
    }

    /// Looks up a byte offset.
    pub(crate) fn place(&self, at: usize) -> Place {
        let index = self.starts.partition_point(|start| *start <= at) - 1;
        let line = self.line(index);
        let within = (at - self.starts[index]).min(line.len());
        let column = line[..within].chars().count();
        let from = column.saturating_sub(SHOWN_SIDE);
        let total = line.chars().count();
        let mut excerpt = String::new();
        let mut caret = String::new();
        if from > 0 {
            excerpt.push('…');
            caret.push(' ');
        }
        let shown = line.chars().enumerate().skip(from).take(2 * SHOWN_SIDE);
        for (position, character) in shown {
            excerpt.push(tame_char(character));
            if position < column {
                caret.push(if character == '\t' { '\t' } else { ' ' });
            }
        }
        if from + 2 * SHOWN_SIDE < total {
            excerpt.push('…');
        }
        Place {
            line: index + 1,
            column: column + 1,
            excerpt: excerpt.trim_end().to_owned(),
            caret,
        }
    }
}

/// Where the lines start: after `\n`, `\r\n` or a lone `\r`.
fn line_starts(text: &str) -> Vec<usize> {
    let bytes = text.as_bytes();
    let mut starts = vec![0];
    for (index, byte) in bytes.iter().enumerate() {
        let ends = *byte == b'\n' || (*byte == b'\r' && bytes.get(index + 1) != Some(&b'\n'));
        if ends {
            starts.push(index + 1);
        }
    }
    starts
}

/// The text with characters that could disturb a terminal replaced.
pub(crate) fn tame(text: &str) -> String {
    text.chars().map(tame_char).collect()
}

fn tame_char(character: char) -> char {
    let turns_text = matches!(character, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    if (character.is_control() && character != '\t') || turns_text {
        '\u{FFFD}'
    } else {
        character
    }
}

/// A piece of the text as a message quotes it: tamed, and cut when long.
pub(crate) fn quote(text: &str) -> String {
    format!("\"{}\"", plain(text))
}

/// The same without the quotation marks.
pub(crate) fn plain(text: &str) -> String {
    let mut shown: String = text.chars().take(SHOWN_TOKEN).map(tame_char).collect();
    if text.chars().nth(SHOWN_TOKEN).is_some() {
        shown.push('…');
    }
    shown
}

/// The known name nearest to a mistyped one, when it is near enough to be
/// meant. Ties go to the earlier name.
pub(crate) fn nearest<'n>(typed: &str, names: &[&'n str]) -> Option<&'n str> {
    let typed: Vec<char> = typed.to_lowercase().chars().take(SHOWN_TOKEN).collect();
    names
        .iter()
        .map(|name| (distance(&typed, &name.to_lowercase()), *name))
        .filter(|(distance, name)| *distance <= name.chars().count() / 3 + 1)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// Edit distance: insertions, deletions and replacements.
fn distance(left: &[char], right: &str) -> usize {
    let right: Vec<char> = right.chars().collect();
    let mut row: Vec<usize> = (0..=right.len()).collect();
    for (i, a) in left.iter().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, b) in right.iter().enumerate() {
            let replaced = diagonal + usize::from(a != b);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(diagonal + 1).min(row[j] + 1);
        }
    }
    row[right.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Source<'_> {
        Source::check(text.as_bytes()).expect("plain text")
    }

    #[test]
    fn lines_end_at_every_kind_of_line_end() {
        let texts: Vec<_> = source("a\r\nb\rc\n\nd").lines().map(|(_, l)| l).collect();
        assert_eq!(texts, ["a", "b", "c", "", "d"]);
    }

    #[test]
    fn columns_count_characters_and_the_caret_keeps_tabs() {
        let text = "x\n\té♭ Z";
        let place = source(text).place(text.find('Z').unwrap());
        assert_eq!((place.line, place.column), (2, 5));
        assert_eq!(place.caret, "\t   ");
    }

    #[test]
    fn a_long_line_is_shown_around_the_place_only() {
        let text = format!("{}!{}", "a".repeat(500), "b".repeat(500));
        let place = source(&text).place(500);
        assert_eq!(place.column, 501);
        assert!(place.excerpt.chars().count() <= 2 * SHOWN_SIDE + 2);
        let under = place.excerpt.chars().nth(place.caret.chars().count());
        assert_eq!(under, Some('!'));
    }

    #[test]
    fn bytes_that_are_no_text_are_refused_with_their_position() {
        let refusal = |bytes: &[u8]| Source::check(bytes).err().expect("refused").0;
        assert!(refusal(b"ab\0c").contains("byte 3 is zero"));
        assert!(refusal(b"a\nb\xFFc").contains("byte 4 (in line 2)"));
        assert!(refusal(b"\xFF\xFEa\0").contains("UTF-16"));
        assert!(refusal(&vec![b' '; MAX_BYTES + 1]).contains("1048577 bytes"));
        assert!(Source::check(&vec![b' '; MAX_BYTES]).is_ok());
    }

    #[test]
    fn a_near_name_is_offered_and_a_far_one_is_not() {
        assert_eq!(nearest("titel", &["title", "tempo"]), Some("title"));
        assert_eq!(nearest("Tempi", &["title", "tempo"]), Some("tempo"));
        assert_eq!(nearest("composer", &["title", "tempo"]), None);
    }

    #[test]
    fn quoting_cuts_long_tokens_and_tames_control_characters() {
        assert_eq!(quote("a\u{1b}b"), "\"a\u{FFFD}b\"");
        assert!(quote(&"x".repeat(5000)).chars().count() < 40);
    }
}
