//! Bar lines: repeats and endings.

use super::part::PartReader;
use super::tally::Kind;
use super::xml::Node;
use crate::musicxml::page::MOST_PASSES;
use crate::{BarLine, Measure};

impl PartReader {
    pub(super) fn bar_line(&mut self, node: &Node) {
        let style = node.text_of("bar-style").unwrap_or("regular");
        let repeat = node.child("repeat");
        let forward = repeat.is_some_and(|repeat| repeat.is("direction", "forward"));
        let backward = repeat.is_some_and(|repeat| repeat.is("direction", "backward"));
        let times = repeat
            .and_then(|repeat| repeat.attribute("times"))
            .and_then(|times| times.parse().ok())
            .unwrap_or(2);
        match node.attribute("location") {
            Some("middle") => {
                if repeat.is_some() {
                    self.count(Kind::MidRepeat);
                }
            }
            Some("left") => self.left(node, style, forward, backward.then_some(times)),
            _ => {
                self.opens_next |= forward;
                if let Some(bar) = self.bar() {
                    divide(&mut bar.measure, style, backward.then_some(times));
                    bar.measure.to_coda |= node.has("coda");
                }
            }
        }
    }

    fn left(&mut self, node: &Node, style: &str, forward: bool, backward: Option<u8>) {
        let ending = node.child("ending").filter(|e| e.is("type", "start"));
        let passes = ending.map(|ending| {
            let number = passes(ending.attribute("number").unwrap_or_default());
            if number.is_empty() {
                passes(ending.text())
            } else {
                number
            }
        });
        if passes.as_ref().is_some_and(Vec::is_empty) {
            self.count(Kind::EndingNumber);
        }
        let here = self.here();
        if let Some(bar) = self.bar() {
            bar.measure.opens_repeat |= forward;
            bar.measure.ending.extend(passes.unwrap_or_default());
            bar.measure.ending.truncate(MOST_PASSES);
            bar.measure.segno |= node.has("segno");
            bar.measure.coda |= node.has("coda");
        }
        let before = here.checked_sub(1).and_then(|at| self.bars.get_mut(at));
        if let Some(before) = before.filter(|_| style == "light-light" || backward.is_some()) {
            divide(&mut before.measure, style, backward);
        }
    }
}

/// What divides a measure from the next, by the style of its bar line and its repeat sign.
fn divide(measure: &mut Measure, style: &str, backward: Option<u8>) {
    let found = match (backward, style) {
        (Some(times), _) => BarLine::Repeat(times),
        (None, "light-heavy") => BarLine::Final,
        (None, "light-light" | "heavy" | "heavy-heavy" | "heavy-light") => BarLine::Double,
        _ => return,
    };
    if backward.is_some() || measure.right == BarLine::Single {
        measure.right = found;
    }
}

/// The passes in a text such as `1, 2` or `1-3`.
fn passes(text: &str) -> Vec<u8> {
    let mut list = Vec::new();
    for word in text.split(|c: char| !(c.is_ascii_digit() || c == '-')) {
        let word = word.trim_matches('-');
        if word.is_empty() {
            continue;
        }
        let (from, to) = word.split_once('-').unwrap_or((word, word));
        let (Ok(from), Ok(to)) = (from.parse::<u8>(), to.parse::<u8>()) else {
            return Vec::new();
        };
        list.extend((from..=to).filter(|&pass| pass > 0).take(MOST_PASSES));
        list.truncate(MOST_PASSES);
    }
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn passes_are_read_as_people_write_them() {
        assert_eq!(passes("1"), [1]);
        assert_eq!(passes("1, 2"), [1, 2]);
        assert_eq!(passes("1.,3."), [1, 3]);
        assert_eq!(passes("1-3"), [1, 2, 3]);
        assert_eq!(passes("1 2 4"), [1, 2, 4]);
        for text in ["", " ", "first", "999", "-", "0", "3-1"] {
            assert_eq!(passes(text), [0; 0], "{text}");
        }
        assert_eq!(passes("1-255").len(), MOST_PASSES);
    }
}
