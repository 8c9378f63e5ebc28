//! XML as a reader of scores needs it: bytes to text, events, and small trees.
//!
//! Nothing a file says can make this slow or large: no entities but the five of XML itself, few
//! levels, and only one small tree at a time.

use std::borrow::Cow;

use linewright_diagnostic::{
    Diagnostics, Place,
    clean::{quoted, shown},
};
use quick_xml::Reader;
use quick_xml::escape::resolve_predefined_entity;
use quick_xml::events::{BytesStart, Event};

use super::names::known;

/// The most levels of elements.
const MOST_LEVELS: usize = 64;

/// The most elements of a document.
const MOST_ELEMENTS: usize = 1_500_000;

/// The most elements and attributes of one tree: of one measure, or of the list of parts.
const MOST_NODES: usize = 50_000;

/// The most attributes of one element.
const MOST_ATTRIBUTES: usize = 64;

/// An element with everything in it.
#[derive(Clone, Debug, Default)]
pub(in crate::musicxml) struct Node {
    /// Its name; empty for an element that is not read.
    pub name: &'static str,
    attributes: Vec<(String, String)>,
    text: String,
    /// The elements in it.
    pub children: Vec<Node>,
}

impl Node {
    /// The value of an attribute.
    pub(in crate::musicxml) fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, value)| value.trim())
    }

    /// Whether an attribute has this value.
    pub(in crate::musicxml) fn is(&self, attribute: &str, value: &str) -> bool {
        self.attribute(attribute) == Some(value)
    }

    /// The first element in it of this name.
    pub(in crate::musicxml) fn child(&self, name: &str) -> Option<&Node> {
        debug_assert!(known(name).is_some(), "{name} is not in the list of names");
        self.children.iter().find(|child| child.name == name)
    }

    /// Whether it has an element of this name.
    pub(in crate::musicxml) fn has(&self, name: &str) -> bool {
        self.child(name).is_some()
    }

    /// All elements in it of this name.
    pub(in crate::musicxml) fn all<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a Node> {
        debug_assert!(known(name).is_some(), "{name} is not in the list of names");
        self.children.iter().filter(move |child| child.name == name)
    }

    /// Its text, without blanks around it.
    pub(in crate::musicxml) fn text(&self) -> &str {
        self.text.trim()
    }

    /// The text of the first element in it of this name.
    pub(in crate::musicxml) fn text_of(&self, name: &str) -> Option<&str> {
        self.child(name).map(Node::text)
    }

    /// The whole number in the first element in it of this name.
    pub(in crate::musicxml) fn number_of(&self, name: &str) -> Option<i32> {
        self.text_of(name)?.parse().ok()
    }
}

/// The text of a file in UTF-8 or UTF-16.
pub(in crate::musicxml) fn text(bytes: &[u8]) -> Result<Cow<'_, str>, Diagnostics> {
    let wide = |bytes: &[u8], unit: fn([u8; 2]) -> u16| -> Result<Cow<'static, str>, Diagnostics> {
        let units = bytes.chunks_exact(2).map(|pair| unit([pair[0], pair[1]]));
        let odd = !bytes.len().is_multiple_of(2);
        char::decode_utf16(units)
            .collect::<Result<String, _>>()
            .ok()
            .filter(|_| !odd)
            .map(Cow::Owned)
            .ok_or_else(|| fault("the file is damaged: it is not all UTF-16", SAVE))
    };
    match bytes {
        [0xFE, 0xFF, rest @ ..] => wide(rest, u16::from_be_bytes),
        [0xFF, 0xFE, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0, b'<', ..] => wide(bytes, u16::from_be_bytes),
        [b'<', 0, ..] => wide(bytes, u16::from_le_bytes),
        _ => {
            let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
            std::str::from_utf8(bytes).map(Cow::Borrowed).map_err(|e| {
                let (line, column) = position(bytes, e.valid_up_to());
                Diagnostics::one(
                    Place::column(line, column),
                    "the file is not in UTF-8 or UTF-16 from here on",
                    SAVE,
                )
            })
        }
    }
}

const SAVE: &str = "save it again as MusicXML in UTF-8";

