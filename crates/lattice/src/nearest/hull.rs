//! The upper hull of changes and scores, as far as prices have shown it.

use std::sync::Arc;

use super::{MOST_PRICE, Near, NotNear, Point};
use crate::dead_end::DeadEnd;
use crate::lattice::Lattice;
use crate::weight::NEVER;

/// What is known of the answer.
pub(super) struct Bracket {
    pub(super) target: i64,
    /// A path that scores too little: one on the hull, or else the reference.
    below: Option<Point>,
    /// A path on the hull that scores enough.
    pub(super) above: Point,
    /// A price under which that is the best.
    price: i64,
    /// The answer changes at least so many layers.
    pub(super) at_least: usize,
}

impl Bracket {
    /// The slope of the line from one path to the other: under it as a price both are worth the same.
    fn slope(&self) -> i64 {
        let above = &self.above;
        let slope = match &self.below {
            // So high that no path which scores enough is worth a change more than another.
            None => above.score.saturating_sub(self.target).saturating_add(1),
            Some(below) => (above.score - below.score) / (above.changes - below.changes) as i64,
        };
        slope.clamp(1, MOST_PRICE)
    }

    /// Whether its ends are no further apart, and what is left between them is soon searched.
    fn is_narrow(&self, most: usize, apart: usize) -> bool {
        let (price, best) = (self.price, &self.above);
        let enough = best.changes.min(most + 1);
        // How much more than the target a path between them could score.
        let room = || best.value(price) + price * (enough as i64 - 1) - self.target;
        self.at_least >= enough || (self.at_least + apart >= enough && room() < price / 2)
    }
}

/// A price higher or lower by a twentieth, compounded so many times: slopes of the hull are often not far apart.
fn moved(mut price: i64, times: usize, up: bool) -> i64 {
    for _ in 0..times.min(64) {
        let by = (price / 20).max(1);
        price += if up { by } else { -by };
    }
    price.clamp(0, MOST_PRICE)
}

impl Near {
    /// How many layers a path that scores so much changes at least, by the prices that were tried.
    pub(super) fn at_least(&self, target: i64) -> usize {
        let needed = self.hull.iter().filter(|(price, _)| **price > 0);
        let needed = needed.map(|(&price, best)| best.needed(price, target));
        let reference_will_do = self.score.is_some_and(|score| score >= target);
        needed
            .max()
            .unwrap_or(0)
            .max(usize::from(!reference_will_do))
    }

    /// How much more than the target a path with so many changes could score at most, by one of the prices that were
    /// tried: by the price that tells most, and which that is. A lattice that is solved under about as good a one is
    /// worth more.
    pub(super) fn closest_price(&self, target: i64, changes: usize) -> i64 {
        let room = |price: i64, best: &Point| best.value(price) + price * changes as i64 - target;
        let tried = self.hull.iter().filter(|(price, _)| **price > 0);
        let rooms = tried.map(|(&price, best)| (room(price, best), price));
        let Some((least, closest)) = rooms.min() else {
            return 1;
        };
        let solved = self.solved.as_ref().map(|(price, ..)| *price);
        let solved = solved.and_then(|price| Some((price, self.hull.get(&price)?)));
        let as_good = solved.filter(|(price, best)| room(*price, best) <= least + price / 8);
        as_good.map_or(closest, |(price, _)| price)
    }

    /// The hull narrowed down to the edge that crosses the target, or until its ends are no further apart; the last
    /// price is then that of the answer.
    pub(super) fn narrowed(
        &mut self,
        target: i64,
        most: usize,
        apart: usize,
    ) -> Result<Bracket, NotNear> {
        let at_least = self.at_least(target);
        if at_least > most && !self.hull.is_empty() {
            return Err(NotNear::TooFar { most, at_least });
        }
        let mut bracket = self.bracket(target, at_least)?;
        self.price = self.narrow(&mut bracket, most, apart);
        let at_least = bracket.at_least;
        if at_least > most {
            return Err(NotNear::TooFar { most, at_least });
        }
        Ok(bracket)
    }

