//! Texts that an XML file can hold on one line.

/// The text as one line: control characters and those that XML forbids are blanks, none stand
/// at the ends.
pub(crate) fn clean(text: &str) -> String {
    let line: String = text
        .chars()
        .map(|c| match c {
            '\u{FFFE}' | '\u{FFFF}' | '\u{2028}' | '\u{2029}' => ' ',
            c if c.is_control() => ' ',
            c => c,
        })
        .collect();
    line.trim().to_owned()
}

/// The same, and nothing where nothing is left.
pub(crate) fn clean_some(text: Option<&str>) -> Option<String> {
    text.map(clean).filter(|text| !text.is_empty())
}

/// The longest text of a chord symbol that is kept whole, in characters.
const LONGEST_SYMBOL: usize = 200;

/// A chord symbol that is only a text; of a very long one the beginning.
pub(crate) fn clean_symbol(text: &str) -> Option<String> {
    let text = clean(text);
    if text.chars().count() > LONGEST_SYMBOL {
        return Some(text.chars().take(40).chain(['…']).collect());
    }
    (!text.is_empty()).then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clean_text_is_one_line_that_stays_as_it_is() {
        for text in [
            "",
            " a\tb\r\nc ",
            "\u{0}x\u{b}",
            "Ü \u{1F3B8} \u{FFFF}",
            "a  b",
        ] {
            let once = clean(text);
            assert_eq!(clean(&once), once);
            assert!(!once.contains(['\n', '\r', '\t', '\u{0}', '\u{FFFF}']));
        }
        assert_eq!(clean(" a\tb\r\nc "), "a b  c");
        assert_eq!(clean_some(Some("\n")), None);
    }
}