/// The line and column of a byte.
fn position(bytes: &[u8], at: usize) -> (usize, usize) {
    let before = &bytes[..at.min(bytes.len())];
    let line = 1 + before.iter().filter(|&&b| b == b'\n').count();
    let start = before
        .iter()
        .rposition(|&b| b == b'\n')
        .map_or(0, |n| n + 1);
    let column = 1 + String::from_utf8_lossy(&before[start..]).chars().count();
    (line, column)
}

fn fault(message: impl Into<String>, hint: &str) -> Diagnostics {
    Diagnostics::one(Place::Whole, message, hint)
}

/// What an XML text consists of.
pub(super) enum Item {
    /// An element begins; what is in it has not been read.
    Open(Node),
    /// The element that was opened last ends.
    Close,
}

/// Reads an XML text piece by piece.
pub(super) struct Source<'a> {
    text: &'a str,
    reader: Reader<&'a [u8]>,
    /// How many elements are open.
    level: usize,
    /// How many elements have begun.
    elements: usize,
    /// Whether the outermost element has begun.
    begun: bool,
    /// The name of the outermost element, as it is quoted in a message.
    pub(super) outermost: String,
    /// Elements and attributes of the tree that is being read.
    nodes: usize,
}

impl<'a> Source<'a> {
    pub(super) fn new(text: &'a str) -> Self {
        let mut reader = Reader::from_str(text);
        reader.config_mut().expand_empty_elements = true;
        Self {
            text,
            reader,
            level: 0,
            elements: 0,
            begun: false,
            outermost: String::new(),
            nodes: 0,
        }
    }

    /// What is wrong at the place that was reached.
    pub(super) fn fault(&self, message: impl Into<String>, hint: &str) -> Diagnostics {
        self.fault_at(self.reader.buffer_position(), message, hint)
    }

    fn fault_at(&self, at: u64, message: impl Into<String>, hint: &str) -> Diagnostics {
        let at = usize::try_from(at).unwrap_or(usize::MAX);
        let (line, column) = position(self.text.as_bytes(), at);
        let place = Place::column(line, column);
        Diagnostics::one(place, message, hint)
    }

    /// The next beginning or end of an element; `None` at the end of the document. Text goes to
    /// `into`, if something is to have it.
    pub(super) fn next(
        &mut self,
        mut into: Option<&mut String>,
    ) -> Result<Option<Item>, Diagnostics> {
        let mut keep = |text: &str| {
            if let Some(into) = &mut into {
                into.push_str(text);
            }
        };
        loop {
            let event = self.reader.read_event().map_err(|error| {
                self.fault_at(
                    self.reader.error_position(),
                    format!("this is not well-formed XML ({error})"),
                    SAVE,
                )
            })?;
            match event {
                Event::Start(start) => {
                    if self.begun && self.level == 0 {
                        return Err(self.fault("a second document begins here", SAVE));
                    }
                    if !self.begun {
                        self.outermost = shown(start.name().0);
                    }
                    (self.begun, self.level) = (true, self.level + 1);
                    self.elements += 1;
                    if self.elements > MOST_ELEMENTS {
                        return Err(self.fault(
                            format!("the file has more than {MOST_ELEMENTS} elements"),
                            "give the score of one piece",
                        ));
                    }
                    if self.level > MOST_LEVELS {
                        return Err(self.fault(
                            format!("elements are nested more than {MOST_LEVELS} deep"),
                            "give a MusicXML score",
                        ));
                    }
                    return self.node(&start).map(|node| Some(Item::Open(node)));
                }
                Event::End(_) => {
                    self.level = self.level.saturating_sub(1);
                    return Ok(Some(Item::Close));
                }
                Event::Text(text) => {
                    if self.level == 0 && !text.trim().is_empty() {
                        return Err(self.fault("text stands outside the document", SAVE));
                    }
                    keep(&text);
                }
                Event::CData(text) => keep(&text),
                Event::GeneralRef(reference) => {
                    let mut buffer = [0; 4];
                    let text = match reference.resolve_char_ref() {
                        Ok(Some(c)) => Some(&*c.encode_utf8(&mut buffer)),
                        Ok(None) => resolve_predefined_entity(&reference),
                        Err(_) => None,
                    };
                    match text {
                        Some(text) => keep(text),
                        None => return Err(self.entity(&reference)),
                    }
                }
                Event::DocType(doctype) => {
                    if doctype.contains('[') {
                        return Err(self.fault(
                            "the document type declares entities or elements of its own",
                            "take away what stands in square brackets after DOCTYPE",
                        ));
                    }
                }
                Event::Decl(declaration) => {
                    let named = declaration.encoding().and_then(Result::ok);
                    if let Some(named) = named.filter(|_| !self.text.is_ascii())
                        && !["utf-8", "utf-16"].contains(&named.to_lowercase().as_str())
                    {
                        let message = format!("the file says that it is in {}", quoted(&named));
                        return Err(self.fault(message, SAVE));
                    }
                }
                Event::Comment(_) | Event::PI(_) | Event::Empty(_) => {}
                Event::Eof if self.level > 0 => {
                    return Err(self.fault("the file ends before its last element does", SAVE));
                }
                Event::Eof if !self.begun => {
                    return Err(
                        self.fault("the file holds no XML document", "give a MusicXML score")
                    );
                }
                Event::Eof => return Ok(None),
            }
        }
    }

