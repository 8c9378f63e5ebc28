//! Chord symbols.

use linewright_theory::{Chord, DegreeKind, HarmonyDegree, MusicXmlHarmony};

use super::note::name;
use super::xml::Xml;
use crate::musicxml::read::NO_CHORD;
use crate::{Symbol, Ticks};

/// Writes a harmony element, so many divisions after the place in time where it stands in the
/// file. `told` writes the offset even if it is 0, so that no reader spreads symbols that stand
/// in one place.
pub(super) fn write(xml: &mut Xml, symbol: &Symbol, offset: Ticks, told: bool) {
    xml.open("harmony", &[("placement", &"above")]);
    match symbol {
        Symbol::Chord(chord) => write_chord(xml, chord),
        Symbol::NoChord => rootless(xml, NO_CHORD, "none"),
        Symbol::Unread(text) => rootless(xml, text, "other"),
    }
    if offset > 0 || told {
        xml.leaf("offset", offset);
    }
    xml.close();
}

fn write_chord(xml: &mut Xml, chord: &Chord) {
    let Shown {
        kind,
        text,
        degrees,
    } = shown(chord);
    xml.open("root", &[]);
    name(xml, chord.root, "root-step", "root-alter");
    xml.close();
    if text.is_empty() {
        xml.leaf("kind", kind);
    } else {
        xml.leaf_with("kind", &[("text", &text)], kind);
    }
    if let Some(bass) = chord.bass {
        xml.open("bass", &[]);
        name(xml, bass, "bass-step", "bass-alter");
        xml.close();
    }
    for (degree, words) in degrees {
        match words {
            Some(_) => xml.open("degree", &[]),
            None => xml.open("degree", &[("print-object", &"no")]),
        }
        xml.leaf("degree-value", degree.value);
        xml.leaf("degree-alter", degree.alter);
        match words.filter(|_| degree.kind == DegreeKind::Add) {
            Some(text) => xml.leaf_with("degree-type", &[("text", &text)], degree.kind.name()),
            None => xml.leaf("degree-type", degree.kind.name()),
        }
        xml.close();
    }
}

/// How a chord is shown: the text of its kind, then its degrees, each with the word before it;
/// those without one are not to be printed.
struct Shown {
    kind: &'static str,
    text: String,
    degrees: Vec<(HarmonyDegree, Option<&'static str>)>,
}

/// Not every reader heeds that a degree is not to be printed. So the text of the kind never says
/// what its degrees say: `7` with the degree b9, `6` with the degree 9, `9` with the degree 4,
/// which `sus` stands before. A degree that is left out is printed only where the symbol tells it:
/// 7(no3), but not the eleventh that nobody plays in a 13. For 7alt the symbol that everybody
/// knows is worth more than its list of degrees, which is not to be printed.
fn shown(chord: &Chord) -> Shown {
    let MusicXmlHarmony {
        kind,
        text,
        mut degrees,
    } = chord.musicxml_kind();
    let plain = Chord::from_musicxml(chord.root, None, kind, &[]).map(|plain| plain.suffix());
    let hidden = text.contains("alt");
    let words = |degree: &HarmonyDegree| {
        let tells = |word: &str| text.contains(&format!("{word}{}", degree.value));
        match degree.kind {
            _ if hidden => None,
            DegreeKind::Subtract => tells("no").then_some("no"),
            DegreeKind::Add if tells("add") => Some("add"),
            DegreeKind::Add if tells("sus") => Some("sus"),
            DegreeKind::Add | DegreeKind::Alter => Some(""),
        }
    };
    // Without signs first, so that figures stand apart: 13b9, not b913.
    degrees.sort_by_key(|degree| (degree.kind != DegreeKind::Subtract, degree.alter != 0));
    Shown {
        kind,
        degrees: degrees.iter().map(|d| (*d, words(d))).collect(),
        text: match plain {
            Ok(plain) if !hidden => plain,
            _ => text,
        },
    }
}

/// A symbol that is only a text; the schema wants a root, which is not shown.
fn rootless(xml: &mut Xml, text: &str, kind: &str) {
    xml.open("root", &[]);
    xml.leaf_with("root-step", &[("text", &"")], "C");
    xml.close();
    xml.leaf_with("kind", &[("text", &text)], kind);
}
