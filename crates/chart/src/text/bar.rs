//! The chords of one bar: how they share its beats.

use linewright_diagnostic::{
    Diagnostic, Diagnostics,
    clean::{quoted, shown},
};
use linewright_theory::Chord;

use crate::harmony::Harmony;
use crate::metre::shares;
use crate::written::{Content, WrittenSpan};

/// One token inside a bar, with its offset in the text.
#[derive(Clone, Debug)]
pub(crate) struct Item<'a> {
    pub at: usize,
    pub kind: ItemKind<'a>,
}

#[derive(Clone, Debug)]
pub(crate) enum ItemKind<'a> {
    /// A chord symbol or `N.C.`
    Word(&'a str),
    /// A run of `/`.
    Hold(usize),
    /// `%`
    Same,
}

impl Item<'_> {
    /// Whether it is a sign that other notations hold a chord by.
    pub(crate) fn is_dots(&self) -> bool {
        matches!(self.kind, ItemKind::Word(word) if word.chars().all(is_dot))
    }
}

/// Whether a character holds a chord in other notations.
fn is_dot(c: char) -> bool {
    matches!(c, '.' | '-' | '–' | '—' | '·' | '…')
}

/// The bar that is being filled.
pub(crate) struct Frame<'t> {
    /// Its length in beats.
    pub beats: u8,
    /// The length of the bar before, if there is one.
    pub before: Option<u8>,
    /// What to call the bar in a message, such as `a bar of 4/4`.
    pub name: &'t str,
    /// No bar line stands in the text: the row may be meant as several bars.
    pub grid: bool,
}

/// Reads the tokens of a bar, which are not empty. Faults are collected; the
/// content is then still of the right length.
pub(crate) fn fill(items: &[Item<'_>], frame: &Frame<'_>, faults: &mut Diagnostics) -> Content {
    let first = &items[0];
    if let Some(same) = items
        .iter()
        .find(|item| matches!(item.kind, ItemKind::Same))
    {
        repeat_before(same, items.len(), frame, faults);
        return Content::Same;
    }
    if let Some(dot) = items.iter().find(|item| item.is_dots()) {
        dots_for_beats(dot, items, faults);
        return Content::Chords(vec![silence(frame.beats)]);
    }
    let harmonies: Vec<Option<Harmony>> = items
        .iter()
        .map(|item| match item.kind {
            ItemKind::Word(word) => Some(harmony(word, item.at, faults)),
            ItemKind::Hold(_) | ItemKind::Same => None,
        })
        .collect();
    let slashed = harmonies.iter().any(Option::is_none);
    if harmonies[0].is_none() && frame.before.is_none() {
        faults.error(
            first.at,
            "`/` holds the chord before it, and there is none yet",
            "begin the tune with a chord or with `N.C.`",
        );
    }
    let spans = if slashed {
        beat_by_beat(items, harmonies, frame, faults)
    } else {
        shared(items, harmonies, frame, faults)
    };
    Content::Chords(spans)
}

fn repeat_before(same: &Item<'_>, items: usize, frame: &Frame<'_>, faults: &mut Diagnostics) {
    if items > 1 {
        faults.error(
            same.at,
            "`%` repeats a whole bar, but here it stands beside other chords",
            "let `%` stand alone between its bar lines, or write `/` to hold a chord one more beat",
        );
    } else if let Some(before) = frame.before {
        if before != frame.beats {
            faults.error(
                same.at,
                format!(
                    "`%` repeats the bar before, which has {} and not the {} of {}",
                    beats(before.into()),
                    frame.beats,
                    frame.name
                ),
                "write the chords of this bar",
            );
        }
    } else {
        faults.error(
            same.at,
            "`%` repeats the bar before, and there is none",
            "write the chords of the first bar",
        );
    }
}

/// The signs that hold a chord as other notations have them: the fault shows the bar with `/`.
fn dots_for_beats(dot: &Item<'_>, items: &[Item<'_>], faults: &mut Diagnostics) {
    /// A bar of more signs is not shown.
    const MOST_SHOWN: usize = 16;
    let signs: Vec<String> = items
        .iter()
        .flat_map(|item| match item.kind {
            ItemKind::Word(word) if item.is_dots() => {
                vec!["/".to_owned(); word.chars().count().min(MOST_SHOWN)]
            }
            ItemKind::Word(word) => vec![shown(word)],
            ItemKind::Hold(count) => vec!["/".to_owned(); count.min(MOST_SHOWN)],
            ItemKind::Same => vec!["%".to_owned()],
        })
        .collect();
    let rule = "a chord is held one more beat by `/`";
    let hint = if signs.len() <= MOST_SHOWN {
        format!("{rule}: write `{}`", signs.join(" "))
    } else {
        rule.to_owned()
    };
    let ItemKind::Word(word) = dot.kind else {
        return;
    };
    faults.error(dot.at, format!("{} is no chord", quoted(word)), hint);
}

