//! A part as written, laid over the bars of a chart as they are played.
//!
//! What comes out is the skeleton of the line (the notes that begin on a beat, and how long they
//! are held) and its ornaments (all that lies between). Nothing is refused: what does not fit is
//! left out or moved, and told as a [`Remark`].

use linewright_chart::{Timeline, TimelineBar};
use linewright_notation::{Event, Measure, QUARTER, Score, Ticks};
use linewright_plan::Onset;
use linewright_theory::{Note, Pitch};

use crate::remark::{Remark, What};

/// A line laid over a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aligned {
    /// For each bar of the timeline the beats on which notes begin that sound over a chord.
    pub onsets: Vec<Vec<Onset>>,
    /// Their pitches, in order.
    pub pitches: Vec<Pitch>,
    /// What lies between the beats.
    pub ornaments: Vec<Ornament>,
    /// What was moved or left out.
    pub remarks: Vec<Remark>,
}

/// A note that decorates the line: a ghost note, or one that does not begin on a beat.
#[derive(Clone, Debug, PartialEq)]
pub struct Ornament {
    /// Index of the bar in the timeline.
    pub bar: usize,
    /// Where in the bar it begins.
    pub at: Ticks,
    /// How long it lasts.
    pub ticks: Ticks,
    /// The note.
    pub note: Note,
    /// Whether it is a ghost note.
    pub ghost: bool,
}

/// How many times the form is played in a part: as many choruses as its measures fill, at
/// least one. `form` is one chorus.
pub fn choruses(score: &Score, form: &Timeline) -> usize {
    let measures = score.measures.len() - usize::from(has_pickup(score));
    let bars = form.bars.len() - form.pickups();
    if bars > 0 && measures > bars && measures.is_multiple_of(bars) {
        measures / bars
    } else {
        1
    }
}

/// Lays a part over a timeline.
pub fn align(score: &Score, timeline: &Timeline) -> Aligned {
    let mut aligned = Aligned::default();
    let cut = cut_anew(score, timeline);
    if cut.is_some() {
        aligned.remarks.push(Remark::of_line(What::CutAnew));
    }
    let score = cut.as_ref().unwrap_or(score);
    let order = order(score, timeline, &mut aligned.remarks);
    let mut held = None;
    for (index, measure) in order.into_iter().enumerate() {
        let notes = measure.map(|measure| {
            notes(
                &score.measures[measure],
                timeline,
                index,
                &mut held,
                &mut aligned.remarks,
            )
        });
        lay(&mut aligned, timeline, index, &notes.unwrap_or_default());
    }
    aligned
}

/// Whether the part begins with a pick-up.
fn has_pickup(score: &Score) -> bool {
    match score.measures.as_slice() {
        [first, second, ..] => first.pickup || first.ticks < second.ticks,
        _ => false,
    }
}

/// For each bar of the timeline the measure that it is played from.
fn order(score: &Score, timeline: &Timeline, remarks: &mut Vec<Remark>) -> Vec<Option<usize>> {
    let (before, pickups) = (usize::from(has_pickup(score)), timeline.pickups());
    let measures = score.measures.len() - before;
    let bars = timeline.bars.len() - pickups;
    let written = timeline
        .bars
        .iter()
        .map(|bar| bar.written)
        .max()
        .unwrap_or(0);
    if before > pickups {
        remarks.push(Remark::of_line(What::PickupLeftOut));
    }
    // A part of as many measures as the page has bars is repeated as the chart is.
    let as_written = measures == written && measures != bars;
    if measures < bars && !as_written {
        remarks.push(Remark::of_line(What::LineEnds {
            before_bar: measures + 1,
        }));
    } else if measures > bars && !as_written {
        remarks.push(Remark::of_line(What::MeasuresLeftOver {
            count: measures - bars,
        }));
    }
    let full = |number: usize| (number <= measures).then_some(before + number - 1);
    let measure = |(index, bar): (usize, &TimelineBar)| {
        if bar.pickup {
            (before > 0).then_some(0)
        } else if as_written {
            full(bar.written)
        } else {
            full(timeline.bar_number(index))
        }
    };
    timeline.bars.iter().enumerate().map(measure).collect()
}

