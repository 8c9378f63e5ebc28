//! form + style + seed → plan.

use std::ops::Range;
use std::sync::Arc;

use crate::style::{Feel, Style};
use linewright_chart::{Harmony, Metre, Span, Timeline, TimelineBar, group_starts};

use crate::plan::bar::{BarPlan, Clarity, Role};
use crate::plan::cadence::Cadence;
use crate::plan::dice::Dice;
use crate::plan::figure::figures;
use crate::plan::ground::Ground;
use crate::plan::phrase::{phrases, role, tension};
use crate::plan::register::contour;
use crate::plan::slot::{Beat, Onset, Slot};

/// What the line means to do: its bars, and a slot for each note to come.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// One for each bar of the timeline.
    pub bars: Vec<BarPlan>,
    /// One for each note, in order. Bars of N.C. have none.
    pub slots: Vec<Slot>,
}

impl Plan {
    /// Draws the plan of a line over a timeline.
    pub fn draw(timeline: &Timeline, style: &Style, dice: &mut Dice) -> Self {
        let mut slots = Vec::new();
        let mut rows = Vec::with_capacity(timeline.bars.len());
        let mut grounds = Grounds::default();
        for (index, bar) in timeline.bars.iter().enumerate() {
            let start = slots.len();
            let starts = rhythm(bar, style, dice);
            fill(&mut slots, bar, index, &starts, style, &mut grounds);
            rows.push(start..slots.len());
        }
        join(&mut slots);
        let mut bars = wishes(timeline, style, &rows, &slots, dice);
        for shift in contour(&mut bars, style, dice) {
            slots[shift].shift = true;
        }
        settle(&bars, &mut slots);
        Self { bars, slots }
    }

    /// Puts another harmony under some slots, such as a passing chord.
    pub fn reharmonise(&mut self, slots: Range<usize>, ground: &Arc<Ground>) {
        for slot in &mut self.slots[slots] {
            slot.ground = ground.clone();
        }
        join(&mut self.slots);
    }

    /// The plan of the bar that a slot lies in.
    pub fn bar_of(&self, slot: usize) -> &BarPlan {
        &self.bars[self.slots[slot].bar]
    }
}

/// One [`Ground`] for each chord and key, shared by its slots.
#[derive(Default)]
pub(crate) struct Grounds(Vec<Arc<Ground>>);

impl Grounds {
    fn get(&mut self, harmony: &Harmony, bar: &TimelineBar) -> Option<Arc<Ground>> {
        let Harmony::Chord(chord) = harmony else {
            return None;
        };
        let known = self
            .0
            .iter()
            .find(|g| g.chord == *chord && g.key == bar.key);
        Some(known.cloned().unwrap_or_else(|| {
            let ground = Arc::new(Ground::new(*chord, bar.key));
            self.0.push(ground.clone());
            ground
        }))
    }
}

/// The beats of a bar on which notes begin, in order.
fn rhythm(bar: &TimelineBar, style: &Style, dice: &mut Dice) -> Vec<u8> {
    if style.feel == Feel::Walking || bar.pickup {
        return (0..bar.beats).collect();
    }
    let mut starts: Vec<u8> = match bar.metre.groups() {
        [3] => vec![0, 2],
        [whole] => vec![0, whole / 2],
        groups => group_starts(groups).collect(),
    };
    starts.extend(bar.spans.iter().map(|span| span.start));
    starts.retain(|&start| start < bar.beats);
    starts.sort_unstable();
    starts.dedup();
    let last = bar.beats.saturating_sub(1);
    if dice.chance(style.plan.pick_up) && bar.beats >= 4 && starts.len() == 2 && starts[1] < last {
        starts.push(last);
    }
    starts
}

