//! The play order: a walk over the bars of the page.

use crate::MAX_BARS;
use crate::repeats::{self, Repeat};
use crate::structure::{self, Sign, Signs, Trouble};
use crate::written::{BarLine, Until, WrittenBar};

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
    let order = Walk::new(bars, &repeats, signs)
        .go()
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

/// On which way through the page the walk is.
#[derive(Copy, Clone, PartialEq, Eq)]
enum Way {
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
    signs: Signs,
    jumped: Vec<bool>,
    way: Way,
    /// The repeat that is being played, and the pass, counted from 1.
    current: Option<usize>,
    pass: u8,
}

/// What follows a bar.
enum Next {
    Go(usize),
    Stop,
}

impl<'a> Walk<'a> {
    fn new(bars: &'a [WrittenBar], repeats: &'a [Repeat], signs: Signs) -> Walk<'a> {
        let mut member = vec![None; bars.len()];
        for (index, repeat) in repeats.iter().enumerate() {
            member[repeat.start..=repeat.end].fill(Some(index));
        }
        Walk {
            bars,
            repeats,
            member,
            signs,
            jumped: vec![false; bars.len()],
            way: Way::Out,
            current: None,
            pass: 1,
        }
    }

    fn go(mut self) -> Result<Vec<usize>, Trouble> {
        let mut order = Vec::new();
        let mut at = 0;
        while at < self.bars.len() {
            self.enter(at);
            if let Some(after) = self.skips(at) {
                at = after;
                continue;
            }
            if order.len() == MAX_BARS {
                return Err(Trouble::new(
                    at,
                    Sign::Bar,
                    format!("with its repeats the chart plays more than {MAX_BARS} bars"),
                    "take fewer repeats",
                ));
            }
            order.push(at);
            match self.after(at) {
                Next::Go(next) => at = next,
                Next::Stop => return Ok(order),
            }
        }
        match self.way {
            Way::Back(Until::Fine, from) => Err(self.unreached(from, "fine")),
            Way::Back(Until::Coda, from) => Err(self.unreached(from, "to coda")),
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
            self.pass = match (self.way, self.current) {
                (Way::Back(..), Some(repeat)) => self.repeats[repeat].passes,
                _ => 1,
            };
        }
    }

    /// Where to go on when an ending for another pass begins here.
    fn skips(&self, at: usize) -> Option<usize> {
        let repeat = &self.repeats[self.current?];
        let ending = repeat.ending_at(at)?;
        (ending.first == at && !ending.passes.contains(&self.pass)).then_some(ending.last + 1)
    }

    fn after(&mut self, at: usize) -> Next {
        let bar = &self.bars[at];
        if bar.to_coda
            && let Way::Back(Until::Coda, _) = self.way
            && let Some(coda) = self.signs.coda
        {
            self.way = Way::Coda;
            self.current = None;
            return Next::Go(coda);
        }
        let heeds_fine = matches!(self.way, Way::Back(Until::End | Until::Fine, _) | Way::Coda);
        if bar.fine && heeds_fine {
            return Next::Stop;
        }
        if let Some(jump) = bar.jump
            && !self.jumped[at]
            && self.is_last_time(at)
        {
            self.jumped[at] = true;
            self.way = Way::Back(jump.until, at);
            self.current = None;
            let start = usize::from(self.bars[0].pickup);
            return Next::Go(match self.signs.segno {
                Some(segno) if jump.to_segno => segno,
                _ => start,
            });
        }
        if let (BarLine::Repeat(_), Some(repeat)) = (bar.right, self.current) {
            let repeat = &self.repeats[repeat];
            if self.pass < repeat.passes {
                self.pass += 1;
                return Next::Go(repeat.start);
            }
        }
        Next::Go(at + 1)
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
