//! Texts that an XML file can hold on one line.

use linewright_diagnostic::clean::one_line;

/// A text as one line, and nothing where nothing is left.
pub(crate) fn clean_some(text: Option<&str>) -> Option<String> {
    text.map(one_line).filter(|text| !text.is_empty())
}

/// The longest text of a chord symbol that is kept whole, in characters.
const LONGEST_SYMBOL: usize = 200;

/// A chord symbol that is only a text; of a very long one the beginning.
pub(crate) fn clean_symbol(text: &str) -> Option<String> {
    let text = one_line(text);
    if text.chars().count() > LONGEST_SYMBOL {
        return Some(text.chars().take(40).chain(['…']).collect());
    }
    (!text.is_empty()).then_some(text)
}
