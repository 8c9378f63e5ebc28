//! What a file says besides notes: metres, keys, tempos, markers, facts.

use linewright_diagnostic::{Diagnostics, Place};
use linewright_theory::{Chord, Key, Mode};

use super::file::{File, Sign, Time};
use super::measures::times;
use crate::about::PROGRAM;
use crate::score::{Symbol, TimeSignature};

/// Most facts that are kept.
const MOST_FACTS: usize = 200;

/// The longest name of a fact, in characters.
const LONGEST_NAME: usize = 40;

/// What a file says, each list in order of time.
#[derive(Default)]
pub(super) struct Signs {
    pub(super) metres: Vec<(Time, TimeSignature)>,
    pub(super) keys: Vec<(Time, Key)>,
    /// Quarter notes a minute.
    pub(super) tempos: Vec<(Time, u16)>,
    pub(super) chords: Vec<(Time, Symbol)>,
    pub(super) sections: Vec<(Time, String)>,
    pub(super) facts: Vec<(String, String)>,
}

impl Signs {
    /// The signs of all tracks; only those of the chosen one where each is a piece of its own.
    pub(super) fn new(file: &File, chosen: usize, problems: &mut Diagnostics) -> Self {
        let mut all: Vec<&(Time, Sign)> = Vec::new();
        for (nth, track) in file.tracks.iter().enumerate() {
            if !file.separate || nth == chosen {
                all.extend(&track.signs);
            }
        }
        // Those of one time stay in the order of the file.
        all.sort_by_key(|(at, _)| *at);
        let mut signs = Self::default();
        let mut markers: Vec<(Time, &str)> = Vec::new();
        let (mut odd_metres, mut odd_keys, mut odd_tempos) = (0, 0, 0);
        for (at, sign) in all {
            match sign {
                Sign::Metre(beats, power) if *beats > 0 && *power <= 6 => set(
                    &mut signs.metres,
                    *at,
                    TimeSignature {
                        beats: *beats,
                        unit: 1 << power,
                    },
                ),
                Sign::Metre(..) => odd_metres += 1,
                Sign::Key(fifths, minor) => {
                    let mode = if *minor { Mode::Minor } else { Mode::Major };
                    match Key::from_fifths(*fifths, mode) {
                        Some(key) => set(&mut signs.keys, *at, key),
                        None => odd_keys += 1,
                    }
                }
                Sign::Tempo(microseconds) => match quarters_a_minute(*microseconds) {
                    Some(tempo) => set(&mut signs.tempos, *at, tempo),
                    None => odd_tempos += 1,
                },
                Sign::Marker(text) if !text.is_empty() => markers.push((*at, text)),
                Sign::Marker(_) => {}
                Sign::Text(text) => {
                    if let Some(fact) = fact(text)
                        && signs.facts.len() < MOST_FACTS
                    {
                        signs.facts.push(fact);
                    }
                }
            }
        }
        let ours = signs.facts.iter().any(|(name, _)| name == PROGRAM);
        signs.read_markers(&markers, ours);
        for (count, what, hint) in [
            (
                odd_metres,
                "a metre makes no sense",
                "it needs beats and a note value down to a 64th",
            ),
            (
                odd_keys,
                "a key signature makes no sense",
                "it has at most seven sharps or flats",
            ),
            (
                odd_tempos,
                "a tempo makes no sense",
                "it lies between 1 and 1000 quarter notes a minute",
            ),
        ] {
            if count > 0 {
                problems.remark(
                    Place::Whole,
                    format!("{what}: {}", times(count)),
                    format!("it was left out; {hint}"),
                );
            }
        }
        signs
    }

    fn read_markers(&mut self, markers: &[(Time, &str)], ours: bool) {
        let bare = |text: &str| text.len() == 1;
        let named = markers
            .iter()
            .any(|(_, text)| !bare(text) && symbol(text).is_some());
        let chord = |text: &str| symbol(text).filter(|_| ours || named || !bare(text));
        for here in markers.chunk_by(|a, b| a.0 == b.0) {
            let last = here.iter().rposition(|(_, text)| chord(text).is_some());
            for (nth, (at, text)) in here.iter().enumerate() {
                match chord(text).filter(|_| last == Some(nth)) {
                    Some(symbol) => self.chords.push((*at, symbol)),
                    None => self.sections.push((*at, (*text).to_owned())),
                }
            }
        }
    }
}

/// From here on, this; the last of one time holds.
fn set<T>(list: &mut Vec<(Time, T)>, at: Time, value: T) {
    if list.last().is_some_and(|(last, _)| *last == at) {
        list.pop();
    }
    list.push((at, value));
}

/// The nearest whole tempo.
fn quarters_a_minute(microseconds: u32) -> Option<u16> {
    const MINUTE: u32 = 60_000_000;
    let tempo = MINUTE
        .checked_add(microseconds / 2)?
        .checked_div(microseconds)?;
    u16::try_from(tempo)
        .ok()
        .filter(|tempo| (1..=1000).contains(tempo))
}

/// A marker as a chord symbol.
fn symbol(text: &str) -> Option<Symbol> {
    if matches!(
        text.to_ascii_uppercase().as_str(),
        "N.C." | "N.C" | "NC" | "NC."
    ) {
        return Some(Symbol::NoChord);
    }
    text.parse::<Chord>().ok().map(Symbol::Chord)
}

/// A text as a fact: `seed: 7`; the program tells its version without a colon.
fn fact(text: &str) -> Option<(String, String)> {
    if let Some(version) = text.strip_prefix(PROGRAM)
        && let Some(version) = version.strip_prefix(' ')
        && version.starts_with(|c: char| c.is_ascii_digit())
    {
        return Some((PROGRAM.to_owned(), version.trim().to_owned()));
    }
    let (name, value) = text.split_once(':')?;
    let name = name.trim();
    let is_name = name.starts_with(char::is_alphabetic)
        && name.chars().count() <= LONGEST_NAME
        && name
            .chars()
            .all(|c| c.is_alphanumeric() || " -_".contains(c));
    is_name.then(|| (name.to_lowercase(), value.trim().to_owned()))
}
