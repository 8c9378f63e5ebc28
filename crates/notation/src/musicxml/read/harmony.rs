//! Chord symbols.

use linewright_diagnostic::clean::one_line;
use linewright_theory::{Chord, DegreeKind, HarmonyDegree, Interval, Letter, Name};

use super::clock::{decimal, whole};
use super::part::{PartReader, Placed};
use super::tally::Kind;
use super::xml::Node;
use crate::musicxml::page::clean_symbol;
use crate::{Symbol, SymbolAt};

/// How the silence of the band is written.
pub(in crate::musicxml) const NO_CHORD: &str = "N.C.";

impl PartReader {
    /// Reads a harmony element; `None` if there is nothing in it.
    pub(super) fn harmony(&mut self, node: &Node) -> Option<Placed> {
        let offset = node.text_of("offset").and_then(decimal);
        let at = self.clock.after(offset.unwrap_or(0));
        let kind = node.child("kind")?;
        if node.all("kind").count() > 1 {
            self.count(Kind::StackedHarmony);
        }
        let symbol = match kind.text() {
            "none" => Symbol::NoChord,
            _ => self.chord(node, kind)?,
        };
        Some(Placed {
            symbol: SymbolAt { at, symbol },
            told: offset.is_some(),
        })
    }

    fn chord(&mut self, node: &Node, kind: &Node) -> Option<Symbol> {
        let text = one_line(kind.attribute("text").unwrap_or_default());
        let step = node.child("root").and_then(|root| root.child("root-step"));
        // A root that is shown as nothing: the text is the whole symbol.
        let rootless = step.is_some_and(|step| step.is("text", ""));
        let root = node
            .child("root")
            .and_then(|root| name(root, "root-step", "root-alter"))
            .filter(|_| !rootless);
        let low = node.child("bass");
        let bass = low.and_then(|bass| name(bass, "bass-step", "bass-alter"));
        let interval = self.transposition(1).interval;
        if let Some(root) = root
            && low.is_some() == bass.is_some()
            && let Some(chord) = read(root, bass, kind.text(), &text, node)
        {
            if low.is_none() && node.number_of("inversion").is_some_and(|n| n > 0) {
                self.count(Kind::Inversion);
            }
            return Some(Symbol::Chord(if interval == Interval::UNISON {
                chord
            } else {
                chord.transposed(interval)
            }));
        }
        let text = unread(node, root, &text, kind.text())?;
        let here = self.here();
        // A symbol that was unread when it was written is no news.
        if !(rootless && kind.text() == "other") {
            self.tally.add_like(Kind::UnreadHarmony, here, Some(&text));
        }
        Some(Symbol::Unread(text))
    }
}

/// The chord by kind and degrees, else by its text.
fn read(root: Name, bass: Option<Name>, kind: &str, text: &str, node: &Node) -> Option<Chord> {
    let degrees: Option<Vec<HarmonyDegree>> = node.all("degree").map(degree).collect();
    let by_kind = degrees
        .filter(|degrees| degrees.len() <= 16)
        .and_then(|degrees| Chord::from_musicxml(root, bass, kind, &degrees).ok());
    let by_text = || {
        let symbol = match bass {
            Some(bass) if !text.contains('/') => format!("{root}{text}/{bass}"),
            _ => format!("{root}{text}"),
        };
        Chord::parse(&symbol).ok().filter(|_| !text.is_empty())
    };
    by_kind.or_else(by_text)
}

/// A symbol that cannot be read, as it is shown.
fn unread(node: &Node, root: Option<Name>, text: &str, kind: &str) -> Option<String> {
    let function = node.text_of("function").map(one_line);
    let numeral = node
        .child("numeral")
        .and_then(|numeral| numeral.child("numeral-root"))
        .map(|root| one_line(root.attribute("text").unwrap_or(root.text())));
    let mut shown = match (root, function.or(numeral)) {
        (Some(root), _) => root.to_string(),
        (None, Some(named)) => named,
        (None, None) => String::new(),
    };
    shown.push_str(if text.is_empty() && kind != "major" {
        kind
    } else {
        text
    });
    if let Some(bass) = node.child("bass") {
        shown.push('/');
        match name(bass, "bass-step", "bass-alter") {
            Some(bass) => shown.push_str(&bass.to_string()),
            None => shown.push_str(bass.text_of("bass-step").unwrap_or("?")),
        }
    }
    clean_symbol(&shown)
}

fn name(node: &Node, step: &str, alter: &str) -> Option<Name> {
    let mut letters = node.text_of(step)?.chars();
    let letter = Letter::from_char(letters.next()?)?;
    let (alter, exact) = match node.text_of(alter) {
        Some(text) => whole(decimal(text)?),
        None => (0, true),
    };
    let fits = exact && alter.abs() <= 2 && letters.next().is_none();
    fits.then(|| Name::new(letter, alter as i8))
}

fn degree(node: &Node) -> Option<HarmonyDegree> {
    let value = node.text_of("degree-value")?.parse().ok()?;
    let (alter, exact) = whole(decimal(node.text_of("degree-alter").unwrap_or("0"))?);
    let kind = match node.text_of("degree-type")? {
        "add" => DegreeKind::Add,
        "alter" => DegreeKind::Alter,
        "subtract" => DegreeKind::Subtract,
        _ => return None,
    };
    let alter = i8::try_from(alter).ok().filter(|_| exact)?;
    Some(HarmonyDegree { value, alter, kind })
}
