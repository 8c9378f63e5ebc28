//! First and second endings: which measures their brackets span.

use linewright_notation::{BarLine, Score};

/// The bracket of one ending.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Bracket {
    pub first: usize,
    /// The last measure, included.
    pub last: usize,
    /// Whether it closes with a hook: where a repeat ends with it.
    pub closed: bool,
    /// `1.`, `2.`, `1.–3.`
    pub text: String,
}

/// The brackets of all endings. One that no repeat closes is open and as long as the ending
/// before it, but goes no further than its section.
pub(crate) fn brackets(score: &Score) -> Vec<Bracket> {
    let measures = &score.measures;
    let mut found: Vec<Bracket> = Vec::new();
    for (first, measure) in measures.iter().enumerate() {
        if measure.ending.is_empty() {
            continue;
        }
        let mut last = first;
        let goes_on = |last: usize| {
            measures[last].right == BarLine::Single
                && measures.get(last + 1).is_some_and(|next| {
                    next.ending.is_empty()
                        && next.section.is_none()
                        && !next.opens_repeat
                        && !next.coda
                })
        };
        while goes_on(last) {
            last += 1;
        }
        let closed = matches!(measures[last].right, BarLine::Repeat(_));
        if !closed {
            let before = found.last().map_or(1, |b| b.last + 1 - b.first);
            last = last.min(first + before - 1);
        }
        found.push(Bracket {
            first,
            last,
            closed,
            text: numbers(&measure.ending),
        });
    }
    found
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
    use linewright_notation::Measure;

    #[test]
    fn a_first_ending_reaches_its_repeat_and_a_second_is_as_long() {
        let mut measures = vec![Measure::new(1); 8];
        measures[2].ending = vec![1];
        measures[3].right = BarLine::Repeat(2);
        measures[4].ending = vec![2];
        let score = Score {
            measures,
            ..Score::default()
        };
        let found = brackets(&score);
        let spans: Vec<_> = found.iter().map(|b| (b.first, b.last, b.closed)).collect();
        assert_eq!(spans, [(2, 3, true), (4, 5, false)]);
        assert_eq!(found[0].text, "1.");
    }

    #[test]
    fn passes_are_written_as_numbers_or_a_range() {
        assert_eq!(numbers(&[1]), "1.");
        assert_eq!(numbers(&[1, 3]), "1. 3.");
        assert_eq!(numbers(&[1, 2]), "1. 2.");
        assert_eq!(numbers(&[1, 2, 3]), "1.–3.");
        assert_eq!(numbers(&[255, 0]), "255. 0.");
    }
}