/// Appends the slots of one bar, with a note on each of these beats.
fn fill(
    slots: &mut Vec<Slot>,
    bar: &TimelineBar,
    index: usize,
    starts: &[u8],
    style: &Style,
    grounds: &mut Grounds,
) {
    let onsets = starts.iter().enumerate().map(|(nth, &beat)| {
        let until = starts.get(nth + 1).copied().unwrap_or(bar.beats);
        let chord = bar.spans.iter().find(|span| beat < span.end());
        let until = until.min(chord.map_or(until, Span::end));
        Onset {
            beat,
            beats: until - beat,
        }
    });
    place(slots, bar, index, onsets, style, grounds);
}

/// Appends a slot for each onset of one bar over a chord.
pub(crate) fn place(
    slots: &mut Vec<Slot>,
    bar: &TimelineBar,
    index: usize,
    onsets: impl Iterator<Item = Onset>,
    style: &Style,
    grounds: &mut Grounds,
) {
    let first = slots.len();
    for Onset { beat, beats } in onsets {
        let Some(harmony) = bar.harmony_at(beat) else {
            continue;
        };
        let Some(ground) = grounds.get(harmony, bar) else {
            continue;
        };
        slots.push(Slot {
            bar: index,
            beat,
            beats,
            position: (slots.len() - first) as u8,
            of: 0,
            strength: strength(bar, beat),
            ground,
            next: None,
            chord_starts: false,
            chord_ends: false,
            shift: false,
            tempo: bar.beats_a_minute(),
            centre: style.range.heart_low,
        });
    }
    let of = (slots.len() - first) as u8;
    for slot in &mut slots[first..] {
        slot.of = of;
    }
}

/// How strong a beat is in its bar.
fn strength(bar: &TimelineBar, beat: u8) -> Beat {
    if bar.pickup {
        return Beat::Weak;
    }
    if beat == 0 {
        return Beat::Down;
    }
    let middle = bar.metre == Metre::FOUR_FOUR && beat == 2;
    if middle || group_starts(bar.metre.groups()).any(|start| start == beat) {
        Beat::Strong
    } else {
        Beat::Weak
    }
}

/// Tells each slot what comes next and where chords begin and end.
pub(crate) fn join(slots: &mut [Slot]) {
    for at in 0..slots.len() {
        slots[at].chord_starts = at == 0 || slots[at - 1].ground.chord != slots[at].ground.chord;
        if let Some(next) = slots.get(at + 1) {
            let (next, ends) = (
                next.ground.clone(),
                next.ground.chord != slots[at].ground.chord,
            );
            slots[at].next = Some(next);
            slots[at].chord_ends = ends;
        }
    }
}

/// Phrases, cadences, tension and clarity of every bar.
fn wishes(
    timeline: &Timeline,
    style: &Style,
    rows: &[Range<usize>],
    slots: &[Slot],
    dice: &mut Dice,
) -> Vec<BarPlan> {
    let shape = &style.plan;
    let mut bars = Vec::with_capacity(rows.len());
    for (phrase, range) in phrases(timeline, usize::from(shape.phrase_bars))
        .into_iter()
        .enumerate()
    {
        let length = range.len();
        for (place, bar) in range.enumerate() {
            let ends = place + 1 == length;
            let middle = length >= 4 && (place + 1) * 2 == length;
            let cadences = !timeline.bars[bar].pickup
                && ((ends && (bar + 1 == rows.len() || dice.chance(shape.end_cadence)))
                    || (middle && dice.chance(shape.middle_cadence)));
            let row = rows[bar].clone();
            let cadence = if cadences {
                cadence(&slots[row.clone()], row.start, style, dice)
            } else {
                None
            };
            bars.push(BarPlan {
                phrase,
                place,
                role: role(place, length),
                cadence,
                tension: tension(&shape.tension.0, place, length),
                clarity: Clarity::Free,
                centre: style.range.heart_low,
                shift: false,
                figure: None,
                answers: None,
                slots: row,
            });
        }
    }
    clarity(&mut bars, slots, shape.ambiguous, dice);
    figures(&mut bars, slots, timeline, shape.figures, dice);
    bars
}

