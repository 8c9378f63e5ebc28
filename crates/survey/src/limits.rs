//! What a style forbids, found without its rules.

use linewright_compose::Line;
use linewright_rulebook::plan::{Beat, Slot};
use linewright_rulebook::style::Weight;

/// The limits that the note `at` of a line breaks; `midi` are all its notes.
pub fn limits(line: &Line, midi: &[i32], at: usize) -> Vec<&'static str> {
    let (style, slot) = (&line.style, &line.plan.slots[at]);
    let leap = at
        .checked_sub(1)
        .map_or(0, |before| (midi[at] - midi[before]).abs());
    let largest = if slot.shift {
        style.largest_shift
    } else {
        style.largest_leap
    };
    let last = at + 1 == midi.len();
    let Standing {
        outside,
        third,
        seventh,
        tone,
    } = standing(slot, midi[at]);
    let arrives = slot.chord_starts || (slot.beat == 0 && slot.strength != Beat::Weak);
    let strong = slot.strength != Beat::Weak;
    // A chromatic note before this one: it goes on by a half step or belongs to the chord here.
    let stray = at > 0
        && standing(&line.plan.slots[at - 1], midi[at - 1]).outside
        && leap != 1
        && !(slot.chord_starts && standing(slot, midi[at - 1]).tone);
    let awkward = leap == 6 || (matches!(leap, 10 | 11 | 13 | 14) && !slot.shift);
    let found = [
        ("too-wide-leap", leap > i32::from(largest)),
        ("awkward-leap", awkward),
        ("leap-into-the-end", last && leap > 7 && !slot.shift),
        (
            "three-alike",
            at > 1 && midi[at - 2..at].iter().all(|&before| before == midi[at]),
        ),
        ("open-ending", last && !tone),
        ("chromatic-tone", outside),
        ("chromatic-on-the-beat", outside && strong),
        ("unresolved-chromatic", stray),
        ("third", third),
        ("third-arrival", third && arrives),
        ("seventh", seventh),
        ("seventh-arrival", seventh && arrives),
        ("outside-arrival", outside && arrives),
    ];
    let never = |rule: &str| style.weight(rule) == Weight::Never;
    found
        .into_iter()
        .filter(|(rule, found)| *found && never(rule))
        .map(|(rule, _)| rule)
        .collect()
}

/// What a note is to a chord.
struct Standing {
    outside: bool,
    third: bool,
    seventh: bool,
    /// Root, bass, third, fifth or seventh.
    tone: bool,
}

fn standing(slot: &Slot, midi: i32) -> Standing {
    let (chord, scale) = (&slot.ground.chord, &slot.ground.scale);
    let above = |root: i32| (midi - root).rem_euclid(12) as u8;
    let offset = above(i32::from(chord.root.class().get()));
    let root = offset == 0 || above(i32::from(chord.line_root().class().get())) == 0;
    let is = |semitones: Option<u8>| !root && semitones == Some(offset);
    let (third, seventh) = (is(chord.third()), is(chord.seventh()));
    let written = chord
        .tones()
        .into_iter()
        .any(|degree| degree.semitones() == offset);
    let fifth = chord
        .tones()
        .into_iter()
        .any(|d| d.number == 5 && d.semitones() == offset);
    Standing {
        outside: !root && !written && !scale.contains(offset),
        third,
        seventh,
        tone: root || third || seventh || fifth,
    }
}
