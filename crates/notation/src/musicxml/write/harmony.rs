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
        Symbol::Chord(chord) => {
            let MusicXmlHarmony { kind, degrees, .. } = chord.musicxml_kind();
            let (text, printed) = shown(chord);
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
            for degree in degrees {
                if printed {
                    xml.open("degree", &[]);
                } else {
                    xml.open("degree", &[("print-object", &"no")]);
                }
                xml.leaf("degree-value", degree.value);
                xml.leaf("degree-alter", degree.alter);
                xml.leaf("degree-type", degree.kind.name());
                xml.close();
            }
        }
        Symbol::NoChord => rootless(xml, NO_CHORD, "none"),
        Symbol::Unread(text) => rootless(xml, text, "other"),
    }
    if offset > 0 || told {
        xml.leaf("offset", offset);
    }
    xml.close();
}

/// The text of the kind, and whether the degrees are printed beside it: they are where the symbol
/// is the kind and one or two alterations or added notes, as 7 and (b9) or the triad and (add9).
/// All else reads better in the symbol that everybody knows: 6/9, 7alt, 9sus4.
fn shown(chord: &Chord) -> (String, bool) {
    let MusicXmlHarmony {
        kind,
        text,
        degrees,
    } = chord.musicxml_kind();
    let plain = Chord::from_musicxml(chord.root, None, kind, &[]);
    let beside = |degree: &HarmonyDegree| {
        degree.kind != DegreeKind::Subtract && (degree.alter != 0 || text.contains("add"))
    };
    match plain.map(|chord| chord.suffix()) {
        Ok(plain)
            if degrees.len() <= 2 && degrees.iter().all(beside) && text.starts_with(&plain) =>
        {
            (plain, true)
        }
        _ => (text, false),
    }
}

/// A symbol that is only a text; the schema wants a root, which is not shown.
fn rootless(xml: &mut Xml, text: &str, kind: &str) {
    xml.open("root", &[]);
    xml.leaf_with("root-step", &[("text", &"")], "C");
    xml.close();
    xml.leaf_with("kind", &[("text", &text)], kind);
}
