//! Which part of a document is read.

use linewright_diagnostic::{Diagnostics, Place, clean::quoted};

use super::document::Document;

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
