//! The harmony element of MusicXML 4.0 for a chord.

use super::Chord;
use super::quality::Quality;

/// What a `degree-type` element says.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum DegreeKind {
    /// A degree more; its alteration counts from the dominant chord (major and perfect degrees, but
    /// a minor seventh).
    Add,
    /// A degree of the kind moved; its alteration counts from that degree.
    Alter,
    /// A degree of the kind left out.
    Subtract,
}

impl DegreeKind {
    /// The word in the file: `add`, `alter` or `subtract`.
    pub const fn name(self) -> &'static str {
        match self {
            DegreeKind::Add => "add",
            DegreeKind::Alter => "alter",
            DegreeKind::Subtract => "subtract",
        }
    }
}

/// One `degree` element.
#[derive(Copy, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub struct HarmonyDegree {
    /// `degree-value`: the number, 1 to 13.
    pub value: u8,
    /// `degree-alter` in semitones.
    pub alter: i8,
    /// `degree-type`.
    pub kind: DegreeKind,
}

/// The `kind` and `degree` elements that reproduce a chord's tones above its root.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct MusicXmlHarmony {
    /// The `kind-value`, such as `dominant`.
    pub kind: &'static str,
    /// The `text` attribute: the canonical symbol after the root.
    pub text: String,
    /// The `degree` elements.
    pub degrees: Vec<HarmonyDegree>,
}

type Tones = &'static [(u8, i8)];

/// The kind values of MusicXML 4.0 that are used, simplest first, with their degrees
/// (<https://www.w3.org/2021/06/musicxml40/musicxml-reference/data-types/kind-value/>, from memory).
const KINDS: [(&str, Tones); 25] = [
    ("major", &[(3, 0), (5, 0)]),
    ("minor", &[(3, -1), (5, 0)]),
    ("diminished", &[(3, -1), (5, -1)]),
    ("augmented", &[(3, 0), (5, 1)]),
    ("dominant", &[(3, 0), (5, 0), (7, -1)]),
    ("major-seventh", &[(3, 0), (5, 0), (7, 0)]),
    ("minor-seventh", &[(3, -1), (5, 0), (7, -1)]),
    ("diminished-seventh", &[(3, -1), (5, -1), (7, -2)]),
    ("augmented-seventh", &[(3, 0), (5, 1), (7, -1)]),
    ("half-diminished", &[(3, -1), (5, -1), (7, -1)]),
    ("major-minor", &[(3, -1), (5, 0), (7, 0)]),
    ("major-sixth", &[(3, 0), (5, 0), (6, 0)]),
    ("minor-sixth", &[(3, -1), (5, 0), (6, 0)]),
    ("dominant-ninth", &[(3, 0), (5, 0), (7, -1), (9, 0)]),
    ("major-ninth", &[(3, 0), (5, 0), (7, 0), (9, 0)]),
    ("minor-ninth", &[(3, -1), (5, 0), (7, -1), (9, 0)]),
    ("dominant-11th", &[(3, 0), (5, 0), (7, -1), (9, 0), (11, 0)]),
    ("major-11th", &[(3, 0), (5, 0), (7, 0), (9, 0), (11, 0)]),
    ("minor-11th", &[(3, -1), (5, 0), (7, -1), (9, 0), (11, 0)]),
    (
        "dominant-13th",
        &[(3, 0), (5, 0), (7, -1), (9, 0), (11, 0), (13, 0)],
    ),
    (
        "major-13th",
        &[(3, 0), (5, 0), (7, 0), (9, 0), (11, 0), (13, 0)],
    ),
    (
        "minor-13th",
        &[(3, -1), (5, 0), (7, -1), (9, 0), (11, 0), (13, 0)],
    ),
    ("suspended-second", &[(2, 0), (5, 0)]),
    ("suspended-fourth", &[(4, 0), (5, 0)]),
    ("power", &[(5, 0)]),
];

impl Chord {
    /// The MusicXML 4.0 harmony of this chord: a kind value and the fewest degree elements that
    /// give exactly the chord's tones. A thirteenth chord without its eleventh subtracts it.
    pub fn musicxml_kind(&self) -> MusicXmlHarmony {
        let mut best: Option<(&'static str, Vec<HarmonyDegree>)> = None;
        for (kind, tones) in KINDS {
            let degrees = difference(tones, self.quality);
            if best
                .as_ref()
                .is_none_or(|(_, known)| degrees.len() < known.len())
            {
                best = Some((kind, degrees));
            }
        }
        let (kind, degrees) = best.unwrap_or_default();
        MusicXmlHarmony {
            kind,
            text: self.suffix(),
            degrees,
        }
    }
}

/// The degree elements that lead from a kind's tones to a quality.
fn difference(from: Tones, to: Quality) -> Vec<HarmonyDegree> {
    let mut list = Vec::new();
    let mut moved: Vec<u8> = Vec::new();
    for &(value, alter) in from {
        if to.has(value, alter) {
            continue;
        }
        // A degree moves when the chord has just one other of its number.
        let others: Vec<i8> = to
            .degrees()
            .filter(|d| d.number == value)
            .map(|d| d.alter)
            .collect();
        let (alter, kind) = match others[..] {
            [other] => {
                moved.push(value);
                (other - alter, DegreeKind::Alter)
            }
            _ => (0, DegreeKind::Subtract),
        };
        list.push(HarmonyDegree { value, alter, kind });
    }
    for degree in to.degrees() {
        let (value, alter) = (degree.number, degree.alter);
        if value == 1 || from.contains(&(value, alter)) || moved.contains(&value) {
            continue;
        }
        let alter = if value == 7 { alter + 1 } else { alter };
        list.push(HarmonyDegree {
            value,
            alter,
            kind: DegreeKind::Add,
        });
    }
    list
}
