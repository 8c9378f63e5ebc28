//! Charts, styles and parts for the tests of studies.

// Each test file uses its own part of this module.
#![allow(dead_code)]

use std::sync::Arc;

use linewright_chart::{Chart, Timeline};
use linewright_compose::Composer;
use linewright_notation::{Score, line_text};
use linewright_rulebook::style::{Library, Style};
use linewright_theory::{Note, Pitch};

/// The bars of a chart text as they are played.
pub fn timeline(text: &str) -> Arc<Timeline> {
    let chart = Chart::parse("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"));
    Arc::new(chart.unroll().unwrap())
}

/// A part written as plain text.
pub fn part(text: &str) -> Score {
    let (scores, problems) = line_text::read(text.as_bytes()).unwrap_or_else(|e| panic!("{e}"));
    assert!(problems.is_empty(), "{problems}");
    scores.into_iter().next().expect("a part")
}

/// A shipped style.
pub fn style(name: &str) -> Style {
    Library::builtin()
        .style(name)
        .unwrap_or_else(|e| panic!("{e}"))
}

/// A composer for a shipped style.
pub fn composer(name: &str) -> Composer {
    Composer::new(style(name)).unwrap_or_else(|e| panic!("{e}"))
}

/// A composer for a shipped style on so few notes that its lines can be listed.
pub fn narrow(name: &str, low: &str, high: &str) -> Composer {
    let mut style = style(name);
    (style.range.low, style.range.high) = (pitch(low), pitch(high));
    (style.range.heart_low, style.range.heart_high) = (pitch(low), pitch(high));
    Composer::new(style).unwrap_or_else(|e| panic!("{e}"))
}

/// The pitch of a note's name.
pub fn pitch(name: &str) -> Pitch {
    let note: Note = name.parse().unwrap_or_else(|e| panic!("{name}: {e}"));
    note.pitch().expect("a note in range")
}

/// The pitches of the notes of a text; bar lines are left out.
pub fn pitches(names: &str) -> Vec<Pitch> {
    let names = names.split_whitespace().filter(|name| *name != "|");
    names.map(pitch).collect()
}

/// Every note of a composer's range.
pub fn range(composer: &Composer) -> Vec<Pitch> {
    let range = composer.style().range;
    (range.low.midi()..=range.high.midi())
        .filter_map(Pitch::new)
        .collect()
}

/// All ways to choose one note for each of so many slots, first slot slowest.
pub fn rows(notes: &[Pitch], length: usize) -> impl Iterator<Item = Vec<Pitch>> {
    let count = notes.len().pow(length as u32);
    (0..count).map(move |number| {
        let mut rest = number;
        let mut row: Vec<Pitch> = (0..length)
            .map(|_| {
                let note = notes[rest % notes.len()];
                rest /= notes.len();
                note
            })
            .collect();
        row.reverse();
        row
    })
}

/// Draws that are the same on every machine (a linear congruential generator).
pub struct Draws(u64);

impl Draws {
    /// The draws of a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x5851_f42d_4c95_7f2d)
    }

    /// A number below `n`.
    pub fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % n as u64) as usize
    }

    /// One of a list.
    pub fn of<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        &list[self.below(list.len())]
    }
}
