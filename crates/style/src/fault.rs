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
    pub fn new(source: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            source: source.into(),
            line: None,
            column: None,
            message: message.into(),
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
        self.hint = Some(hint.into());
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
    use super::nearest;

    #[test]
    fn a_slip_finds_its_name_and_a_stranger_finds_none() {
        let known = ["root-arrival", "third-arrival", "oscillation"];
        assert_eq!(nearest("root-arival", known), Some("root-arrival"));
        assert_eq!(nearest("oscilation", known), Some("oscillation"));
        assert_eq!(nearest("xylophone", known), None);
    }
}
