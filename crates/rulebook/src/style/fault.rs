//! What is wrong with a style, where, and what to write instead.

use std::fmt;

/// A style that cannot be used: a fault with its place and a hint.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StyleFault {
    source: String,
    line: Option<usize>,
    column: Option<usize>,
    message: String,
    hint: Option<String>,
}

impl StyleFault {
    /// A fault in the style called `source` (a file name or a style's name).
    ///
    /// What a style says is quoted here as it stands; characters that could disturb a
    /// terminal are replaced, and what is very long is cut.
    pub fn new(source: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            source: plain(&source.into()),
            line: None,
            column: None,
            message: plain(&message.into()),
            hint: None,
        }
    }

    /// The same fault with the line and column (from 1) that it stands at.
    #[must_use]
    pub fn at(mut self, line: usize, column: usize) -> Self {
        self.line = Some(line);
        self.column = Some(column);
        self
    }

    /// The same fault with advice on what to write instead.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(plain(&hint.into()));
        self
    }
}

impl fmt::Display for StyleFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.source)?;
        if let (Some(line), Some(column)) = (self.line, self.column) {
            write!(f, ":{line}:{column}")?;
        }
        write!(f, ": {}", self.message)?;
        if let Some(hint) = &self.hint {
            write!(f, "\n  hint: {hint}")?;
        }
        Ok(())
    }
}

impl std::error::Error for StyleFault {}

/// Longer texts are cut, in characters.
const LONGEST: usize = 500;

/// One line of bounded length without characters that could disturb a terminal.
fn plain(text: &str) -> String {
    let turns_text = |c: char| matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    let tame = |c: char| {
        if c.is_control() || turns_text(c) {
            '\u{FFFD}'
        } else {
            c
        }
    };
    let mut plain: String = text.chars().take(LONGEST).map(tame).collect();
    if text.chars().nth(LONGEST).is_some() {
        plain.push('…');
    }
    plain
}

/// A value as it is quoted: one of hundreds of signs is cut.
pub(crate) fn shortened(value: &str) -> String {
    match value.char_indices().nth(40) {
        Some((at, _)) => format!("{}…", &value[..at]),
        None => value.to_owned(),
    }
}

/// What to say of a rule that does not exist, and the hint: the nearest name.
pub fn unknown_rule<'a>(rule: &str, known: impl IntoIterator<Item = &'a str>) -> (String, String) {
    let hint = match nearest(rule, known) {
        Some(near) => format!("did you mean `{near}`?"),
        None => "`linewright rules` lists them".to_owned(),
    };
    (
        format!("there is no rule called `{}`", shortened(rule)),
        hint,
    )
}

/// The known name nearest to `name`, if any is near enough to be a slip.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    known
        .into_iter()
        .map(|candidate| (strsim::damerau_levenshtein(name, candidate), candidate))
        .filter(|(distance, candidate)| *distance <= 2.max(candidate.len() / 3))
        .min()
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::{LONGEST, StyleFault, nearest};

    #[test]
    fn what_a_style_says_cannot_disturb_a_terminal_nor_fill_it() {
        let fault = StyleFault::new("a\u{1b}[31m", "b\nc\u{202e}").hint("d\u{7}".repeat(1 << 20));
        let told = fault.to_string();
        assert!(
            told.starts_with("a\u{FFFD}[31m: b\u{FFFD}c\u{FFFD}\n  hint: d\u{FFFD}"),
            "{told}"
        );
        assert!(told.chars().count() < LONGEST + 50, "{}", told.len());
    }

    #[test]
    fn a_slip_finds_its_name_and_a_stranger_finds_none() {
        let known = ["root-arrival", "third-arrival", "oscillation"];
        assert_eq!(nearest("root-arival", known), Some("root-arrival"));
        assert_eq!(nearest("oscilation", known), Some("oscillation"));
        assert_eq!(nearest("xylophone", known), None);
    }
}
