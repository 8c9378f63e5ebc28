//! What stands before the music: title, composer, facts, the list of parts; and which part is read.

use linewright_diagnostic::{
    Diagnostics, Place,
    clean::{one_line, quoted},
};

use super::document::Document;
use super::xml::Node;
use crate::musicxml::page::clean_some;

/// What stands before the music.
#[derive(Default)]
pub(super) struct Heading {
    work: Option<String>,
    movement: Option<String>,
    credit: Option<String>,
    composers: Vec<String>,
    /// The composer as words on the page.
    credited: Option<String>,
    /// Names and values of facts.
    pub about: Vec<(String, String)>,
    /// The list of parts.
    pub parts: Vec<PartName>,
}

impl Heading {
    /// Takes what an element on the outermost level says.
    pub(super) fn read(&mut self, node: &Node) {
        match node.name {
            "work" => self.work = clean_some(node.text_of("work-title")),
            "movement-title" => self.movement = clean_some(Some(node.text())),
            "credit" => {
                let place = match node.text_of("credit-type") {
                    Some("title") => &mut self.credit,
                    Some("composer") => &mut self.credited,
                    _ => return,
                };
                if place.is_none() {
                    *place = clean_some(node.text_of("credit-words"));
                }
            }
            "identification" => {
                let creators = node.all("creator");
                let composers = creators.filter(|who| who.attribute("type") == Some("composer"));
                self.composers
                    .extend(composers.filter_map(|who| clean_some(Some(who.text()))));
                let fields = node.all("miscellaneous").flat_map(|m| &m.children);
                for field in fields.filter(|field| field.name == "miscellaneous-field") {
                    let name = one_line(field.attribute("name").unwrap_or_default());
                    if !name.is_empty() {
                        self.about.push((name, one_line(field.text())));
                    }
                }
            }
            "part-list" => {
                self.parts = node.all("score-part").map(PartName::read).collect();
            }
            _ => {}
        }
    }

    /// Who wrote the tune; several with commas between.
    pub(super) fn composer(&self) -> Option<String> {
        match self.composers.is_empty() {
            true => self.credited.clone(),
            false => Some(self.composers.join(", ")),
        }
    }

    /// The title.
    pub(super) fn title(&self) -> Option<String> {
        [&self.work, &self.movement, &self.credit]
            .into_iter()
            .flatten()
            .next()
            .cloned()
    }
}

/// A part in the list of parts.
#[derive(Clone, Debug, Default)]
pub(super) struct PartName {
    /// Its `id`.
    pub id: String,
    name: String,
    short: String,
    /// Whether what plays it is a bass.
    bass: bool,
}

impl PartName {
    /// A part that is only known by its id.
    pub(super) fn new(id: &str) -> Self {
        Self {
            id: id.to_owned(),
            ..Self::default()
        }
    }

    fn read(node: &Node) -> Self {
        let text = |name| one_line(node.text_of(name).unwrap_or_default());
        let instruments = node.all("score-instrument").flat_map(|i| &i.children);
        let mut bass = false;
        for child in instruments {
            bass |= match child.name {
                "instrument-sound" => child.text().starts_with("pluck.bass"),
                "instrument-name" => is_bass(child.text()),
                _ => false,
            };
        }
        // General MIDI programs 33 to 40, counted from 1, are basses.
        let programs = node.all("midi-instrument");
        bass |= programs
            .filter_map(|midi| midi.number_of("midi-program"))
            .any(|program| (33..=40).contains(&program));
        let name = text("part-name");
        let short = text("part-abbreviation");
        bass |= is_bass(&name);
        Self {
            id: node.attribute("id").unwrap_or_default().to_owned(),
            name,
            short,
            bass,
        }
    }

    /// How it is called in messages.
    pub(super) fn shown(&self) -> String {
        let name = if self.name.is_empty() {
            &self.id
        } else {
            &self.name
        };
        quoted(name)
    }

    fn is_called(&self, wanted: &str) -> bool {
        [&self.id, &self.name, &self.short]
            .into_iter()
            .any(|name| name.to_lowercase() == wanted)
    }
}

/// Whether a name is that of a bass, and not of another low instrument.
fn is_bass(name: &str) -> bool {
    let name = name.to_lowercase();
    let others = [
        "drum",
        "clar",
        "trom",
        "bassoon",
        "basso continuo",
        "flute",
        "sax",
        "voice",
        "vocal",
        "choir",
        "tuba",
        "horn",
        "klar",
        "pos",
        "flöte",
        "trommel",
    ];
    ["bass", "bajo", "baixo", "upright"]
        .iter()
        .any(|word| name.contains(word))
        && !others.iter().any(|word| name.contains(word))
}

/// The place of the part that is read: see [`read`](super::read).
pub(super) fn choose(
    document: &Document,
    wanted: Option<&str>,
    problems: &mut Diagnostics,
) -> Result<usize, Diagnostics> {
    let parts = &document.parts;
    let shown = |places: &mut dyn Iterator<Item = usize>| -> String {
        let names: Vec<String> = places.take(12).map(|at| parts[at].0.shown()).collect();
        names.join(", ")
    };
    if parts.is_empty() {
        return Err(Diagnostics::one(
            Place::Whole,
            "the score has no measures",
            "give a score with at least one part and one measure",
        ));
    }
    if let Some(wanted) = wanted {
        let lower = wanted.trim().to_lowercase();
        let called = |at: &usize| parts[*at].0.is_called(&lower);
        let like =
            |at: &usize| !lower.is_empty() && parts[*at].0.name.to_lowercase().contains(&lower);
        let exact: Vec<usize> = (0..parts.len()).filter(called).collect();
        let near: Vec<usize> = (0..parts.len()).filter(like).collect();
        return match (&exact[..], &near[..]) {
            ([at, ..], _) | ([], [at]) => Ok(*at),
            _ => Err(Diagnostics::one(
                Place::Whole,
                format!("no part is called {}", quoted(wanted)),
                format!("name one of {}", shown(&mut (0..parts.len()))),
            )),
        };
    }
    if parts.len() == 1 {
        return Ok(0);
    }
    let (chosen, why) = by_itself(document);
    let others = shown(&mut (0..parts.len()).filter(|&at| at != chosen));
    problems.remark(
        Place::Whole,
        format!(
            "of {} parts {} was read, {why}; left out: {others}",
            parts.len(),
            parts[chosen].0.shown(),
        ),
        "name the part to read if it is another",
    );
    Ok(chosen)
}

/// The part to read of several when none is named, and why.
fn by_itself(document: &Document) -> (usize, &'static str) {
    let parts = &document.parts;
    if let Some(at) = parts.iter().position(|(name, _)| name.bass) {
        return (at, "as it is a bass");
    }
    if let Some(at) = parts.iter().position(|(_, part)| part.has_symbols()) {
        return (at, "as it has the chord symbols");
    }
    let low = parts
        .iter()
        .enumerate()
        .filter_map(|(at, (_, part))| Some((part.middle()?, at)))
        .min();
    match low {
        Some((_, at)) => (at, "as it is the lowest"),
        None => (0, "as it is the first"),
    }
}
