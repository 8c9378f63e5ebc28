//! The harmony element of MusicXML 4.0 for a chord.

use linewright_diagnostic::{Diagnostic, clean::quoted};

use super::Chord;
use super::build::tidy;
use super::quality::Quality;
use crate::Name;

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

/// The kind values of MusicXML 4.0 with the degrees above the root; of several that need as few
/// degree elements the first is written. Source, quoted from memory:
/// <https://www.w3.org/2021/06/musicxml40/musicxml-reference/data-types/kind-value/>.
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
    ("dominant-ninth", &[(3, 0), (5, 0), (7, -1), (9, 0)]),
    ("major-ninth", &[(3, 0), (5, 0), (7, 0), (9, 0)]),
    ("minor-ninth", &[(3, -1), (5, 0), (7, -1), (9, 0)]),
    ("dominant-11th", &[(3, 0), (5, 0), (7, -1), (9, 0), (11, 0)]),
    ("major-11th", &[(3, 0), (5, 0), (7, 0), (9, 0), (11, 0)]),
    ("minor-11th", &[(3, -1), (5, 0), (7, -1), (9, 0), (11, 0)]),
    ("suspended-second", &[(2, 0), (5, 0)]),
    ("suspended-fourth", &[(4, 0), (5, 0)]),
    ("power", &[(5, 0)]),
];

/// Whether a kind has a natural eleventh over a major third, which nobody plays as written: see
/// [`Chord::from_musicxml`].
fn clashes(tones: Tones) -> bool {
    tones.contains(&(3, 0)) && tones.contains(&(11, 0))
}

impl Chord {
    /// The MusicXML 4.0 harmony of this chord: a kind value and the fewest degree elements that
    /// give exactly the chord's tones. A thirteenth chord without its eleventh subtracts it; a
    /// suspended seventh is a dominant that subtracts its third and adds a fourth, so that no
    /// reader has to guess which seventh is added.
    pub fn musicxml_kind(&self) -> MusicXmlHarmony {
        let mut best: Option<(usize, &'static str, Vec<HarmonyDegree>)> = None;
        for (kind, tones) in KINDS {
            // A kind whose eleventh is understood as left out cannot say that it is there.
            if clashes(tones) && (self.quality.has(11, 0) || !tones.contains(&(13, 0))) {
                continue;
            }
            let degrees = difference(tones, self.quality);
            let cost = degrees.iter().map(cost).sum();
            if best.as_ref().is_none_or(|(known, ..)| cost < *known) {
                best = Some((cost, kind, degrees));
            }
        }
        let (_, kind, degrees) = best.unwrap_or_default();
        MusicXmlHarmony {
            kind,
            text: self.suffix(),
            degrees,
        }
    }

    /// The chord of a MusicXML harmony element: the inverse of [`Chord::musicxml_kind`].
    ///
    /// The kinds `dominant-11th`, `major-11th`, `dominant-13th` and `major-13th` are understood as
    /// the symbols 11, maj11, 13 and maj13 are, unless a degree element speaks of the eleventh: the
    /// eleventh replaces the third, or is left out under a thirteenth.
    ///
    /// # Errors
    /// When the kind has no tones of its own (`none`, `other`, `pedal`, the sixth chords named after
    /// countries), or the degrees make a chord that no symbol can write. The error's place is 0.
    pub fn from_musicxml(
        root: Name,
        bass: Option<Name>,
        kind: &str,
        degrees: &[HarmonyDegree],
    ) -> Result<Chord, Diagnostic> {
        let Some(&(_, tones)) = KINDS.iter().find(|(known, _)| *known == kind) else {
            return Err(Diagnostic::error(
                format!("the harmony kind {} names no chord tones", quoted(kind)),
                "use a kind such as dominant, minor-seventh or half-diminished",
            ));
        };
        let mut quality = Quality::ROOT;
        for &(number, alter) in tones {
            quality.set(number, alter);
        }
        if clashes(tones) && degrees.iter().all(|degree| degree.value != 11) {
            quality.unset(11, 0);
            if !quality.has(13, 0) {
                quality.unset(3, 0);
                quality.set(4, 0);
            }
        }
        let chord = apply(&mut quality, degrees).then(|| Chord {
            root,
            bass,
            quality: tidy(quality),
        });
        chord
            .filter(|chord| Chord::parse(&chord.to_string()).as_ref() == Ok(chord))
            .ok_or_else(|| {
                Diagnostic::error(
                    format!("the degrees of this {kind} harmony make no chord that can be written"),
                    "use degrees 2 to 13 with at most one accidental, and keep the root",
                )
            })
    }
}

/// What a degree element costs. Readers disagree whether an added seventh is minor or major, so it
/// is avoided where another kind has it.
fn cost(degree: &HarmonyDegree) -> usize {
    match (degree.kind, degree.value) {
        (DegreeKind::Add, 7) => 3,
        _ => 1,
    }
}

/// Applies degree elements; `false` when one names a degree that no chord has.
fn apply(quality: &mut Quality, degrees: &[HarmonyDegree]) -> bool {
    for degree in degrees {
        let value = degree.value;
        let natural = if value == 7 { -1 } else { 0 };
        let standing = quality.degrees().find(|d| d.number == value);
        let alter = match degree.kind {
            DegreeKind::Subtract if value == 1 => return false,
            DegreeKind::Subtract => {
                quality.unset_number(value);
                continue;
            }
            DegreeKind::Add => degree.alter.checked_add(natural),
            DegreeKind::Alter => {
                quality.unset_number(value);
                let from = standing.map_or(natural, |d| d.alter);
                degree.alter.checked_add(from)
            }
        };
        let Some(alter) = alter.filter(|&alter| Quality::knows(value, alter)) else {
            return false;
        };
        quality.set(value, alter);
    }
    quality.has(1, 0)
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
