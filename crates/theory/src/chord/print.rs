//! Printing the one canonical symbol of a quality.

use std::sync::LazyLock;

use super::build::{Base, Modifier, Number, Parts};
use super::quality::Quality;

/// The ways a canonical symbol can begin, simplest first: of several symbols as easy to read
/// the first here is printed.
const BEGINNINGS: [(&str, Base, bool, Number); 29] = [
    ("", Base::Major, false, Number::None),
    ("m", Base::Minor, false, Number::None),
    ("dim", Base::Diminished, false, Number::None),
    ("aug", Base::Augmented, false, Number::None),
    ("5", Base::Major, false, Number::Five),
    ("6", Base::Major, false, Number::Six),
    ("m6", Base::Minor, false, Number::Six),
    ("6/9", Base::Major, false, Number::SixNine),
    ("m6/9", Base::Minor, false, Number::SixNine),
    ("7", Base::Major, false, Number::Seven),
    ("maj7", Base::Major, true, Number::Seven),
    ("m7", Base::Minor, false, Number::Seven),
    ("mMaj7", Base::Minor, true, Number::Seven),
    ("dim7", Base::Diminished, false, Number::Seven),
    ("9", Base::Major, false, Number::Nine),
    ("maj9", Base::Major, true, Number::Nine),
    ("m9", Base::Minor, false, Number::Nine),
    ("mMaj9", Base::Minor, true, Number::Nine),
    ("dim9", Base::Diminished, false, Number::Nine),
    ("m11", Base::Minor, false, Number::Eleven),
    ("mMaj11", Base::Minor, true, Number::Eleven),
    ("13", Base::Major, false, Number::Thirteen),
    ("maj13", Base::Major, true, Number::Thirteen),
    ("m13", Base::Minor, false, Number::Thirteen),
    ("mMaj13", Base::Minor, true, Number::Thirteen),
    ("dim11", Base::Diminished, false, Number::Eleven),
    ("dimMaj7", Base::Diminished, true, Number::Seven),
    ("dimMaj9", Base::Diminished, true, Number::Nine),
    ("dimMaj11", Base::Diminished, true, Number::Eleven),
];

/// The suspensions that a canonical symbol can have, simplest first.
const SUSPENSIONS: [(&str, bool, bool); 4] = [
    ("", false, false),
    ("sus4", false, true),
    ("sus2", true, false),
    ("sus24", true, true),
];

/// The parts of every canonical symbol without modifiers, simplest first.
fn plain() -> impl Iterator<Item = (String, Parts)> {
    SUSPENSIONS.into_iter().flat_map(|(sus, sus2, sus4)| {
        let suspended = BEGINNINGS.into_iter();
        let suspended =
            suspended.filter(move |(_, base, ..)| sus.is_empty() || *base == Base::Major);
        suspended.map(move |(text, base, major_seventh, number)| {
            let parts = Parts {
                base,
                major_seventh,
                number,
                sus2,
                sus4,
                ..Parts::new()
            };
            (format!("{text}{sus}"), parts)
        })
    })
}

/// The qualities of all symbols that can stand without modifiers, simplest first.
static PLAIN: LazyLock<Vec<(String, Quality)>> = LazyLock::new(|| {
    let altered = Parts {
        alt: true,
        ..Parts::new()
    };
    let altered = ("7alt".to_owned(), altered.quality());
    let plain = plain().map(|(text, parts)| (text, parts.quality()));
    std::iter::once(altered).chain(plain).collect()
});

/// The symbol of a quality, without the root.
pub(super) fn symbol(quality: Quality) -> String {
    if let Some((text, _)) = PLAIN.iter().find(|(_, plain)| *plain == quality) {
        return text.clone();
    }
    let mut best: Option<(u32, String, Vec<Modifier>)> = None;
    for (text, mut parts) in plain() {
        let Some(modifiers) = modifiers(parts.quality(), quality) else {
            continue;
        };
        let cost = modifiers.iter().map(|&m| cost(m)).sum();
        parts.modifiers = modifiers;
        let better = best.as_ref().is_none_or(|(known, ..)| cost < *known);
        if better && parts.quality() == quality {
            best = Some((cost, text, parts.modifiers));
        }
    }
    let (_, mut text, modifiers) = best.unwrap_or_default();
    append(&mut text, &modifiers);
    text
}

/// What a modifier costs a reader: alterations read most easily.
fn cost(modifier: Modifier) -> u32 {
    match modifier {
        Modifier::Alter(..) => 2,
        Modifier::Add(..) | Modifier::No(_) | Modifier::MajorSeventh => 3,
    }
}

/// The modifiers that lead from one quality to another; `None` when no modifier can.
fn modifiers(from: Quality, to: Quality) -> Option<Vec<Modifier>> {
    let mut list = Vec::new();
    let mut left = from.minus(to);
    let triad = !from.has_number(7) && !from.has_number(6);
    for degree in to.minus(from).degrees() {
        let (number, alter) = (degree.number, degree.alter);
        let alterable = matches!((number, alter), (5 | 9, -1 | 1) | (11, 1) | (13, -1));
        list.push(match (number, alter) {
            (7, 0) => {
                left.unset(7, -1);
                Modifier::MajorSeventh
            }
            (2 | 4 | 7, _) | (3, -1) => return None,
            _ if alterable && !to.has(number, 0) && (!triad || number == 5) => {
                left.unset(number, 0);
                Modifier::Alter(number, alter)
            }
            _ => Modifier::Add(number, alter),
        });
    }
    let mut gone: Vec<u8> = left.degrees().map(|d| d.number).collect();
    gone.dedup();
    if gone.iter().any(|number| matches!(number, 2 | 4 | 6)) {
        return None;
    }
    list.extend(gone.into_iter().map(Modifier::No));
    Some(list)
}

fn append(text: &mut String, modifiers: &[Modifier]) {
    let written: Vec<String> = modifiers.iter().map(|&m| modifier(m)).collect();
    let bare = match modifiers {
        [] => return,
        [Modifier::Alter(..)] => {
            text.ends_with(|c: char| c.is_ascii_digit()) && !text.contains("sus")
        }
        [Modifier::Add(_, 0) | Modifier::No(_)] => text.is_empty(),
        _ => false,
    };
    if bare {
        text.push_str(&written[0]);
    } else {
        text.push_str(&format!("({})", written.join(",")));
    }
}

fn modifier(modifier: Modifier) -> String {
    let degree = |number: u8, alter: i8| crate::Degree::new(number, alter).to_string();
    match modifier {
        Modifier::Alter(number, alter) => degree(number, alter),
        Modifier::Add(6, -1) => degree(6, -1),
        Modifier::Add(number, alter) => format!("add{}", degree(number, alter)),
        Modifier::No(number) => format!("no{number}"),
        Modifier::MajorSeventh => "maj7".to_owned(),
    }
}
