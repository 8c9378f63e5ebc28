//! First and second endings: their brackets.

use linewright_notation::{Ending, Measure, endings};

/// The bracket of one ending.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Bracket {
    /// The measures it spans; where a repeat ends with it, it closes with a hook.
    pub over: Ending,
    /// `1.`, `2.`, `1.–3.`
    pub text: String,
}

/// The brackets of all endings.
pub(crate) fn brackets(measures: &[Measure]) -> Vec<Bracket> {
    let bracket = |over: Ending| Bracket {
        text: numbers(&measures[over.first].ending),
        over,
    };
    endings(measures).into_iter().map(bracket).collect()
}

fn numbers(passes: &[u8]) -> String {
    let run = passes
        .windows(2)
        .all(|pair| pair[1] == pair[0].wrapping_add(1));
    match passes {
        [first, .., last] if passes.len() > 2 && run => format!("{first}.–{last}."),
        _ => passes
            .iter()
            .map(|pass| format!("{pass}."))
            .collect::<Vec<_>>()
            .join(" "),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_are_written_as_numbers_or_a_range() {
        assert_eq!(numbers(&[1]), "1.");
        assert_eq!(numbers(&[1, 3]), "1. 3.");
        assert_eq!(numbers(&[1, 2]), "1. 2.");
        assert_eq!(numbers(&[1, 2, 3]), "1.–3.");
        assert_eq!(numbers(&[255, 0]), "255. 0.");
    }
}
