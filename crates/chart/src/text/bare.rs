//! A title that stands above the chart without `title:`.

use linewright_notation::header_line::uncommented;
use linewright_theory::Chord;

/// The title that the first line of a text is, when it is a line of words and not of chords: at
/// least as many words as chords, without bar lines and brackets. A word such as `A` or `Am` is
/// a chord here.
pub(super) fn title(line: &str) -> Option<&str> {
    let told = uncommented(line.trim());
    if told.starts_with('(') || told.contains(['|', '[', ']', '%']) {
        return None;
    }
    let mut balance = 0_i32;
    let mut words = 0;
    for word in told.split_whitespace() {
        match kind(word) {
            Kind::Music => balance -= 1,
            Kind::Word => {
                balance += 1;
                words += 1;
            }
            Kind::Other => {}
        }
    }
    (words > 0 && balance >= 0).then_some(told)
}

enum Kind {
    /// A chord, or a sign that stands among chords.
    Music,
    /// Letters that are no chord.
    Word,
    /// A number, a mistyped chord, a mark.
    Other,
}

fn kind(word: &str) -> Kind {
    let mut chars = word.chars();
    let first = chars.next().map(|c| c.to_ascii_uppercase());
    let capital: String = first.into_iter().chain(chars).collect();
    let no_chord = matches!(capital.trim_end_matches('.'), "N.C" | "NC" | "N.c" | "Nc");
    if no_chord || word.chars().all(|c| "/.-".contains(c)) || Chord::parse(&capital).is_ok() {
        return Kind::Music;
    }
    let letters = word.chars().filter(|c| c.is_alphabetic()).count();
    let plain = |c: char| c.is_alphabetic() || "'’.,!?&-()".contains(c);
    if letters > 1 && word.chars().all(plain) {
        Kind::Word
    } else {
        Kind::Other
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_of_words_is_a_title_and_a_line_of_chords_is_none() {
        for line in [
            "Gravel Path",
            "  Blues in F  # my own",
            "A Day in the Yard",
            "F Blues",
            "Take 2 (slow)",
            "Ohne Titel",
        ] {
            assert_eq!(title(line), Some(uncommented(line.trim())), "{line}");
        }
        for line in [
            "F7 Bb7 F7 F7",
            "am dm e7 am",
            "F7 Hm7 F7",
            "H7 X7",
            "F7 Bflat F7",
            "N.C. / / /",
            "C7 . . .",
            "Path | F7",
            "[A] Path",
            "(segno) Path",
            "Am",
            "12",
            "",
        ] {
            assert_eq!(title(line), None, "{line}");
        }
    }
}
