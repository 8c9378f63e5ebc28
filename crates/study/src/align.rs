//! A part as written, laid over the bars of a chart as they are played.
//!
//! What comes out is the walk (the notes that begin on a beat, and how long they are held), and
//! all that is written, each note with what it is to the walk. Nothing is refused: what does not
//! fit is left out, and told as a [`Remark`].

use linewright_chart::{Timeline, TimelineBar};
use linewright_compose::written::{Role, Written, filled, settle};
use linewright_notation::{Event, Measure, QUARTER, Score, Ticks};
use linewright_rulebook::Between;
use linewright_rulebook::plan::Onset;
use linewright_theory::{Note, Pitch};

use crate::remark::{Remark, What};

/// A line laid over a chart.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Aligned {
    /// For each bar of the timeline the beats on which notes begin that sound over a chord.
    pub onsets: Vec<Vec<Onset>>,
    /// Their pitches, in order.
    pub pitches: Vec<Pitch>,
    /// For each bar of the timeline all that is written in it; it fills the bar. The walk is
    /// numbered as `pitches` are.
    pub written: Vec<Vec<Written>>,
    /// The bars of the timeline, pick-ups aside, that have a chord and in which nothing sounds.
    pub silent: Vec<usize>,
    /// What was moved or left out.
    pub remarks: Vec<Remark>,
}

impl Aligned {
    /// Says what a note is to the walk.
    fn is(&mut self, bar: usize, note: &Sounding, role: Role) {
        let begins = |written: &&mut Written| written.event.at == note.at;
        if let Some(written) = self.written[bar].iter_mut().find(begins) {
            written.role = role;
        }
    }

    /// The last note of the bar before is beat one of bar `bar`, pushed over the bar line.
    fn push_before(&mut self, bar: usize) {
        let mut before = self.written[..bar]
            .iter_mut()
            .rev()
            .flat_map(|row| row.last_mut());
        if let Some(written) = before.next() {
            written.role = Role::Pushed;
        }
    }
}

/// How many times the form is played in a part: as many choruses as its measures fill, at
/// least one. `form` is one chorus.
pub fn choruses(score: &Score, form: &Timeline) -> usize {
    let measures = score.measures.len() - usize::from(has_pickup(score, form));
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
        let (notes, row) = match measure.map(|measure| &score.measures[measure]) {
            Some(measure) => {
                let remarks = &mut aligned.remarks;
                let notes = notes(measure, timeline, index, &mut held, remarks);
                (notes, row(measure, length(&timeline.bars[index])))
            }
            None => Default::default(),
        };
        let bar = &timeline.bars[index];
        let has_chord = bar.spans.iter().any(|span| span.harmony.chord().is_some());
        if notes.is_empty() && has_chord && !bar.pickup {
            aligned.silent.push(index);
        }
        aligned.written.push(filled(row, length(bar)));
        lay(&mut aligned, timeline, index, &notes);
    }
    settle(&mut aligned.written);
    aligned
}

/// Whether the part begins with a pick-up. A first measure that is shorter than the second is
/// none where the chart begins with a full bar of that length. Where neither the part nor the
/// chart speaks of one, it is none either if the part has a measure for each bar with it.
fn has_pickup(score: &Score, timeline: &Timeline) -> bool {
    let [first, second, ..] = score.measures.as_slice() else {
        return false;
    };
    let as_the_chart = timeline
        .bars
        .first()
        .is_some_and(|bar| !bar.pickup && length(bar) == first.ticks);
    let all = score.measures.len();
    let bars = timeline.bars.len();
    let fits_with_it = all == bars || all == written(timeline);
    let told = first.pickup || timeline.pickups() > 0;
    let short = first.ticks < second.ticks && (told || !fits_with_it);
    (first.pickup || short) && !as_the_chart
}

/// How many bars the page of the chart has.
fn written(timeline: &Timeline) -> usize {
    let bars = timeline.bars.iter();
    bars.map(|bar| bar.written).max().unwrap_or(0)
}

/// How long a bar is.
fn length(bar: &TimelineBar) -> Ticks {
    Ticks::from(bar.beats) * QUARTER
}

