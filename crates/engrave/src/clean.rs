//! Texts made fit for a page.

use linewright_diagnostic::clean;

/// One line: blanks run together, control characters gone.
pub(crate) fn one_line(text: &str) -> String {
    let line = clean::one_line(text);
    line.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text with what XML and HTML reserve written as entities: fit for text and for attributes.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_one_line_without_control_characters() {
        assert_eq!(one_line("  two\n\tlines\u{0} "), "two lines");
    }

    #[test]
    fn what_xml_reserves_is_written_as_entities() {
        assert_eq!(
            escaped("<a b=\"c\">&'"),
            "&lt;a b=&quot;c&quot;&gt;&amp;&#39;"
        );
    }
}
