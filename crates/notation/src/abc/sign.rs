//! Segno, coda, fine and the jumps: their names in decorations and in words.

use crate::{Jump, Until};

/// A sign of the way through a tune.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    Segno,
    Coda,
    ToCoda,
    Fine,
    Jump(Jump),
    /// The repeat that ends here is played so many times in all.
    Times(u8),
}

impl Sign {
    /// Reads a decoration's name or words over the staff: `D.C.`, `dacapo`, `D.S. al Coda`, `3x`.
    /// Case, blanks and stops do not matter.
    pub fn read(text: &str) -> Option<Sign> {
        // `D/C` is a chord.
        if text.contains(['/', '#', '♯']) {
            return None;
        }
        let mut word: String = text
            .chars()
            .take(40)
            .filter(|c| c.is_alphanumeric())
            .flat_map(char::to_lowercase)
            .collect();
        if let Some(times) = times(text) {
            return Some(Sign::Times(times));
        }
        match word.as_str() {
            "segno" | "sign" => return Some(Sign::Segno),
            "coda" => return Some(Sign::Coda),
            "tocoda" | "dacoda" => return Some(Sign::ToCoda),
            "fine" => return Some(Sign::Fine),
            _ => {}
        }
        let until = [("alfine", Until::Fine), ("alcoda", Until::Coda)]
            .into_iter()
            .find(|(ending, _)| word.ends_with(ending));
        if let Some((ending, _)) = until {
            word.truncate(word.len() - ending.len());
        }
        let to_segno = match word.as_str() {
            "dc" | "dacapo" => false,
            "ds" | "dalsegno" => true,
            _ => return None,
        };
        Some(Sign::Jump(Jump {
            to_segno,
            until: until.map_or(Until::End, |(_, until)| until),
        }))
    }

    /// As it is written: a decoration where the standard has one, else words over the staff.
    pub fn text(self) -> String {
        let jump = match self {
            Sign::Segno => return "!segno!".into(),
            Sign::Coda => return "!coda!".into(),
            Sign::Fine => return "!fine!".into(),
            Sign::ToCoda => return "\"^To Coda\"".into(),
            Sign::Times(times) => return format!("\"^{times}x\""),
            Sign::Jump(jump) => jump,
        };
        match jump.until {
            Until::End => format!("!{jump}!"),
            Until::Fine | Until::Coda => format!("\"^{jump}\""),
        }
    }
}

/// `3x`, `x3`, `3 times`.
fn times(text: &str) -> Option<u8> {
    let text = text.trim();
    let number = ["times", "x", "X"]
        .iter()
        .find_map(|word| text.strip_suffix(word))
        .or_else(|| text.strip_prefix(['x', 'X']))?;
    number.trim().parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sign_is_read_as_it_is_written() {
        let jumps = [false, true].into_iter().flat_map(|to_segno| {
            [Until::End, Until::Fine, Until::Coda].map(|until| Sign::Jump(Jump { to_segno, until }))
        });
        let others = [
            Sign::Segno,
            Sign::Coda,
            Sign::ToCoda,
            Sign::Fine,
            Sign::Times(3),
            Sign::Times(255),
        ];
        for sign in others.into_iter().chain(jumps) {
            let text = sign.text();
            let inner = text.trim_matches(['!', '"', '^']);
            assert_eq!(Sign::read(inner), Some(sign), "{text}");
        }
    }

    #[test]
    fn other_spellings_are_known_and_other_words_are_not() {
        let capo = Sign::Jump(Jump {
            to_segno: false,
            until: Until::Fine,
        });
        for text in ["D.C.alfine", "Da Capo al Fine", "dc al fine."] {
            assert_eq!(Sign::read(text), Some(capo), "{text}");
        }
        assert_eq!(Sign::read("dacoda"), Some(Sign::ToCoda));
        assert_eq!(Sign::read("3 times"), Some(Sign::Times(3)));
        for text in ["", "trill", "D7", "finely", "300x", "x", "al fine"] {
            assert_eq!(Sign::read(text), None, "{text}");
        }
    }
}
