//! Bar lines: repeats and endings.

use std::fmt::Display;

use super::xml::Xml;
use crate::{BarLine, Measure, endings};

/// The bracket of an ending on one side of a measure.
pub(super) struct Bracket {
    /// Its passes, as a list.
    number: String,
    kind: &'static str,
}

/// For each measure the bracket that begins there, and the one that ends there.
pub(super) fn brackets(measures: &[Measure]) -> Vec<[Option<Bracket>; 2]> {
    let mut brackets: Vec<_> = measures.iter().map(|_| [None, None]).collect();
    for ending in endings(measures) {
        let passes = measures[ending.first].ending.iter().map(u8::to_string);
        let number = passes.collect::<Vec<_>>().join(", ");
        let last = if ending.closed { "stop" } else { "discontinue" };
        let bracket = |kind| {
            let number = number.clone();
            Some(Bracket { number, kind })
        };
        brackets[ending.first][0] = bracket("start");
        brackets[ending.last][1] = bracket(last);
    }
    brackets
}

fn bracket(xml: &mut Xml, bracket: Option<&Bracket>) {
    if let Some(Bracket { number, kind }) = bracket {
        xml.empty("ending", &[("number", number), ("type", kind)]);
    }
}

/// The bar line before a measure, where it is not plain.
pub(super) fn left(xml: &mut Xml, measure: &Measure, ending: Option<&Bracket>) {
    if !measure.opens_repeat && ending.is_none() {
        return;
    }
    xml.open("barline", &[("location", &"left")]);
    if measure.opens_repeat {
        xml.leaf("bar-style", "heavy-light");
    }
    bracket(xml, ending);
    if measure.opens_repeat {
        xml.empty("repeat", &[("direction", &"forward")]);
    }
    xml.close();
}

/// The bar line after a measure, where it is not plain. `in_coda` is whether the coda has begun.
pub(super) fn right(xml: &mut Xml, measure: &Measure, ending: Option<&Bracket>, in_coda: bool) {
    if measure.right == BarLine::Single && ending.is_none() {
        return;
    }
    xml.open("barline", &[("location", &"right")]);
    match measure.right {
        BarLine::Single => {}
        BarLine::Double => xml.leaf("bar-style", "light-light"),
        BarLine::Final | BarLine::Repeat(_) => xml.leaf("bar-style", "light-heavy"),
    }
    bracket(xml, ending);
    if let BarLine::Repeat(times) = measure.right {
        let mut attributes: Vec<(&'static str, &dyn Display)> = vec![("direction", &"backward")];
        if times != 2 {
            attributes.push(("times", &times));
        }
        if in_coda {
            // On the way back repeats are not taken, which goes without saying, but here they are.
            attributes.push(("after-jump", &"yes"));
        }
        xml.empty("repeat", &attributes);
    }
    xml.close();
}
