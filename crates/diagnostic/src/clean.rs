//! Somebody else's text made safe for a terminal, a message, a page or a file.

/// Whether a character breaks a line, disturbs a terminal, turns the text after it round, or is
/// none that XML may hold: control characters, the separators of lines and paragraphs, the
/// embeddings, overrides and isolates of the bidirectional algorithm (Unicode Standard Annex 9),
/// and U+FFFE and U+FFFF (XML 1.0, production `Char`). The marks that only join letters or say
/// which way a letter runs are part of the spelling, and stay.
pub fn disturbs(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FFFE}' | '\u{FFFF}'
        )
}

/// For a message: one line, on which every character that disturbs is shown as U+FFFD.
pub fn tame(text: &str) -> String {
    replaced(text, '\u{FFFD}', disturbs)
}

/// For a terminal: the same with line breaks and tabs as they are.
pub fn tame_lines(text: &str) -> String {
    replaced(text, '\u{FFFD}', |c| {
        disturbs(c) && !matches!(c, '\n' | '\t')
    })
}

/// For a page or a file: one line, on which every character that disturbs is a blank, without
/// blanks at its ends.
pub fn one_line(text: &str) -> String {
    replaced(text, ' ', disturbs).trim().to_owned()
}

/// At most so many characters of a text; `…` stands for the rest.
pub fn shortened(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

/// A piece of a text as a message names it: tame, and cut after forty characters.
pub fn shown(text: &str) -> String {
    tame(&shortened(text, 40))
}

/// The same in quotation marks.
pub fn quoted(text: &str) -> String {
    format!("\"{}\"", shown(text))
}

fn replaced(text: &str, by: char, which: impl Fn(char) -> bool) -> String {
    text.chars()
        .map(|c| if which(c) { by } else { c })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const BAD: &str = "a\u{1b}[31mb\u{202e}c\u{2028}d\u{FFFF}\n";

    #[test]
    fn what_disturbs_is_shown_in_a_message_and_gone_from_a_page() {
        assert_eq!(
            tame(BAD),
            "a\u{FFFD}[31mb\u{FFFD}c\u{FFFD}d\u{FFFD}\u{FFFD}"
        );
        assert_eq!(tame_lines("a\tb\n\r"), "a\tb\n\u{FFFD}");
        assert_eq!(one_line(BAD), "a [31mb c d");
        assert_eq!(one_line(" a\tb\r\nc "), "a b  c");
    }

    #[test]
    fn letters_and_the_marks_that_join_them_stay() {
        let text = "Ü \u{1F469}\u{200D}\u{1F3A4} \u{5D0}\u{200F}!";
        assert_eq!(one_line(text), text);
        assert_eq!(tame(text), text);
    }

    #[test]
    fn a_long_token_is_cut_when_it_is_quoted() {
        assert_eq!(quoted("a\u{1b}b"), "\"a\u{FFFD}b\"");
        assert_eq!(quoted(&"♭".repeat(40)), format!("\"{}\"", "♭".repeat(40)));
        assert_eq!(
            quoted(&"♭".repeat(5000)),
            format!("\"{}…\"", "♭".repeat(40))
        );
    }
}
