//! Everything that was found → measures with events.

use linewright_diagnostic::{Diagnostics, Place};
use linewright_theory::{Note, Pitch};

use super::MAX_BARS;
use super::choose::Chosen;
use super::file::{File, Played, Time};
use super::grid;
use super::lengths::{self, Placed};
use super::measures::{Bar, Bars, times};
use super::names::{self, Chords};
use super::signs::Signs;
use crate::about::PROGRAM;
use crate::score::{Event, Measure, QUARTER, Score, Symbol, SymbolAt, Ticks};

const Q: Time = QUARTER as Time;

/// The longest name of a section, in characters.
const LONGEST_SECTION: usize = 100;

/// The score of the chosen notes.
pub(super) fn score(file: &File, part: &Chosen, problems: &mut Diagnostics) -> Score {
    let signs = Signs::new(file, part.track, problems);
    let bars = bars(&signs, part, file.tracks[part.track].end, problems);
    let placed = place(part, &bars, file.ppq, problems);
    // Of a file that this program wrote, every length is meant.
    let ends = if signs.facts.iter().any(|(name, _)| name == PROGRAM) {
        lengths::exact_ends(&placed, &bars)
    } else {
        lengths::ends(&placed, &bars)
    };
    let pitches: Vec<(Time, Pitch)> = placed
        .iter()
        .filter_map(|note| Some((note.at, Pitch::new(note.played.pitch)?)))
        .collect();
    let chords: Chords = signs
        .chords
        .iter()
        .map(|(at, symbol)| match symbol {
            Symbol::Chord(chord) => (*at, Some(*chord)),
            Symbol::NoChord | Symbol::Unread(_) => (*at, None),
        })
        .collect();
    let key_at = |at: Time| in_force(&signs.keys, bars.0[bars.at(at)]);
    let names = names::names(&pitches, &chords, key_at);
    let sounding: Vec<(Time, Time, Note)> = placed
        .iter()
        .zip(&ends)
        .zip(&names)
        .map(|((note, end), name)| (note.at, *end, *name))
        .collect();
    let mut measures = measures(&bars, &signs);
    fill(&mut measures, &bars, &sounding);
    mark(&mut measures, &bars, &signs);
    moved_signs(&bars, &signs, problems);
    let mut score = Score {
        title: title(file, part.track),
        feel: None,
        played: true,
        about: signs.facts,
        measures,
        ..Score::default()
    };
    score.take_credits();
    score
}

/// The name of the file's first track, where that is not the instrument's.
fn title(file: &File, chosen: usize) -> Option<String> {
    let first = file.tracks.first()?;
    let own = first.notes.is_empty() || file.tracks.len() == 1;
    let track = if file.separate {
        file.tracks.get(chosen)?
    } else if own {
        first
    } else {
        return None;
    };
    track.name.clone().filter(|name| !name.is_empty())
}

fn bars(signs: &Signs, part: &Chosen, end: Time, problems: &mut Diagnostics) -> Bars {
    // A note just before a bar line belongs after it.
    let last = part
        .notes
        .iter()
        .map(|n| (n.from + Q / 6 + 1).max(n.to))
        .max();
    let last = last.unwrap_or(0);
    let bars = Bars::new(&signs.metres, end.max(last), problems);
    if bars.0.len() < MAX_BARS || bars.end() >= end.max(last) {
        return bars;
    }
    let late = part.notes.iter().filter(|n| n.from >= bars.end()).count();
    problems.remark(
        Place::Whole,
        format!("the file is longer than {MAX_BARS} bars; notes after them: {late}"),
        "only the first bars were read; cut the file into shorter ones",
    );
    let last = last.min(bars.end());
    Bars::new(&signs.metres, last, &mut Diagnostics::default())
}

/// The notes on their places, one at a time.
fn place(part: &Chosen, bars: &Bars, ppq: u16, problems: &mut Diagnostics) -> Vec<Placed> {
    let notes: Vec<Played> = part
        .notes
        .iter()
        .filter(|note| note.from < bars.end())
        .copied()
        .collect();
    let starts: Vec<Time> = notes.iter().map(|note| note.from).collect();
    let places = grid::places(&starts, bars, ppq);
    tell_moves(&starts, &places, bars, ppq, problems);
    let mut placed: Vec<Placed> = Vec::with_capacity(notes.len());
    let mut above = Vec::new();
    for (&played, &at) in notes.iter().zip(&places) {
        if at >= bars.end() {
            continue;
        }
        match placed.last_mut().filter(|last| last.at == at) {
            Some(last) => {
                above.push(at);
                if played.pitch < last.played.pitch {
                    last.played = played;
                }
            }
            None => placed.push(Placed { at, played }),
        }
    }
    if let Some(&first) = above.first() {
        problems.remark(
            measure(bars, first),
            format!("several notes begin together: {}", times(above.len())),
            "the lowest of them was read; a line has one voice",
        );
    }
    let overlaps: Vec<Time> = placed
        .windows(2)
        .filter(|pair| pair[0].played.to > pair[1].played.from + Q / 4)
        .map(|pair| pair[1].at)
        .collect();
    if let Some(&first) = overlaps.first() {
        problems.remark(
            measure(bars, first),
            format!("a note sounds on into the next: {}", times(overlaps.len())),
            "it was ended where the next begins; a line has one voice",
        );
    }
    placed
}

/// The place of the measure that a time lies in.
fn measure(bars: &Bars, at: Time) -> Place {
    Place::Measure(bars.at(at) + 1)
}