    fn entity(&self, name: &str) -> Diagnostics {
        self.fault(
            format!("the entity {} is not one of XML itself", quoted(name)),
            "write the character itself, or its number",
        )
    }

    /// An element with its attributes.
    fn node(&self, start: &BytesStart) -> Result<Node, Diagnostics> {
        let Some(name) = known(start.name().0) else {
            return Ok(Node::default());
        };
        let mut node = Node {
            name,
            ..Node::default()
        };
        for attribute in start.attributes().with_checks(false) {
            let bad = || self.fault("an attribute of this element cannot be read", SAVE);
            let attribute = attribute.map_err(|_| bad())?;
            let value = attribute
                .normalized_value(quick_xml::XmlVersion::Explicit1_0)
                .map_err(|_| bad())?;
            if node.attributes.len() == MOST_ATTRIBUTES {
                return Err(self.fault(
                    format!("an element has more than {MOST_ATTRIBUTES} attributes"),
                    "give a MusicXML score",
                ));
            }
            node.attributes
                .push((attribute.key.0.to_owned(), value.into_owned()));
        }
        Ok(node)
    }

    /// Reads the rest of an element that has been opened.
    pub(super) fn rest_of(&mut self, node: Node) -> Result<Node, Diagnostics> {
        self.nodes = 0;
        self.count(&node)?;
        let mut open = vec![node];
        while let Some(last) = open.last_mut() {
            match self.next(Some(&mut last.text))? {
                Some(Item::Open(child)) if child.name.is_empty() => self.skip()?,
                Some(Item::Open(child)) => {
                    self.count(&child)?;
                    open.push(child);
                }
                Some(Item::Close) => {
                    let Some(done) = open.pop() else { break };
                    match open.last_mut() {
                        Some(parent) => parent.children.push(done),
                        None => return Ok(done),
                    }
                }
                None => break,
            }
        }
        Err(self.fault("the file ends before its last element does", SAVE))
    }

    /// Passes over the rest of an element that has been opened.
    pub(super) fn skip(&mut self) -> Result<(), Diagnostics> {
        let outside = self.level.saturating_sub(1);
        while self.level > outside {
            self.next(None)?;
        }
        Ok(())
    }

    fn count(&mut self, node: &Node) -> Result<(), Diagnostics> {
        self.nodes += 1 + node.attributes.len();
        if self.nodes > MOST_NODES {
            return Err(self.fault(
                format!("a measure or heading has more than {MOST_NODES} elements"),
                "give the score of one piece",
            ));
        }
        Ok(())
    }
}

/// A small document as one tree.
pub(in crate::musicxml) fn tree(text: &str) -> Result<Node, Diagnostics> {
    let mut source = Source::new(text);
    let root = match source.next(None)? {
        Some(Item::Open(node)) => source.rest_of(node)?,
        _ => return Err(source.fault("the file holds no XML document", SAVE)),
    };
    // What follows the document must be nothing.
    source.next(None)?;
    Ok(root)
}
