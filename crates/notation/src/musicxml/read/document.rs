//! The outer levels of a score: partwise and timewise files give the same.

use linewright_diagnostic::Diagnostics;

use super::heading::{Heading, PartName};
use super::part::PartReader;
use super::xml::{Item, Node, Source};

/// The most measures of all parts together.
const MOST_MEASURES: usize = 50_000;

/// The most notes, rests and chord symbols of all parts together.
const MOST_NOTES: usize = 100_000;

/// The most parts.
const MOST_PARTS: usize = 500;

/// What a file holds.
#[derive(Default)]
pub(super) struct Document {
    /// Title, facts and names of parts.
    pub heading: Heading,
    /// The parts that have measures, in the order of the list of parts, then of the file.
    pub parts: Vec<(PartName, PartReader)>,
    measures: usize,
}

impl Document {
    /// Reads a whole document.
    pub(super) fn read(text: &str) -> Result<Self, Diagnostics> {
        let mut source = Source::new(text);
        let mut document = Self::default();
        let partwise = match source.next(None)? {
            Some(Item::Open(root)) if root.name == "score-partwise" => true,
            Some(Item::Open(root)) if root.name == "score-timewise" => false,
            Some(Item::Open(_)) => {
                return Err(source.fault(
                    format!(
                        "this is no MusicXML score but a document called {:?}",
                        source.outermost
                    ),
                    "give a file whose outermost element is score-partwise or score-timewise",
                ));
            }
            _ => {
                return Err(source.fault("the file holds no XML document", "give a MusicXML score"));
            }
        };
        let (outer, inner) = if partwise {
            ("part", "measure")
        } else {
            ("measure", "part")
        };
        loop {
            match source.next(None)? {
                Some(Item::Open(node)) if node.name == outer => {
                    document.outer(&mut source, &node, inner, partwise)?;
                }
                Some(Item::Open(node)) if node.name.is_empty() => source.skip()?,
                Some(Item::Open(node)) => {
                    let node = source.rest_of(node)?;
                    document.heading.read(&node);
                }
                Some(Item::Close) => {}
                None => break,
            }
        }
        document.in_order();
        Ok(document)
    }

    /// Reads a part of measures, or a measure of parts.
    fn outer(
        &mut self,
        source: &mut Source<'_>,
        outer: &Node,
        inner: &str,
        partwise: bool,
    ) -> Result<(), Diagnostics> {
        loop {
            match source.next(None)? {
                Some(Item::Open(node)) if node.name != inner => source.skip()?,
                Some(Item::Open(node)) => {
                    let node = source.rest_of(node)?;
                    let (part, measure) = if partwise {
                        (outer, &node)
                    } else {
                        (&node, outer)
                    };
                    self.measure(source, part, measure, &node)?;
                }
                Some(Item::Close) | None => return Ok(()),
            }
        }
    }

    /// Reads one measure of one part.
    fn measure(
        &mut self,
        source: &Source<'_>,
        part: &Node,
        measure: &Node,
        content: &Node,
    ) -> Result<(), Diagnostics> {
        self.measures += 1;
        let id = part.attribute("id").unwrap_or_default();
        let known = self.parts.iter().rposition(|(name, _)| name.id == id);
        let place = known.unwrap_or_else(|| {
            self.parts.push((PartName::new(id), PartReader::new()));
            self.parts.len() - 1
        });
        self.parts[place].1.measure(measure, content);
        let notes: usize = self.parts.iter().map(|(_, part)| part.size()).sum();
        for (count, most, what) in [
            (self.measures, MOST_MEASURES, "measures"),
            (notes, MOST_NOTES, "notes, rests and chord symbols"),
            (self.parts.len(), MOST_PARTS, "parts"),
        ] {
            if count > most {
                return Err(source.fault(
                    format!("the file has more than {most} {what}"),
                    "give the score of one piece",
                ));
            }
        }
        Ok(())
    }

    /// Puts the parts into the order of the list of parts, with their names.
    fn in_order(&mut self) {
        let list = &self.heading.parts;
        for (name, _) in &mut self.parts {
            if let Some(known) = list.iter().find(|known| known.id == name.id) {
                *name = known.clone();
            }
        }
        self.parts.sort_by_cached_key(|(name, _)| {
            list.iter()
                .position(|known| known.id == name.id)
                .unwrap_or(list.len())
        });
    }
}