/// The same part in measures as long as the chart's bars, where most of its own are not.
fn cut_anew(score: &Score, timeline: &Timeline) -> Option<Score> {
    let length = |bar: &TimelineBar| Ticks::from(bar.beats) * QUARTER;
    let pairs = score.measures.iter().zip(&timeline.bars);
    let wrong = pairs
        .filter(|(measure, bar)| measure.ticks != length(bar))
        .count();
    if wrong * 2 <= score.measures.len().min(timeline.bars.len()) {
        return None;
    }
    let mut events = Vec::new();
    let mut start = 0_u64;
    for measure in &score.measures {
        let place = |event: &Event| (start + u64::from(event.at), event.clone());
        events.extend(measure.events.iter().map(place));
        start += u64::from(measure.ticks);
    }
    let mut cut = Score::default();
    let (mut at, mut bars) = (0_u64, timeline.bars.iter().cycle());
    while at < start {
        let bar = bars.next()?;
        let mut measure = Measure::new(length(bar));
        measure.pickup = bar.pickup && cut.measures.is_empty();
        let until = at + u64::from(measure.ticks);
        for (from, event) in &events {
            let (first, last) = ((*from).max(at), (from + u64::from(event.ticks)).min(until));
            if first < last {
                let whole = from + u64::from(event.ticks) == last;
                measure.events.push(Event {
                    at: (first - at) as Ticks,
                    ticks: (last - first) as Ticks,
                    tied: if whole {
                        event.tied
                    } else {
                        event.note.is_some()
                    },
                    ..event.clone()
                });
            }
        }
        cut.measures.push(measure);
        at = until;
    }
    Some(cut)
}

/// A note in its bar, with all that is tied to it there.
#[derive(Clone, Copy)]
struct Sounding {
    at: Ticks,
    until: Ticks,
    note: Note,
    pitch: Pitch,
    ghost: bool,
    /// Held over from the measure before: no note of its own.
    held: bool,
}

/// The notes of a measure in its bar. `held` is the pitch that is tied into it, and then the
/// one that is tied on.
fn notes(
    measure: &Measure,
    timeline: &Timeline,
    index: usize,
    held: &mut Option<Pitch>,
    remarks: &mut Vec<Remark>,
) -> Vec<Sounding> {
    let (bar, number) = (&timeline.bars[index], timeline.bar_number(index));
    let length = Ticks::from(bar.beats) * QUARTER;
    if measure.ticks != length && !measure.events.is_empty() {
        let beats = f64::from(measure.ticks) / f64::from(QUARTER);
        let what = What::OtherLength {
            beats,
            wanted: bar.beats,
        };
        remarks.push(Remark::at(number, what));
    }
    let mut notes: Vec<Sounding> = Vec::new();
    for event in &measure.events {
        let Some((note, pitch)) = event.note.and_then(|note| Some((note, note.pitch()?))) else {
            *held = None;
            continue;
        };
        if event.at >= length {
            remarks.push(Remark::at(number, What::BeyondTheBar { note }));
            continue;
        }
        let until = (event.at + event.ticks).min(length);
        let tied = held.take() == Some(pitch);
        match notes.last_mut() {
            Some(last) if tied && last.until == event.at => last.until = until,
            _ => notes.push(Sounding {
                at: event.at,
                until,
                note,
                pitch,
                ghost: event.ghost,
                held: tied && event.at == 0,
            }),
        }
        *held = event.tied.then_some(pitch);
    }
    notes
}

/// Finds the skeleton of one bar, and its ornaments.
fn lay(aligned: &mut Aligned, timeline: &Timeline, index: usize, notes: &[Sounding]) {
    let bar = &timeline.bars[index];
    let number = timeline.bar_number(index);
    let on_beat = |note: &Sounding| note.at.is_multiple_of(QUARTER);
    let mut on: Vec<Option<Sounding>> = vec![None; usize::from(bar.beats)];
    for note in notes.iter().filter(|note| !note.ghost && on_beat(note)) {
        on[(note.at / QUARTER) as usize] = Some(*note);
    }
    for note in notes {
        if on_beat(note) && !note.ghost {
            continue;
        }
        // A note that anticipates an empty beat and is held through it stands for that beat.
        let beat = note.at.div_ceil(QUARTER);
        let anticipates = !note.ghost && !on_beat(note) && note.until > beat * QUARTER;
        match on.get_mut(beat as usize) {
            Some(empty @ None) if anticipates => *empty = Some(*note),
            _ => aligned.ornaments.push(Ornament {
                bar: index,
                at: note.at,
                ticks: note.until - note.at,
                note: note.note,
                ghost: note.ghost,
            }),
        }
    }
    let mut onsets = Vec::new();
    for beat in 0..on.len() {
        let Some(note) = on[beat].filter(|note| !note.held) else {
            continue;
        };
        let harmony = bar
            .harmony_at(beat as u8)
            .and_then(|harmony| harmony.chord());
        if harmony.is_none() {
            let what = What::OverNoChord {
                beat: beat as u8 + 1,
                note: note.note,
            };
            aligned.remarks.push(Remark::at(number, what));
            continue;
        }
        let next = (beat + 1..on.len())
            .find(|&next| on[next].is_some())
            .unwrap_or(on.len());
        let held = note.until.div_ceil(QUARTER) as usize;
        let beats = held.clamp(beat + 1, next) - beat;
        onsets.push(Onset {
            beat: beat as u8,
            beats: beats as u8,
        });
        aligned.pitches.push(note.pitch);
    }
    aligned.onsets.push(onsets);
}
