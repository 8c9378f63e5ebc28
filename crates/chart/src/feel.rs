//! What the words of a `feel:` mean.

/// What a feel can say, as a hint names them, each with the words that say it.
const KNOWN: [(&str, &[&[&str]]); 4] = [
    ("swing", &[&["swing"], &["swung"]]),
    ("straight", &[&["straight"], &["even"]]),
    (IN_TWO, &[&["in", "two"], &["in", "2"]]),
    ("waltz", &[&["waltz"]]),
];

const IN_TWO: &str = "in two";

/// The first thing that a feel says, by its name; `None` where it says nothing that is known.
pub(crate) fn known(feel: &str) -> Option<&'static str> {
    said(feel).next()
}

/// Whether a feel says that the bass plays in two.
pub(crate) fn is_in_two(feel: &str) -> bool {
    said(feel).any(|name| name == IN_TWO)
}

/// All that a feel can say.
pub(crate) fn names() -> impl Iterator<Item = &'static str> {
    KNOWN.iter().map(|(name, _)| *name)
}

fn said(feel: &str) -> impl Iterator<Item = &'static str> {
    let feel = feel.to_lowercase();
    let words: Vec<String> = feel
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    KNOWN.iter().filter_map(move |(name, ways)| {
        let stands = |way: &&[&str]| words.windows(way.len()).any(|here| here == *way);
        ways.iter().any(stands).then_some(*name)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_feel_is_known_by_its_words_whatever_stands_beside_them() {
        for (feel, name) in [
            ("swing", "swing"),
            ("Medium SWING!", "swing"),
            ("straight eighths", "straight"),
            ("brisk in-2", "in two"),
            ("jazz waltz", "waltz"),
        ] {
            assert_eq!(known(feel), Some(name), "{feel}");
        }
        for other in ["", "bossa", "winding twofold", "swinging", "two in"] {
            assert_eq!(known(other), None, "{other}");
        }
        assert!(is_in_two("Swing, In Two"));
        assert!(!is_in_two("swing"));
    }
}