/// For each bar of the timeline the measure that it is played from.
fn order(score: &Score, timeline: &Timeline, remarks: &mut Vec<Remark>) -> Vec<Option<usize>> {
    let (before, pickups) = (usize::from(has_pickup(score, timeline)), timeline.pickups());
    let measures = score.measures.len() - before;
    let bars = timeline.bars.len() - pickups;
    let written = written(timeline);
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
    // A pick-up stands before bar 1, whether the chart has one or not.
    let before = usize::from(has_pickup(score, timeline));
    let bars = timeline.bars.iter().skip(timeline.pickups());
    let pairs = score.measures.iter().skip(before).zip(bars);
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
    let mut next = 0;
    while at < start {
        let bar = bars.next()?;
        let mut measure = Measure::new(length(bar));
        measure.pickup = bar.pickup && cut.measures.is_empty();
        let until = at + u64::from(measure.ticks);
        let over = |(from, event): &(u64, Event)| from + u64::from(event.ticks) <= at;
        next += events[next..]
            .iter()
            .take_while(|event| over(event))
            .count();
        for (from, event) in events[next..].iter().take_while(|(from, _)| *from < until) {
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

/// The events of a measure as far as its bar goes, nothing known of them but that they sound
/// between the beats or not.
fn row(measure: &Measure, length: Ticks) -> Vec<Written> {
    let inside = measure.events.iter().filter(|event| event.at < length);
    inside
        .filter(|event| event.ticks > 0)
        .map(|event| Written {
            event: Event {
                ticks: event.ticks.min(length - event.at),
                under: Vec::new(),
                ..event.clone()
            },
            role: match event.note.and_then(Note::pitch) {
                Some(_) => Role::Held,
                None => Role::Rest,
            },
        })
        .collect()
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
    /// Held over from just before the bar line: beat one, pushed forward.
    pushed: bool,
}

/// A note that is tied over a bar line.
#[derive(Clone, Copy)]
struct Tied {
    pitch: Pitch,
    /// Whether it began after the last beat.
    pushed: bool,
}

/// The notes of a measure in its bar. `held` is the note that is tied into it, and then the
/// one that is tied on.
fn notes(
    measure: &Measure,
    timeline: &Timeline,
    index: usize,
    held: &mut Option<Tied>,
    remarks: &mut Vec<Remark>,
) -> Vec<Sounding> {
    let (bar, number) = (&timeline.bars[index], timeline.bar_number(index));
    let length = length(bar);
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
        let tied = held.take().filter(|tied| tied.pitch == pitch);
        match notes.last_mut() {
            Some(last) if tied.is_some() && last.until == event.at => last.until = until,
            _ => {
                let over = tied.filter(|_| event.at == 0);
                notes.push(Sounding {
                    at: event.at,
                    until,
                    note,
                    pitch,
                    ghost: event.ghost,
                    held: over.is_some_and(|tied| !tied.pushed),
                    pushed: over.is_some_and(|tied| tied.pushed),
                });
            }
        }
        let began = notes.last().map_or(event.at, |last| last.at);
        let pushed = began + QUARTER > length && !event.ghost;
        *held = event.tied.then_some(Tied { pitch, pushed });
    }
    if measure.events.is_empty() {
        *held = None;
    }
    notes
}

/// Finds the walk of one bar, and what lies between.
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
            _ => aligned.is(index, note, Role::Between(Between::Other)),
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
            aligned.is(index, &note, Role::NoChord);
            continue;
        }
        aligned.is(index, &note, Role::Walk(aligned.pitches.len()));
        let next = (beat + 1..on.len())
            .find(|&next| on[next].is_some())
            .unwrap_or(on.len());
        let held = note.until.div_ceil(QUARTER) as usize;
        let beats = held.clamp(beat + 1, next) - beat;
        if note.pushed {
            aligned.push_before(index);
        }
        onsets.push(Onset {
            beat: beat as u8,
            beats: beats as u8,
        });
        aligned.pitches.push(note.pitch);
    }
    aligned.onsets.push(onsets);
}
