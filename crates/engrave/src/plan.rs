//! One system before it is drawn: its measures, its points from left to right, and the room that
//! each needs.

use std::ops::Range;

use linewright_notation::{QUARTER, Ticks};

use crate::barline::Strip;
use crate::content::Content;
use crate::context::Context;
use crate::glyph::Glyph;
use crate::metrics::{NOTE_GAP, TEXT_GAP};
use crate::notes::{beamed, reach};
use crate::spacing::{Gap, QUARTER_WIDTH, Springs, at_ease};
use crate::staff;

/// Between a bar line, or what follows it, and the first note.
const AFTER_BAR: i64 = 250;
/// Between the last note and the bar line.
const BEFORE_BAR: i64 = 200;
/// Half the width of a head: the middle that texts under notes are set around.
pub(crate) const HALF_HEAD: i64 = 147;

/// What stands at a point of a system.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(crate) enum Point {
    /// The left end.
    Start,
    /// An item of a measure.
    Item { measure: usize, item: usize },
    /// A place of a measure where only a chord symbol stands.
    Anchor { measure: usize, at: Ticks },
    /// The bar line after a measure.
    Bar { measure: usize },
}

/// A system before it is drawn.
pub(crate) struct Plan {
    pub measures: Range<usize>,
    pub points: Vec<Point>,
    pub springs: Springs,
    /// Clef, key and time at the left end.
    pub head: Strip,
    /// The bar line after each measure with what belongs to it.
    pub bars: Vec<Strip>,
}

impl Plan {
    pub(crate) fn new(context: &Context, measures: Range<usize>) -> Plan {
        let mut builder = Builder {
            context,
            points: vec![Point::Start],
            gaps: Vec::new(),
            right: 0,
            weight: 0,
            ends: vec![0],
        };
        let head = head(context, measures.start);
        builder.right = head.width;
        let mut bars = Vec::new();
        for number in measures.clone() {
            builder.measure(number);
            let bar = bar(context, number, number + 1 == measures.end);
            builder.bar(number, &bar);
            bars.push(bar);
        }
        let mut plan = Plan {
            springs: Springs::new(builder.gaps),
            points: builder.points,
            measures,
            head,
            bars,
        };
        plan.keep_silences_wide(&builder.ends);
        plan.keep_symbols_apart(context);
        plan.keep_rows_apart(context);
        plan
    }

    /// What the last bar line adds to the width.
    pub(crate) fn tail(&self) -> i64 {
        self.bars.last().map_or(0, |bar| bar.width)
    }

    /// The least width of the whole system.
    pub(crate) fn least(&self) -> i64 {
        self.springs.least() + self.tail()
    }

    fn last(&self) -> usize {
        self.points.len() - 1
    }

    /// A rest in the middle of a measure needs room on both sides.
    fn keep_silences_wide(&mut self, ends: &[usize]) {
        for (pair, strip) in ends.windows(2).zip(0..) {
            let before = match strip {
                0 => self.head.width,
                _ => self.bars[strip - 1].width,
            };
            let room = Glyph::RestWhole.width() + 2 * AFTER_BAR;
            self.springs.keep_apart(pair[0], pair[1], before + room);
        }
    }

    fn keep_symbols_apart(&mut self, context: &Context) {
        let mut before: Option<(usize, i64)> = None;
        for at in 0..self.points.len() {
            let Some(width) = self.symbol(context, at) else {
                continue;
            };
            if let Some((from, width)) = before {
                self.springs.keep_apart(from, at, width + TEXT_GAP);
            }
            before = Some((at, width));
        }
        if let Some((from, width)) = before {
            let room = width - self.tail();
            self.springs.keep_apart(from, self.last(), room);
        }
    }

    /// The width of the chord symbol at a point.
    fn symbol(&self, context: &Context, point: usize) -> Option<i64> {
        let (measure, at) = place(context, self.points[point])?;
        // Where items share a tick, only the first bears the symbol.
        let first = place(context, self.points[point - 1]) != Some((measure, at));
        let chords = &context.contents[measure].chords;
        chords
            .iter()
            .find(|(tick, _)| first && *tick == at)
            .map(|(_, run)| run.width())
    }

    fn keep_rows_apart(&mut self, context: &Context) {
        let rows = context.contents[self.measures.clone()]
            .iter()
            .flat_map(|content| &content.items)
            .map(|item| item.under.len())
            .max()
            .unwrap_or(0);
        for row in 0..rows {
            let mut before: Option<(usize, i64)> = None;
            for (at, point) in self.points.iter().enumerate() {
                let Point::Item { measure, item } = *point else {
                    continue;
                };
                let under = &context.contents[measure].items[item].under;
                let Some(run) = under.get(row).filter(|run| !run.is_empty()) else {
                    continue;
                };
                let half = run.width() / 2 + 1;
                let (from, room) = match before {
                    Some((from, other)) => (from, other + half + TEXT_GAP),
                    None => (0, half - HALF_HEAD),
                };
                self.springs.keep_apart(from, at, room);
                before = Some((at, half));
            }
            if let Some((from, half)) = before {
                let room = half + HALF_HEAD - self.bars.last().map_or(0, |bar| bar.width);
                let last = self.last();
                self.springs.keep_apart(from, last, room);
            }
        }
    }
}