/// Tells how many notes were moved, and how far at most.
fn tell_moves(played: &[Time], places: &[Time], bars: &Bars, ppq: u16, problems: &mut Diagnostics) {
    // What the rounding of ticks makes is no move.
    let rounding = Q / (2 * Time::from(ppq)) + 1;
    let moves = played.iter().zip(places).map(|(a, b)| (a.abs_diff(*b), *b));
    let moves: Vec<(Time, Time)> = moves.filter(|(by, _)| *by > rounding).collect();
    let Some((far, at)) = moves
        .iter()
        .max_by_key(|(by, at)| (*by, std::cmp::Reverse(*at)))
    else {
        return;
    };
    let hundredths = (far * 100 + Q / 2) / Q;
    problems.remark(
        measure(bars, *at),
        format!(
            "{} of {} notes were moved onto their places; the farthest, here, by {}.{:02} of a \
             beat",
            moves.len(),
            played.len(),
            hundredths / 100,
            hundredths % 100
        ),
        "compare the part with what you hear if that is much",
    );
}

/// What holds at the beginning of a bar. What begins inside the first one holds from there.
fn in_force<T: Copy>(list: &[(Time, T)], bar: Bar) -> Option<T> {
    let until = if bar.from == 0 {
        bar.to()
    } else {
        bar.from + 1
    };
    let before = list.partition_point(|(at, _)| *at < until);
    match bar.from {
        0 => {
            let at_once = list.iter().rfind(|(at, _)| *at == 0);
            at_once.or(list[..before].first()).map(|(_, value)| *value)
        }
        _ => list[..before].last().map(|(_, value)| *value),
    }
}

/// Empty measures with metre, key and tempo where they are new.
fn measures(bars: &Bars, signs: &Signs) -> Vec<Measure> {
    let (mut time, mut key, mut tempo) = (None, None, None);
    let new = |bar: &Bar| {
        let mut measure = Measure::new(bar.ticks);
        measure.pickup = bar.pickup;
        measure.time = Some(bar.time).filter(|_| time != Some(bar.time));
        let (key_here, tempo_here) = (in_force(&signs.keys, *bar), in_force(&signs.tempos, *bar));
        measure.key = key_here.filter(|_| key != key_here);
        measure.tempo = tempo_here.filter(|_| tempo != tempo_here);
        (time, key, tempo) = (Some(bar.time), key_here, tempo_here);
        measure
    };
    bars.0.iter().map(new).collect()
}

/// Tells which changes of tempo and key had to wait for the next bar.
fn moved_signs(bars: &Bars, signs: &Signs, problems: &mut Diagnostics) {
    let inside = |at: &Time| *at < bars.end() && bars.0[bars.at(*at)].from != *at;
    let count = signs.tempos.iter().filter(|(at, _)| inside(at)).count()
        + signs.keys.iter().filter(|(at, _)| inside(at)).count();
    if count > 0 {
        problems.remark(
            Place::Whole,
            format!(
                "the tempo or the key changes inside a bar: {}",
                times(count)
            ),
            "such a change was read at the next bar line, and only the last of a bar",
        );
    }
}

/// Notes and rests: each bar is filled, and notes are tied over bar lines.
fn fill(measures: &mut [Measure], bars: &Bars, sounding: &[(Time, Time, Note)]) {
    let mut notes = sounding.iter().peekable();
    let mut held: Option<(Time, Note)> = None;
    for (measure, bar) in measures.iter_mut().zip(&bars.0) {
        let mut at = bar.from;
        while at < bar.to() {
            let (from, to, note) = match held.take() {
                Some((to, note)) => (at, to, note),
                None => match notes.next_if(|(from, ..)| *from < bar.to()) {
                    Some(&(from, to, note)) => (from, to, note),
                    None => break,
                },
            };
            if from > at {
                measure.events.push(rest(at, from, bar));
            }
            let until = to.min(bar.to());
            measure.events.push(Event {
                tied: to > until,
                ..Event::note(
                    within(from, bar),
                    within(until, bar) - within(from, bar),
                    note,
                )
            });
            held = (to > until).then_some((to, note));
            at = until;
        }
        if at < bar.to() {
            measure.events.push(rest(at, bar.to(), bar));
        }
    }
    // A note that should go on past the last bar ends with it.
    if held.is_some()
        && let Some(last) = measures.last_mut().and_then(|m| m.events.last_mut())
    {
        last.tied = false;
    }
}

fn rest(from: Time, to: Time, bar: &Bar) -> Event {
    Event::rest(within(from, bar), within(to, bar) - within(from, bar))
}

/// A time as a place in its bar.
fn within(at: Time, bar: &Bar) -> Ticks {
    Ticks::try_from(at.saturating_sub(bar.from)).unwrap_or(bar.ticks)
}

/// Chords and sections in their bars.
fn mark(measures: &mut [Measure], bars: &Bars, signs: &Signs) {
    for (at, symbol) in signs.chords.iter().filter(|(at, _)| *at < bars.end()) {
        let bar = bars.at(*at);
        measures[bar].symbols.push(SymbolAt {
            at: within(*at, &bars.0[bar]),
            symbol: symbol.clone(),
        });
    }
    for (at, name) in signs.sections.iter().filter(|(at, _)| *at < bars.end()) {
        let section = &mut measures[bars.at(*at)].section;
        let name = match section.take() {
            Some(before) => format!("{before}, {name}"),
            None => name.clone(),
        };
        *section = Some(name.chars().take(LONGEST_SECTION).collect());
    }
}