/// Draws the kind of cadence among those that the bar has room for.
fn cadence(row: &[Slot], start: usize, style: &Style, dice: &mut Dice) -> Option<Cadence> {
    let mix = style.plan.cadences;
    let share = |kind| match kind {
        Cadence::BeatOne => mix.beat_one,
        Cadence::OwnRoot => mix.own_root,
        Cadence::NextRoot => mix.next_root,
    };
    let open = Cadence::ALL.map(|kind| {
        let open = has_room(kind, row, start);
        if open { u64::from(share(kind)) } else { 0 }
    });
    match dice.share(&open) {
        Some(kind) => Some(Cadence::ALL[kind]),
        None if has_room(Cadence::BeatOne, row, start)
            && Cadence::ALL.iter().any(|&kind| share(kind) > 0) =>
        {
            Some(Cadence::BeatOne)
        }
        None => None,
    }
}

/// Whether a bar has room for a cadence: `row` are its slots, of which the first is number
/// `start` of the line.
pub(crate) fn has_room(kind: Cadence, row: &[Slot], start: usize) -> bool {
    let (Some(first), Some(last)) = (row.first(), row.last()) else {
        return false;
    };
    let closes = row.len() >= 3 && last.beats == 1;
    match kind {
        Cadence::BeatOne => start > 0 && first.beat == 0,
        // A rule sees four notes of a bar at once; and over a slash chord the root
        // of the line is one of the tones to outline.
        Cadence::OwnRoot => {
            closes
                && row.len() <= 4
                && last.ground.chord.bass.is_none()
                && row[row.len() - 2..].iter().all(|slot| !slot.chord_starts)
        }
        Cadence::NextRoot => {
            let next = last.next.as_ref();
            closes && next.is_some_and(|next| next.line_root != last.ground.line_root)
        }
    }
}

/// Which bars are meant clear, and which ambiguous. A bar is meant ambiguous
/// only where the bar after it cadences over its own chord.
fn clarity(bars: &mut [BarPlan], slots: &[Slot], chance: u16, dice: &mut Dice) {
    for at in 0..bars.len() {
        let ambiguous = may_be_ambiguous(bars, slots, at) && dice.chance(chance);
        let bar = &mut bars[at];
        bar.clarity = if ambiguous {
            Clarity::Ambiguous
        } else {
            unambiguous(bar)
        };
    }
}

/// Whether a bar may be meant ambiguous: it has one chord and no cadence, the bar after it
/// lands over its own chord, and the line neither begins here nor was unclear before.
pub(crate) fn may_be_ambiguous(bars: &[BarPlan], slots: &[Slot], at: usize) -> bool {
    let bar = &bars[at];
    let row = bar.slots.clone();
    let lands = bars
        .get(at + 1)
        .is_some_and(|next| matches!(next.cadence, Some(Cadence::BeatOne | Cadence::OwnRoot)));
    let one_chord = row.len() >= 3 && slots[row].iter().skip(1).all(|s| !s.chord_starts);
    let fresh =
        at > 0 && !bars[at - 1].slots.is_empty() && bars[at - 1].clarity != Clarity::Ambiguous;
    lands && one_chord && fresh && bar.cadence.is_none()
}

/// How clear a bar is meant that is not meant ambiguous.
pub(crate) fn unambiguous(bar: &BarPlan) -> Clarity {
    if bar.cadence.is_some() || bar.role == Role::Statement {
        Clarity::Clear
    } else {
        Clarity::Free
    }
}

/// Hands the register of the bars down to their slots: before a shift inside
/// a bar, the register of the bar before still holds.
pub(crate) fn settle(bars: &[BarPlan], slots: &mut [Slot]) {
    for (at, bar) in bars.iter().enumerate() {
        let moved = bar
            .slots
            .clone()
            .find(|&slot| slots[slot].shift)
            .unwrap_or(bar.slots.start);
        for slot in bar.slots.clone() {
            let before = slot < moved && at > 0;
            slots[slot].centre = if before {
                bars[at - 1].centre
            } else {
                bar.centre
            };
        }
    }
}