    /// The edge of the hull that crosses the target, as far as the prices that were tried show it.
    fn bracket(&mut self, target: i64, at_least: usize) -> Result<Bracket, NotNear> {
        let enough = |known: &Point| known.score >= target;
        let above = self.hull.iter().filter(|(_, known)| enough(known));
        let nearer = |one, other| match other {
            (_, other_path) if Point::precedes(other_path, &self.hull[one]) => other,
            _ => (one, &self.hull[one]),
        };
        let above = above.reduce(|(one, _), other| nearer(one, other));
        let mut above = above.map(|(&price, known)| (price, known.clone()));
        // Else lower prices, the lower the more is missing, until one is low enough: paths far from the reference take
        // longer to find.
        let lowest = self.hull.first_key_value();
        let mut lowest = lowest.map(|(&price, best)| (price, best.clone()));
        let mut times = 1;
        while let Some((price, best)) = lowest.filter(|(price, _)| *price > 0 && above.is_none()) {
            let missing = best.needed(price, target) - best.changes;
            let price = moved(price, times * missing, false);
            let found = self.best_under(price)?;
            above = enough(&found).then(|| (price, found.clone()));
            lowest = Some((price, found));
            times *= 2;
        }
        let (price, above) = match above {
            Some(above) => above,
            None => (0, self.best_under(0)?),
        };
        if above.score < target {
            return Err(NotNear::TooHigh {
                target,
                best: above.score,
            });
        }
        let reference = self
            .score
            .map(|score| self.point(self.reference.clone(), score));
        let below = self.hull.values().filter(|known| !enough(known));
        let below = below.max_by_key(|known| known.score).cloned();
        Ok(Bracket {
            target,
            below: below.or(reference),
            above,
            price,
            at_least,
        })
    }

    /// Narrows a bracket; the last price.
    fn narrow(&mut self, bracket: &mut Bracket, most: usize, apart: usize) -> i64 {
        let target = bracket.target;
        let mut price = bracket.price;
        let mut times = 1;
        while !bracket.is_narrow(most, apart) {
            let is_first = bracket.below.is_none();
            // The line from the reference, which is seldom on the hull, leads too far at first.
            let from_reference = bracket
                .below
                .as_ref()
                .is_some_and(|below| below.changes == 0);
            let slope = bracket.slope();
            let much = (bracket.above.score - target) / bracket.price.max(1);
            let much = usize::try_from(much).unwrap_or(0).max(1);
            let near = moved(bracket.price, times * much + 1, true);
            let is_near = from_reference
                && bracket.price > 0
                && near < slope
                && !self.hull.contains_key(&near);
            price = if is_near { near } else { slope };
            times *= 2;
            let found = self.best_under(price).expect("some path is allowed");
            let is_no_better = |known: &Point| found.value(price) <= known.value(price);
            let below = bracket.below.as_ref();
            let is_edge = is_no_better(&bracket.above) || below.is_some_and(is_no_better);
            bracket.at_least = bracket.at_least.max(found.needed(price, target));
            if found.score < target {
                bracket.below = Some(found);
            } else if found.precedes(&bracket.above) {
                bracket.above = found;
                bracket.price = price;
            }
            let is_edge = is_edge && !is_near && !is_first;
            if is_edge || bracket.below.is_none() {
                break;
            }
        }
        price
    }

    /// The lattice in which every change costs a price.
    pub(super) fn priced(&self, price: i64) -> Lattice {
        let mut layers = self.lattice.layers.as_ref().clone();
        for (layer, &stay) in layers.iter_mut().zip(&self.reference) {
            for (k, weight) in layer.notes.iter_mut().enumerate() {
                if k != usize::from(stay) && *weight != NEVER {
                    *weight -= price as i32;
                }
            }
        }
        Lattice {
            layers: Arc::new(layers),
            ..self.lattice.clone()
        }
    }

    /// The best path when every change costs a price.
    pub(super) fn best_under(&mut self, price: i64) -> Result<Point, DeadEnd> {
        if let Some(known) = self.hull.get(&price) {
            return Ok(known.clone());
        }
        // Makes room.
        self.solved = None;
        let priced = self.priced(price);
        let (found, solved) = priced.best_and_solved(&mut self.watched);
        let Some(found) = found else {
            return Err(self.lattice.dead_end());
        };
        self.solved = solved.map(|solved| (price, self.watched.clone(), solved));
        let score = self.lattice.score(&found.path);
        let score = score.expect("prices allow nothing that is forbidden");
        let found = self.point(found.path, score);
        self.hull.insert(price, found.clone());
        Ok(found)
    }
}
