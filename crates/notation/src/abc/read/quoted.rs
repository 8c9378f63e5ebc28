//! What stands in double quotes: chord symbols, and words over and under the staff.

use linewright_theory::Chord;

use crate::Symbol;
use crate::abc::sign::Sign;

/// A text in double quotes, understood.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Quoted {
    /// A chord symbol, and what is wrong with one that cannot be read: message and hint.
    Symbol(Symbol, Option<(String, String)>),
    /// A chord symbol with another one in parentheses, which is only an alternative.
    WithAlternative(Symbol),
    /// A chord symbol in parentheses: an alternative if another one stands beside it.
    Alternative(Symbol),
    Sign(Sign),
    /// Words where the standard allows them.
    Annotation,
    /// Words where a chord symbol should stand.
    Words,
}

/// Understands a text in double quotes, its mnemonics undone.
pub(super) fn read(text: &str) -> Quoted {
    if let Some(words) = text.strip_prefix(['^', '_', '<', '>', '@']) {
        let place = |c: char| c.is_ascii_digit() || matches!(c, ',' | '.' | '-');
        let words = match text.starts_with('@') {
            true => words.trim_start_matches(place),
            false => words,
        };
        return Sign::read(words).map_or(Quoted::Annotation, Quoted::Sign);
    }
    let text = text.trim();
    if is_silence(text) {
        return Quoted::Symbol(Symbol::NoChord, None);
    }
    // Chords first: D over C is no da capo.
    let error = match chord(text) {
        Ok(chord) => return Quoted::Symbol(Symbol::Chord(chord), None),
        Err(error) => error,
    };
    if let Some(sign) = Sign::read(text) {
        return Quoted::Sign(sign);
    }
    if let Some(inner) = text.strip_prefix('(').and_then(|t| t.strip_suffix(')'))
        && let Ok(chord) = chord(inner)
    {
        return Quoted::Alternative(Symbol::Chord(chord));
    }
    if let Some((main, other)) = text.split_once('(')
        && let Some(other) = other.strip_suffix(')')
        && let (Ok(main), Ok(_)) = (chord(main.trim()), chord(other))
    {
        return Quoted::WithAlternative(Symbol::Chord(main));
    }
    if looks_like_chord(text) {
        Quoted::Symbol(Symbol::Unread(text.to_owned()), Some(error))
    } else {
        Quoted::Words
    }
}

/// Reads a chord symbol: as it stands, or without blanks, with its quality in a word, or with a
/// small letter in the bass.
fn chord(text: &str) -> Result<Chord, (String, String)> {
    let first = match Chord::parse(text) {
        Ok(chord) => return Ok(chord),
        Err(error) => error,
    };
    let mut tight: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    if let Some(slash) = tight.rfind('/')
        && matches!(tight.as_bytes().get(slash + 1), Some(b'a'..=b'g'))
    {
        let upper = tight[slash + 1..slash + 2].to_ascii_uppercase();
        tight.replace_range(slash + 1..slash + 2, &upper);
    }
    let small = tight.to_ascii_lowercase();
    for (word, sign) in [("minor", "m"), ("major", "maj")] {
        if small.get(1..).is_some_and(|rest| rest.contains(word))
            && let Some(at) = small.find(word)
        {
            tight.replace_range(at..at + word.len(), sign);
            break;
        }
    }
    Chord::parse(&tight).map_err(|_| (first.message().to_owned(), first.hint().to_owned()))
}

/// `N.C.` and its kin, which say that the band is silent.
fn is_silence(text: &str) -> bool {
    let word: String = text
        .chars()
        .take(20)
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect();
    matches!(word.as_str(), "nc" | "nochord" | "tacet")
}

/// Whether a text begins as a chord symbol does: a root, and then nothing or a sign of a quality.
fn looks_like_chord(text: &str) -> bool {
    const AFTER_ROOT: [&str; 22] = [
        "m", "M", "j", "+", "-", "/", "(", "°", "º", "ø", "Δ", "^", "#", "b", "♭", "♯", "sus",
        "dim", "aug", "add", "omit", "alt",
    ];
    let Some(rest) = text.strip_prefix(|c| matches!(c, 'A'..='G')) else {
        return false;
    };
    let rest = rest.trim_start();
    rest.is_empty()
        || rest.starts_with(|c: char| c.is_ascii_digit())
        || AFTER_ROOT.iter().any(|sign| rest.starts_with(sign))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn symbol(text: &str) -> String {
        match read(text) {
            Quoted::Symbol(symbol, None) => symbol.to_string(),
            other => panic!("{text}: {other:?}"),
        }
    }

    #[test]
    fn chord_symbols_of_many_hands_are_read() {
        for (text, read) in [
            ("Am7", "Am7"),
            ("A7/C#", "A7/C#"),
            ("D/F#", "D/F#"),
            ("D/C", "D/C"),
            ("D/C#", "D/C#"),
            ("Am/g", "Am/G"),
            ("Gmin", "Gm"),
            ("Emin", "Em"),
            ("A-", "Am"),
            ("D7(b9)", "D7b9"),
            ("Bb maj7", "Bbmaj7"),
            ("B♭", "Bb"),
            ("F#dim", "F#dim"),
            ("Gmaj", "G"),
            ("G minor", "Gm"),
            ("F# MINOR", "F#m"),
            ("Bb major", "Bb"),
            ("Dminor7/c", "Dm7/C"),
            ("N.C.", "N.C."),
            ("NC", "N.C."),
        ] {
            assert_eq!(symbol(text), read, "{text}");
        }
    }

    #[test]
    fn parentheses_hold_an_alternative() {
        let chord = |text: &str| Symbol::Chord(Chord::parse(text).unwrap());
        assert_eq!(read("(Em)"), Quoted::Alternative(chord("Em")));
        assert_eq!(read("G(Em)"), Quoted::WithAlternative(chord("G")));
        assert_eq!(read("G7(#5)"), Quoted::Symbol(chord("G7#5"), None));
    }

    #[test]
    fn words_are_no_chords_and_unreadable_chords_no_words() {
        for text in [
            "4", "Slow", "Gaily", "End", "FREI", "Cheerful", "tr", "f", "",
        ] {
            assert_eq!(read(text), Quoted::Words, "{text}");
        }
        for text in ["^Am", "^D/C", "_pizz.", "<(", ">)", "@5,-3 pizz."] {
            assert_eq!(read(text), Quoted::Annotation, "{text}");
        }
        for text in ["D/f+", "C4", "Gm13x", "C7b12"] {
            let Quoted::Symbol(Symbol::Unread(kept), Some(_)) = read(text) else {
                panic!("{text}: {:?}", read(text));
            };
            assert_eq!(kept, text);
        }
        assert_eq!(read("Fine"), Quoted::Sign(Sign::Fine));
        assert_eq!(read("   Fine"), Quoted::Sign(Sign::Fine));
        assert_eq!(read("@-4,10 Fine"), Quoted::Sign(Sign::Fine));
        assert_eq!(read("^To Coda"), Quoted::Sign(Sign::ToCoda));
    }
}
