//! Writing elements, one a line.

use std::fmt::{Display, Write};

use quick_xml::escape::escape;

/// An XML text that grows.
#[derive(Default)]
pub(super) struct Xml {
    text: String,
    open: Vec<&'static str>,
}

/// Attributes: names and values.
pub(super) type Attributes<'a> = [(&'static str, &'a dyn Display)];

impl Xml {
    /// The document so far.
    pub(super) fn finish(self) -> String {
        self.text
    }

    /// A line as it stands.
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn tag(&mut self, name: &str, attributes: &Attributes<'_>) {
        for _ in &self.open {
            self.text.push_str("  ");
        }
        self.text.push('<');
        self.text.push_str(name);
        for (name, value) in attributes {
            let value = value.to_string();
            // Writing to a string does not fail.
            let _ = write!(self.text, " {name}=\"{}\"", escape(value.as_str()));
        }
    }

    /// Begins an element.
    pub(super) fn open(&mut self, name: &'static str, attributes: &Attributes<'_>) {
        self.tag(name, attributes);
        self.text.push_str(">\n");
        self.open.push(name);
    }

    /// Ends the element that was begun last.
    pub(super) fn close(&mut self) {
        let Some(name) = self.open.pop() else {
            return;
        };
        for _ in &self.open {
            self.text.push_str("  ");
        }
        self.text.push_str("</");
        self.text.push_str(name);
        self.text.push_str(">\n");
    }

    /// An element without content.
    pub(super) fn empty(&mut self, name: &'static str, attributes: &Attributes<'_>) {
        self.tag(name, attributes);
        self.text.push_str("/>\n");
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
        self.tag(name, attributes);
        let text = text.to_string();
        let _ = writeln!(self.text, ">{}</{name}>", escape(text.as_str()));
    }
}
