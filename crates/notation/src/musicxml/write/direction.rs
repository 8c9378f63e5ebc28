//! What stands above and below the staff: sections, tempo, feel, and the signs of the form.

use std::fmt::Display;

use super::xml::{Attributes, Xml};
use crate::Measure;

/// What is written at the beginning of a measure.
pub(super) fn before(xml: &mut Xml, measure: &Measure, feel: Option<&str>) {
    if let Some(section) = &measure.section {
        direction(xml, "above", &[], |xml| typed(xml, "rehearsal", section));
    }
    if measure.segno {
        direction(xml, "above", &[("segno", &"segno")], |xml| {
            sign(xml, "segno");
        });
    }
    if measure.coda {
        direction(xml, "above", &[("coda", &"coda")], |xml| sign(xml, "coda"));
    }
    let words = |xml: &mut Xml| {
        if let Some(feel) = feel {
            typed(xml, "words", feel);
        }
    };
    match (measure.tempo, feel) {
        (Some(tempo), _) => direction(xml, "above", &[("tempo", &tempo)], |xml| {
            words(xml);
            xml.open("direction-type", &[]);
            xml.open("metronome", &[]);
            xml.leaf("beat-unit", "quarter");
            xml.leaf("per-minute", tempo);
            xml.close();
            xml.close();
        }),
        (None, Some(_)) => direction(xml, "above", &[], words),
        (None, None) => {}
    }
}

/// What is written at the end of a measure.
pub(super) fn after(xml: &mut Xml, measure: &Measure) {
    if measure.to_coda {
        direction(xml, "above", &[("tocoda", &"coda")], |xml| {
            typed(xml, "words", "To Coda");
        });
    }
    if measure.fine {
        direction(xml, "below", &[("fine", &"yes")], |xml| {
            typed(xml, "words", "Fine");
        });
    }
    if let Some(jump) = measure.jump {
        let attribute: (&'static str, &dyn Display) = if jump.to_segno {
            ("dalsegno", &"segno")
        } else {
            ("dacapo", &"yes")
        };
        direction(xml, "below", &[attribute], |xml| {
            typed(xml, "words", &jump.to_string());
        });
    }
}

/// A direction with these attributes of its `sound` element, if any.
fn direction(
    xml: &mut Xml,
    placement: &'static str,
    sound: &Attributes<'_>,
    content: impl FnOnce(&mut Xml),
) {
    xml.open("direction", &[("placement", &placement)]);
    content(xml);
    if !sound.is_empty() {
        xml.empty("sound", sound);
    }
    xml.close();
}

fn typed(xml: &mut Xml, element: &'static str, text: &str) {
    xml.open("direction-type", &[]);
    xml.leaf(element, text);
    xml.close();
}

fn sign(xml: &mut Xml, element: &'static str) {
    xml.open("direction-type", &[]);
    xml.empty(element, &[]);
    xml.close();
}
