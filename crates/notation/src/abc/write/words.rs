//! The rows under the notes, as lines of words.

use super::pieces::Piece;

/// A `w:` line for each row that says something under these pieces.
pub(super) fn under<'a>(pieces: impl Iterator<Item = &'a Piece<'a>>) -> String {
    // A rest takes no word; a later piece of a cut note takes a blank one.
    let notes: Vec<&[String]> = pieces
        .filter(|piece| !piece.is_rest())
        .map(|piece| piece.under)
        .collect();
    let rows = notes.iter().map(|rows| rows.len()).max().unwrap_or(0);
    let mut text = String::new();
    for row in 0..rows {
        let words: Vec<String> = notes
            .iter()
            .map(|rows| rows.get(row).map_or("*".into(), |text| word(text)))
            .collect();
        if words.iter().any(|word| word != "*") {
            text.push_str(&format!("w:{}\n", words.join(" ")));
        }
    }
    text
}

/// A text as one word of a line of words.
fn word(text: &str) -> String {
    if text.trim().is_empty() {
        return "*".into();
    }
    let mut word = String::new();
    for c in text.trim().chars() {
        match c {
            '-' | '_' | '*' | '|' | '~' | '\\' | '%' => word.extend(['\\', c]),
            c if c.is_whitespace() || c.is_control() => word.push('~'),
            c => word.push(c),
        }
    }
    word
}