/// Each token is one beat.
fn beat_by_beat(
    items: &[Item<'_>],
    harmonies: Vec<Option<Harmony>>,
    frame: &Frame<'_>,
    faults: &mut Diagnostics,
) -> Vec<WrittenSpan> {
    let lengths = items.iter().map(|item| match item.kind {
        ItemKind::Hold(count) => count,
        ItemKind::Word(_) | ItemKind::Same => 1,
    });
    let written: usize = lengths.clone().sum();
    if written != usize::from(frame.beats) {
        let rule = "in a bar with `/` every sign is one beat";
        let room = usize::from(frame.beats);
        let hint = match room.checked_sub(written) {
            Some(1) => format!("{rule}: add one `/`"),
            Some(missing) => format!("{rule}: add {missing} of `/`"),
            None if frame.grid => format!("{rule}: write bar lines `|` between the bars"),
            None => format!("{rule}: leave {} out", written - room),
        };
        faults.error(
            items[0].at,
            format!(
                "{} written, but {} has {}",
                beats(written),
                frame.name,
                frame.beats
            ),
            hint,
        );
        return vec![silence(frame.beats)];
    }
    let mut spans: Vec<WrittenSpan> = Vec::new();
    for (harmony, length) in harmonies.into_iter().zip(lengths) {
        // The lengths add up to the beats of the bar, so each fits into a byte.
        let length = u8::try_from(length).unwrap_or(frame.beats);
        match (harmony, spans.last_mut()) {
            (None, Some(held)) => held.beats += length,
            (harmony, _) => spans.push(WrittenSpan {
                beats: length,
                harmony,
            }),
        }
    }
    spans
}

/// The chords share the bar.
fn shared(
    items: &[Item<'_>],
    harmonies: Vec<Option<Harmony>>,
    frame: &Frame<'_>,
    faults: &mut Diagnostics,
) -> Vec<WrittenSpan> {
    if let Some(parts) = shares(harmonies.len(), frame.beats) {
        let spans = parts.into_iter().zip(harmonies);
        return spans
            .map(|(beats, harmony)| WrittenSpan { beats, harmony })
            .collect();
    }
    let room = usize::from(frame.beats);
    let hint = if items.len() > room {
        format!(
            "chords lie on whole beats, so {} holds at most {room}",
            frame.name
        )
    } else {
        let example = slashes(items, room);
        format!("say which chord is held, one sign a beat: for example `{example}`")
    };
    faults.error(
        items[0].at,
        format!("{} chords do not share {} evenly", items.len(), frame.name),
        hint,
    );
    vec![silence(frame.beats)]
}

/// The chords with `/` added to fill the bar, the earlier ones the longer.
fn slashes(items: &[Item<'_>], room: usize) -> String {
    let mut signs = Vec::new();
    for (index, item) in items.iter().enumerate() {
        if let ItemKind::Word(word) = item.kind {
            signs.push(shown(word));
        }
        let length = room / items.len() + usize::from(index < room % items.len());
        signs.extend((1..length).map(|_| "/".to_owned()));
    }
    signs.join(" ")
}

fn silence(beats: u8) -> WrittenSpan {
    WrittenSpan {
        beats,
        harmony: Some(Harmony::NoChord),
    }
}

fn beats(count: usize) -> String {
    if count == 1 {
        "1 beat".into()
    } else {
        format!("{count} beats")
    }
}

/// Reads a chord symbol or `N.C.`; a faulty one counts as no chord.
fn harmony(word: &str, at: usize, faults: &mut Diagnostics) -> Harmony {
    if matches!(
        word.to_ascii_uppercase().as_str(),
        "N.C." | "N.C" | "NC" | "NC."
    ) {
        return Harmony::NoChord;
    }
    let fault = match trouble(word) {
        Some(trouble) => trouble,
        None => match Chord::parse(word) {
            Ok(chord) => return Harmony::Chord(chord),
            Err(error) => error,
        },
    };
    let at = at + fault.place().byte();
    faults.add(fault.at(at));
    Harmony::NoChord
}

/// Words of the road map as people write them without parentheses, in lower case
/// and without a full stop at the end.
const ROAD_MAP: [&str; 10] = [
    "d.c", "dc", "d.s", "ds", "segno", "coda", "fine", "al", "to", "tocoda",
];

/// Words that are no chord for a reason of the chart's own.
fn trouble(word: &str) -> Option<Diagnostic> {
    let message = format!("{} is no chord", quoted(word));
    let undotted = word.trim_end_matches(['.', '…']);
    let hint = if word.starts_with('%') {
        "`%` alone repeats the bar before; write one `%` for each bar".into()
    } else if word.len() > 1 && word.ends_with('/') {
        "put a blank before each `/` that holds the chord one more beat".into()
    } else if word.contains('/') && word.bytes().all(|b| b.is_ascii_digit() || b == b'/') {
        format!(
            "a change of metre goes in parentheses: `(time: {})`",
            shown(word)
        )
    } else if ROAD_MAP.contains(&word.to_ascii_lowercase().trim_end_matches('.')) {
        "signs of the road map go in parentheses, for example `(D.C. al fine)` or `(segno)`".into()
    } else if undotted.len() < word.len() && Chord::parse(undotted).is_ok() {
        format!(
            "write a blank after the chord and `/` for each beat that it is held: `{undotted} /`"
        )
    } else if word.starts_with(|c: char| c.is_ascii_digit()) {
        "write an ending as `1.` or `1,2.`, and the passes of a repeat as `:|x3`".into()
    } else {
        return None;
    };
    Some(Diagnostic::error(message, hint))
}
