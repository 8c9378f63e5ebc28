//! The play order: a walk over the bars of the page, by the ways that its signs open.

use crate::MAX_BARS;
use crate::repeats::{self, Repeat};
use crate::road::{Road, Way};
use crate::structure::{self, Sign, Trouble};
use crate::written::{Until, WrittenBar};

/// The indices of the bars in the order in which they are played, or why they
/// cannot be.
///
/// The rules, all common practice without a source: a repeat is taken until its
/// passes are used up; a jump is taken once, the last time its bar is reached;
/// after a jump back the repeats are not taken and the last ending is played,
/// until the coda, where repeats count again.
pub(crate) fn order(bars: &[WrittenBar]) -> Result<Vec<usize>, Vec<Trouble>> {
    let mut troubles = Vec::new();
    let signs = structure::signs(bars, &mut troubles);
    let repeats = repeats::find(bars, &mut troubles);
    if !troubles.is_empty() {
        return Err(troubles);
    }
    let road = Road::new(bars, &repeats, &signs);
    let order = Walk::new(bars, &repeats)
        .go(&road)
        .map_err(|trouble| vec![trouble])?;
    let mut played = vec![false; bars.len()];
    for index in &order {
        played[*index] = true;
    }
    match played.iter().position(|played| !played) {
        None => Ok(order),
        Some(bar) => Err(vec![Trouble::new(
            bar,
            Sign::Bar,
            format!("bar {} is never played", bars[bar].number),
            "leave it out, or move the sign that jumps over it",
        )]),
    }
}

/// How far the walk is.
#[derive(Copy, Clone, PartialEq, Eq)]
enum Leg {
    /// The first time through.
    Out,
    /// After the jump at this bar.
    Back(Until, usize),
    /// In the coda.
    Coda,
}

struct Walk<'a> {
    bars: &'a [WrittenBar],
    repeats: &'a [Repeat],
    /// For each bar, the repeat it belongs to.
    member: Vec<Option<usize>>,
    jumped: Vec<bool>,
    leg: Leg,
    /// The repeat that is being played, and the pass, counted from 1.
    current: Option<usize>,
    pass: u8,
}

impl<'a> Walk<'a> {
    fn new(bars: &'a [WrittenBar], repeats: &'a [Repeat]) -> Walk<'a> {
        let mut member = vec![None; bars.len()];
        for (index, repeat) in repeats.iter().enumerate() {
            member[repeat.start..=repeat.end].fill(Some(index));
        }
        Walk {
            bars,
            repeats,
            member,
            jumped: vec![false; bars.len()],
            leg: Leg::Out,
            current: None,
            pass: 1,
        }
    }

    fn go(mut self, road: &Road) -> Result<Vec<usize>, Trouble> {
        let mut order = Vec::new();
        let mut at = 0;
        while at < self.bars.len() {
            self.enter(at);
            let Some((way, next)) = road.from(at, |way| self.is_open(at, way)) else {
                break;
            };
            if !matches!(way, Way::Past(_)) {
                if order.len() == MAX_BARS {
                    return Err(Trouble::new(
                        at,
                        Sign::Bar,
                        format!("with its repeats the chart plays more than {MAX_BARS} bars"),
                        "take fewer repeats",
                    ));
                }
                order.push(at);
            }
            self.take(at, way);
            if *way == Way::Fine {
                return Ok(order);
            }
            at = next;
        }
        match self.leg {
            Leg::Back(Until::Fine, from) => Err(self.unreached(from, "fine")),
            Leg::Back(Until::Coda, from) => Err(self.unreached(from, "to coda")),
            _ => Ok(order),
        }
    }

    fn unreached(&self, from: usize, name: &str) -> Trouble {
        Trouble::new(
            from,
            Sign::Jump,
            format!("after this jump `({name})` is never reached"),
            format!("put `({name})` between the place jumped to and this bar"),
        )
    }

    /// Counts passes from the start when a repeat is come to from outside.
    fn enter(&mut self, at: usize) {
        if self.member[at] != self.current {
            self.current = self.member[at];
            self.pass = match (self.leg, self.current) {
                (Leg::Back(..), Some(repeat)) => self.repeats[repeat].passes,
                _ => 1,
            };
        }
    }

    /// Whether a way on from a bar can be taken now.
    fn is_open(&self, at: usize, way: &Way) -> bool {
        match way {
            Way::Past(passes) => !passes.contains(&self.pass),
            Way::ToCoda => matches!(self.leg, Leg::Back(Until::Coda, _)),
            Way::Fine => matches!(self.leg, Leg::Back(Until::End | Until::Fine, _) | Leg::Coda),
            Way::Jump => !self.jumped[at] && self.is_last_time(at),
            Way::Again => {
                let repeat = self.current.map(|repeat| &self.repeats[repeat]);
                repeat.is_some_and(|repeat| self.pass < repeat.passes)
            }
            Way::On => true,
        }
    }

    /// Goes on from a bar.
    fn take(&mut self, at: usize, way: &Way) {
        match way {
            Way::ToCoda => self.leg = Leg::Coda,
            Way::Jump => {
                self.jumped[at] = true;
                if let Some(jump) = self.bars[at].jump {
                    self.leg = Leg::Back(jump.until, at);
                }
            }
            Way::Again => self.pass += 1,
            Way::Past(_) | Way::Fine | Way::On => {}
        }
        // A repeat that is left by a jump is entered anew.
        if matches!(way, Way::ToCoda | Way::Jump) {
            self.current = None;
        }
    }

    /// Whether the repeats around a bar come to it no more after this pass.
    fn is_last_time(&self, at: usize) -> bool {
        let Some(repeat) = self.current.map(|repeat| &self.repeats[repeat]) else {
            return true;
        };
        let last = repeat
            .ending_at(at)
            .and_then(|ending| ending.passes.last().copied());
        self.pass >= last.unwrap_or(repeat.passes)
    }
}
