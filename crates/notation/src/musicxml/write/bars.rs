//! Bar lines: repeats and endings.

use super::xml::Xml;
use crate::{BarLine, Measure};

/// Where endings end.
pub(super) struct Endings {
    /// For each measure the ending that begins there, as a list of passes.
    begins: Vec<String>,
    /// For each measure the ending that ends there, and how its bracket does.
    ends: Vec<Option<(String, &'static str)>>,
}

impl Endings {
    /// A score only says where endings begin. One ends with the repeat sign, or before the next
    /// one; the last of a group is as long as the first, unless something new begins before.
    pub(super) fn of(measures: &[Measure]) -> Self {
        let begins: Vec<String> = measures
            .iter()
            .map(|measure| {
                let passes: Vec<String> = measure.ending.iter().map(u8::to_string).collect();
                passes.join(", ")
            })
            .collect();
        let mut ends = vec![None; measures.len()];
        let mut usual = 1;
        for (from, number) in begins.iter().enumerate() {
            if number.is_empty() {
                continue;
            }
            let last = last_measure(measures, from, usual);
            let is_first = measures[from].ending.contains(&1);
            if is_first {
                usual = last + 1 - from;
            }
            let closed = measures[last].right != BarLine::Single;
            let kind = if closed { "stop" } else { "discontinue" };
            ends[last] = Some((number.clone(), kind));
        }
        Self { begins, ends }
    }

    /// The ending that begins with a measure; empty if none does.
    pub(super) fn begins(&self, place: usize) -> String {
        self.begins[place].clone()
    }

    /// The ending that ends with a measure, and how.
    pub(super) fn ends(&self, place: usize) -> Option<&(String, &'static str)> {
        self.ends[place].as_ref()
    }
}

/// The last measure of the ending that begins here.
fn last_measure(measures: &[Measure], from: usize, usual: usize) -> usize {
    let is_new = |measure: &Measure| {
        !measure.ending.is_empty() || measure.opens_repeat || measure.section.is_some()
    };
    let end = (from + 1..measures.len())
        .find(|&next| is_new(&measures[next]))
        .unwrap_or(measures.len());
    let repeat = (from..end).find(|&at| matches!(measures[at].right, BarLine::Repeat(_)));
    let closed = (from..end).find(|&at| measures[at].right != BarLine::Single);
    match (repeat, closed) {
        (Some(repeat), _) => repeat,
        (None, Some(closed)) => closed.min(from + usual - 1),
        (None, None) if end < measures.len() && !measures[end].ending.is_empty() => end - 1,
        (None, None) => (end - 1).min(from + usual - 1),
    }
}

/// The bar line before a measure, where it is not plain.
pub(super) fn left(xml: &mut Xml, measure: &Measure, ending: &str) {
    if !measure.opens_repeat && ending.is_empty() {
        return;
    }
    xml.open("barline", &[("location", &"left")]);
    if measure.opens_repeat {
        xml.leaf("bar-style", "heavy-light");
    }
    if !ending.is_empty() {
        xml.empty("ending", &[("number", &ending), ("type", &"start")]);
    }
    if measure.opens_repeat {
        xml.empty("repeat", &[("direction", &"forward")]);
    }
    xml.close();
}

/// The bar line after a measure, where it is not plain.
pub(super) fn right(xml: &mut Xml, measure: &Measure, ending: Option<&(String, &'static str)>) {
    if measure.right == BarLine::Single && ending.is_none() {
        return;
    }
    xml.open("barline", &[("location", &"right")]);
    match measure.right {
        BarLine::Single => {}
        BarLine::Double => xml.leaf("bar-style", "light-light"),
        BarLine::Final | BarLine::Repeat(_) => xml.leaf("bar-style", "light-heavy"),
    }
    if let Some((number, kind)) = ending {
        xml.empty("ending", &[("number", number), ("type", kind)]);
    }
    match measure.right {
        BarLine::Repeat(2) => xml.empty("repeat", &[("direction", &"backward")]),
        BarLine::Repeat(times) => {
            xml.empty("repeat", &[("direction", &"backward"), ("times", &times)]);
        }
        _ => {}
    }
    xml.close();
}
