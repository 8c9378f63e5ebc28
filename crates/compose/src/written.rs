//! A line as it is written: every note, tie and rest, and what each is to the walk.

use linewright_chart::Timeline;
use linewright_notation::{Event, QUARTER, Ticks};
use linewright_rulebook::plan::Plan;
use linewright_rulebook::{Between, BetweenWindow, NoteReading};
use linewright_theory::{Note, Pitch};

/// A note or rest of a line, in its bar as it is played.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// As it is written; nothing stands under it.
    pub event: Event,
    /// What it is to the walk.
    pub role: Role,
}

/// What a note or rest is to the walk.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Role {
    /// The note of this slot of the plan; it may sound a little before its beat.
    Walk(usize),
    /// The note of the next beat, pushed over the bar line: what follows is tied to it.
    Pushed,
    /// The note before, held on.
    Held,
    /// A note between the beats, or a ghost note on one.
    Between(Between),
    /// A note where the chart has no chord, so that there is nothing to judge it by.
    NoChord,
    /// Nothing sounds.
    Rest,
}

/// A note as it sounds, with all that is tied to it.
#[derive(Copy, Clone, Debug, PartialEq)]
pub struct Sound {
    /// The bar of the timeline in which it begins.
    pub bar: usize,
    /// Its event in that bar.
    pub event: usize,
    /// Where in the bar it begins.
    pub at: Ticks,
    /// How long it sounds.
    pub ticks: Ticks,
    /// The note.
    pub note: Note,
    /// Its pitch.
    pub pitch: Pitch,
    /// Whether it is a ghost note.
    pub ghost: bool,
    /// What it is to the walk; a pushed note is that of its slot.
    pub role: Role,
}

/// Each slot's note, held as long as its slot lasts, and rests between: a line of which nothing
/// is told but its notes.
pub fn on_the_beats(timeline: &Timeline, plan: &Plan, notes: &[NoteReading]) -> Vec<Vec<Written>> {
    let ticks = |beats: u8| Ticks::from(beats) * QUARTER;
    let bars = timeline.bars.iter().zip(&plan.bars);
    bars.map(|(bar, planned)| {
        let walk = planned.slots.clone().map(|nth| {
            let slot = &plan.slots[nth];
            Written {
                event: Event::note(ticks(slot.beat), ticks(slot.beats), notes[nth].note),
                role: Role::Walk(nth),
            }
        });
        filled(walk.collect(), ticks(bar.beats))
    })
    .collect()
}

/// The same with rests wherever nothing stands in a bar this long.
pub fn filled(events: Vec<Written>, length: Ticks) -> Vec<Written> {
    let mut full = Vec::with_capacity(events.len());
    let mut at = 0;
    let rest = |from: Ticks, to: Ticks| Written {
        event: Event::rest(from, to - from),
        role: Role::Rest,
    };
    for written in events {
        let (from, ticks) = (written.event.at, written.event.ticks);
        if from > at {
            full.push(rest(at, from));
        }
        full.push(written);
        at = from + ticks;
    }
    if at < length {
        full.push(rest(at, length));
    }
    full
}

/// The notes that sound in these bars, in order, each with all that is tied to it, over bar
/// lines too.
pub fn sounds(bars: &[Vec<Written>]) -> Vec<Sound> {
    let mut sounds: Vec<Sound> = Vec::new();
    let mut tied = false;
    for (bar, row) in bars.iter().enumerate() {
        for (nth, Written { event, role }) in row.iter().enumerate() {
            let sounding = event.note.and_then(|note| Some((note, note.pitch()?)));
            let Some((note, pitch)) = sounding else {
                tied = false;
                continue;
            };
            match sounds.last_mut() {
                Some(last) if tied && last.pitch == pitch => {
                    last.ticks += event.ticks;
                    if last.role == Role::Pushed {
                        last.role = *role;
                    }
                }
                _ => sounds.push(Sound {
                    bar,
                    event: nth,
                    at: event.at,
                    ticks: event.ticks,
                    note,
                    pitch,
                    ghost: event.ghost,
                    role: *role,
                }),
            }
            tied = event.tied;
        }
    }
    sounds
}

/// Unties what leads to no note of the same pitch, and names the notes between the beats by
/// what they come from and lead to.
pub fn settle(bars: &mut [Vec<Written>]) {
    untie(bars);
    let lengths: Vec<u64> = bars.iter().map(|row| length(row)).collect();
    let starts: Vec<u64> = lengths
        .iter()
        .scan(0, |at, length| {
            *at += length;
            Some(*at - length)
        })
        .collect();
    let sounds = sounds(bars);
    let start = |sound: &Sound| starts[sound.bar] + u64::from(sound.at);
    let end = |sound: &Sound| start(sound) + u64::from(sound.ticks);
    let quarter = u64::from(QUARTER);
    for (nth, sound) in sounds.iter().enumerate() {
        if !matches!(sound.role, Role::Between(_)) {
            continue;
        }
        let (own, beat) = (start(sound), u64::from(sound.at / QUARTER * QUARTER));
        let before = nth.checked_sub(1).map(|at| &sounds[at]);
        let next = sounds.get(nth + 1);
        let in_beat = |at: u64| {
            let beat = starts[sound.bar] + beat;
            let there = |other: &&Sound| start(other) == beat + at;
            sounds[nth.saturating_sub(2)..(nth + 3).min(sounds.len())]
                .iter()
                .find(there)
        };
        let thirds = [quarter / 3, 2 * quarter / 3].map(in_beat);
        let window = BetweenWindow {
            pitch: sound.pitch,
            ghost: sound.ghost,
            before: before
                .filter(|before| end(before) == own)
                .map(|before| before.pitch),
            into: next
                .filter(|next| start(next) == end(sound) && next.at.is_multiple_of(QUARTER))
                .map(|next| next.pitch),
            in_three: in_beat(0)
                .filter(|_| thirds.iter().all(Option::is_some))
                .map(|beat| beat.pitch),
        };
        bars[sound.bar][sound.event].role = Role::Between(Between::of(&window));
    }
}

/// How long a bar is in which nothing is left open.
fn length(row: &[Written]) -> u64 {
    row.last().map_or(0, |last| {
        u64::from(last.event.at) + u64::from(last.event.ticks)
    })
}

/// Keeps the ties that lead to a note of the same pitch.
fn untie(bars: &mut [Vec<Written>]) {
    let mut events: Vec<&mut Event> = bars
        .iter_mut()
        .flatten()
        .map(|written| &mut written.event)
        .collect();
    for nth in 0..events.len() {
        let pitch = |event: &Event| event.note.and_then(Note::pitch);
        let here = pitch(events[nth]);
        let leads = events
            .get(nth + 1)
            .is_some_and(|next| here.is_some() && pitch(next) == here);
        events[nth].tied &= leads;
    }
}
