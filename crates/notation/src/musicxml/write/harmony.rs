//! Chord symbols.

use linewright_theory::MusicXmlHarmony;

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
            let MusicXmlHarmony {
                kind,
                text,
                degrees,
            } = chord.musicxml_kind();
            xml.open("root", &[]);
            name(xml, chord.root, "root-step", "root-alter");
            xml.close();
            xml.leaf_with("kind", &[("text", &text)], kind);
            if let Some(bass) = chord.bass {
                xml.open("bass", &[]);
                name(xml, bass, "bass-step", "bass-alter");
                xml.close();
            }
            for degree in degrees {
                // The text of the kind shows them already.
                xml.open("degree", &[("print-object", &"no")]);
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

/// A symbol that is only a text; the schema wants a root, which is not shown.
fn rootless(xml: &mut Xml, text: &str, kind: &str) {
    xml.open("root", &[]);
    xml.leaf_with("root-step", &[("text", &"")], "C");
    xml.close();
    xml.leaf_with("kind", &[("text", &text)], kind);
}