/// The measure and tick of a point.
fn place(context: &Context, point: Point) -> Option<(usize, Ticks)> {
    match point {
        Point::Item { measure, item } => Some((measure, context.contents[measure].items[item].at)),
        Point::Anchor { measure, at } => Some((measure, at)),
        Point::Start | Point::Bar { .. } => None,
    }
}

fn head(context: &Context, first: usize) -> Strip {
    let mut strip = Strip::new();
    strip.gap(100);
    strip.clef();
    let measure = context.measure(first);
    if let Some(key) = context.keys[first].filter(|key| key.fifths() != 0) {
        strip.gap(170);
        strip.key(&staff::change(None, key));
    }
    if let Some(time) = measure.time {
        strip.gap(170);
        strip.time(time);
    }
    if measure.opens_repeat {
        strip.gap(190);
        strip.bar(None, true);
    }
    strip
}

fn bar(context: &Context, measure: usize, ends_system: bool) -> Strip {
    let next = context.score.measures.get(measure + 1);
    let opens = next.is_some_and(|next| next.opens_repeat);
    let mut strip = Strip::new();
    strip.bar(Some(context.division(measure)), opens && !ends_system);
    let line = strip.width;
    let key = context.key_change(measure + 1);
    if !key.is_empty() {
        strip.gap(150);
        strip.key(&key);
    }
    if let Some(time) = context.time_change(measure + 1) {
        strip.gap(150);
        strip.time(time);
    }
    if ends_system && strip.width > line {
        strip.gap(100);
    }
    strip
}

struct Builder<'a> {
    context: &'a Context<'a>,
    points: Vec<Point>,
    gaps: Vec<Gap>,
    /// How far the marks of the last point reach to the right of it, with the space they want.
    right: i64,
    /// What the gap after the last point takes at ease.
    weight: i64,
    /// The points at the left end and at each bar line.
    ends: Vec<usize>,
}

impl Builder<'_> {
    fn measure(&mut self, number: usize) {
        let content = &self.context.contents[number];
        let mut points: Vec<(Ticks, Option<usize>)> = Vec::new();
        if !content.silent {
            points.extend(
                content
                    .items
                    .iter()
                    .enumerate()
                    .map(|(i, item)| (item.at, Some(i))),
            );
        }
        for &(at, _) in &content.chords {
            if !points.iter().any(|(tick, _)| *tick == at) {
                points.push((at, None));
            }
        }
        if points.is_empty() {
            points.push((0, None));
        }
        points.sort_by_key(|&(at, item)| (at, item));
        let mut after_bar = true;
        for (rank, &(at, item)) in points.iter().enumerate() {
            let next = points.get(rank + 1).map_or(content.ticks, |next| next.0);
            let (left, right) = item.map_or((0, 0), |item| {
                reach(&content.items[item], beamed(content, item))
            });
            let space = match after_bar {
                true => AFTER_BAR,
                false => 0,
            };
            after_bar = false;
            self.gaps.push(Gap {
                least: self.right + space + left,
                weight: self.weight,
            });
            self.points.push(match item {
                Some(item) => Point::Item {
                    measure: number,
                    item,
                },
                None => Point::Anchor {
                    measure: number,
                    at,
                },
            });
            let gap = match item {
                Some(item) => NOTE_GAP + room_for_tie(content, item),
                None => 0,
            };
            self.right = right + gap;
            self.weight = weight(content, at, next.saturating_sub(at));
        }
    }

    fn bar(&mut self, number: usize, bar: &Strip) {
        self.gaps.push(Gap {
            least: self.right + BEFORE_BAR - NOTE_GAP,
            weight: self.weight,
        });
        self.ends.push(self.points.len());
        self.points.push(Point::Bar { measure: number });
        self.right = bar.width;
        self.weight = 0;
    }
}

fn room_for_tie(content: &Content, item: usize) -> i64 {
    let tied = content.items[item]
        .note
        .as_ref()
        .is_some_and(|head| head.tied);
    if tied { 250 } else { 0 }
}

/// What the gap after a tick takes at ease. A note under which a chord changes takes no more
/// than without.
fn weight(content: &Content, at: Ticks, ticks: Ticks) -> i64 {
    if content.silent {
        // An empty measure takes nearly as much as one of quarters.
        let quarters = i64::from(ticks.min(64 * QUARTER)) * 1000 / i64::from(QUARTER);
        return quarters * QUARTER_WIDTH * 6 / 10_000;
    }
    let own = content.items.iter().rev().find(|item| item.at <= at);
    let whole = own.map_or(ticks, |item| {
        let after = content.items.iter().find(|next| next.at > item.at);
        let end = after.map_or(content.ticks, |next| next.at);
        end.saturating_sub(item.at)
    });
    match whole {
        0 => at_ease(ticks),
        whole => at_ease(whole) * i64::from(ticks.min(whole)) / i64::from(whole),
    }
}
