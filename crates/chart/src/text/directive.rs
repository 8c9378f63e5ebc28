//! Directives in parentheses: changes of key, metre and tempo, and the signs of
//! the road map.

use linewright_diagnostic::{Diagnostic, clean::quoted, nearest};
use linewright_theory::Key;

use super::header;
use crate::metre::Metre;
use crate::written::{Jump, Until};

/// What the parentheses say.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Directive {
    Key(Key),
    Time(Metre),
    Tempo(u16),
    Segno,
    Coda,
    ToCoda,
    Fine,
    Jump(Jump),
}

const NAMES: [&str; 13] = [
    "key:",
    "time:",
    "tempo:",
    "segno",
    "coda",
    "to coda",
    "fine",
    "D.C.",
    "D.C. al fine",
    "D.C. al coda",
    "D.S.",
    "D.S. al fine",
    "D.S. al coda",
];

/// Reads the text between the parentheses.
pub(crate) fn read(text: &str) -> Result<Directive, Diagnostic> {
    if let Some((name, value)) = text.split_once(':') {
        let value = value.trim();
        return match name.trim().to_lowercase().as_str() {
            "key" => value.parse().map(Directive::Key),
            "time" => header::time(value).map(Directive::Time),
            "tempo" => header::tempo(value).map(Directive::Tempo),
            _ => Err(unknown(text)),
        };
    }
    let from_start = |until| {
        Directive::Jump(Jump {
            to_segno: false,
            until,
        })
    };
    let from_segno = |until| {
        Directive::Jump(Jump {
            to_segno: true,
            until,
        })
    };
    Ok(match bare(text).as_str() {
        "segno" => Directive::Segno,
        "coda" => Directive::Coda,
        "tocoda" => Directive::ToCoda,
        "fine" => Directive::Fine,
        "dc" | "dacapo" => from_start(Until::End),
        "dcalfine" | "dacapoalfine" => from_start(Until::Fine),
        "dcalcoda" | "dacapoalcoda" => from_start(Until::Coda),
        "ds" | "dalsegno" => from_segno(Until::End),
        "dsalfine" | "dalsegnoalfine" => from_segno(Until::Fine),
        "dsalcoda" | "dalsegnoalcoda" => from_segno(Until::Coda),
        _ => return Err(unknown(text)),
    })
}

/// The letters of a name in lower case, so that `D.C. al Fine`, `DC al fine`
/// and `d.c. al fine` are one.
fn bare(text: &str) -> String {
    let kept = |c: &char| !c.is_whitespace() && *c != '.';
    text.to_lowercase().chars().filter(kept).take(40).collect()
}

fn unknown(text: &str) -> Diagnostic {
    let name = text.split(':').next().unwrap_or(text).trim();
    let first = name.split_whitespace().next().unwrap_or("").to_lowercase();
    let hint = if ["key", "time", "tempo"].contains(&first.as_str()) {
        format!("write a colon after the name: `({first}: …)`")
    } else if is_count(name) {
        "write how often a part is played after its end, as `:|x3`".to_owned()
    } else if let Some(near) = nearest(name, NAMES) {
        format!("`({near})` is known")
    } else {
        let known: Vec<String> = NAMES.iter().map(|name| format!("`{name}`")).collect();
        format!("in parentheses may stand: {}", known.join(", "))
    };
    Diagnostic::error(
        format!("{} is no directive", quoted(&format!("({text})"))),
        hint,
    )
}

/// Whether the words say how often something is played: `3x`, `x 3`, `play 3 times`.
fn is_count(text: &str) -> bool {
    let bare = bare(text);
    let number = bare.trim_start_matches("play").trim_matches('x');
    let number = number.trim_end_matches("times");
    number != bare && !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn jumps_are_read_in_every_usual_writing() {
        let al_fine = Directive::Jump(Jump {
            to_segno: false,
            until: Until::Fine,
        });
        for text in [
            "D.C. al fine",
            "DC al Fine",
            "d.c.  al  fine",
            "Da Capo al Fine",
        ] {
            assert_eq!(read(text), Ok(al_fine.clone()), "{text}");
        }
        let al_coda = Directive::Jump(Jump {
            to_segno: true,
            until: Until::Coda,
        });
        for text in ["D.S. al coda", "dal segno al coda"] {
            assert_eq!(read(text), Ok(al_coda.clone()), "{text}");
        }
        assert_eq!(read("To Coda"), Ok(Directive::ToCoda));
    }

    #[test]
    fn changes_carry_their_value() {
        assert_eq!(read("tempo: 160"), Ok(Directive::Tempo(160)));
        assert_eq!(
            read(" Time : 3/4 "),
            Ok(Directive::Time(Metre { beats: 3, unit: 4 }))
        );
    }

    #[test]
    fn a_mistyped_directive_gets_the_nearest_or_the_whole_list() {
        assert!(read("sengo").unwrap_err().hint().contains("`(segno)`"));
        assert!(read("key Eb").unwrap_err().hint().contains("`(key: …)`"));
        for count in ["x3", "3x", "3 times", "play 3 x"] {
            assert!(
                read(count).unwrap_err().hint().contains("`:|x3`"),
                "{count}"
            );
        }
        let all = read("play it again").unwrap_err();
        let all = all.hint();
        assert!(NAMES.iter().all(|name| all.contains(name)), "{all}");
    }
}
