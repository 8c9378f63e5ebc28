//! Writing elements, one a line.

use std::fmt::Display;

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};

/// An XML text that grows.
pub(super) struct Xml {
    writer: Writer<Vec<u8>>,
    open: Vec<&'static str>,
}

/// Attributes: names and values.
pub(super) type Attributes<'a> = [(&'static str, &'a dyn Display)];

impl Xml {
    /// An empty document of a type.
    pub(super) fn new(doctype: &str) -> Self {
        let mut xml = Self {
            writer: Writer::new_with_indent(Vec::new(), b' ', 2),
            open: Vec::new(),
        };
        xml.write(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
        xml.write(Event::DocType(BytesText::from_escaped(doctype)));
        xml
    }

    /// The document so far.
    pub(super) fn finish(self) -> String {
        let mut bytes = self.writer.into_inner();
        bytes.push(b'\n');
        // Only texts went in.
        String::from_utf8(bytes).unwrap_or_default()
    }

    fn write(&mut self, event: Event<'_>) {
        // Writing to memory does not fail.
        let _ = self.writer.write_event(event);
    }

    /// Begins an element.
    pub(super) fn open(&mut self, name: &'static str, attributes: &Attributes<'_>) {
        self.write(Event::Start(tag(name, attributes)));
        self.open.push(name);
    }

    /// Ends the element that was begun last.
    pub(super) fn close(&mut self) {
        if let Some(name) = self.open.pop() {
            self.write(Event::End(BytesEnd::new(name)));
        }
    }

    /// An element without content.
    pub(super) fn empty(&mut self, name: &'static str, attributes: &Attributes<'_>) {
        self.write(Event::Empty(tag(name, attributes)));
    }

    /// An element with a text.
    pub(super) fn leaf(&mut self, name: &'static str, text: impl Display) {
        self.leaf_with(name, &[], text);
    }

    /// An element with attributes and a text.
    pub(super) fn leaf_with(
        &mut self,
        name: &'static str,
        attributes: &Attributes<'_>,
        text: impl Display,
    ) {
        self.write(Event::Start(tag(name, attributes)));
        self.write(Event::Text(BytesText::new(&text.to_string())));
        self.write(Event::End(BytesEnd::new(name)));
    }
}

fn tag(name: &'static str, attributes: &Attributes<'_>) -> BytesStart<'static> {
    let mut tag = BytesStart::new(name);
    for (name, value) in attributes {
        tag.push_attribute((*name, value.to_string().as_str()));
    }
    tag
}
