//! The grades' own devices: where they are asked for, and where they are.

use std::collections::BTreeSet;

use linewright_rulebook::plan::{Cadence, Clarity};
use linewright_rulebook::style::DevicesOver;
use linewright_theory::Member;

use super::Judge;
use super::clarity::CLEAR;
use super::stock;

impl Judge<'_> {
    /// The pairs of bars in which one of the grade's devices is asked for.
    pub(super) fn pairs_of_bars(&self) -> Vec<[usize; 2]> {
        let bars: Vec<usize> = (0..self.plan.bars.len())
            .filter(|&bar| self.plan.bars[bar].slots.len() > 1)
            .filter(|&bar| !self.timeline.bars[bar].pickup)
            .collect();
        let devices = &self.style.marks.devices;
        if devices.is_empty() {
            return Vec::new();
        }
        let mut pairs = Vec::new();
        match self.style.marks.devices_over {
            DevicesOver::AnyHarmony => {
                for two in bars.chunks_exact(2) {
                    let room = two.iter().any(|bar| self.has_room(*bar));
                    if two[0] + 1 == two[1] && room {
                        pairs.push([two[0], two[1]]);
                    }
                }
            }
            DevicesOver::OneChord => {
                let mut at = 0;
                while at + 1 < bars.len() {
                    let pair = [bars[at], bars[at + 1]];
                    let slots =
                        self.plan.bars[pair[0]].slots.start..self.plan.bars[pair[1]].slots.end;
                    let one = slots.skip(1).all(|at| !self.is_new_chord(at));
                    if pair[0] + 1 == pair[1] && one {
                        pairs.push(pair);
                        at += 1;
                    }
                    at += 1;
                }
            }
        }
        pairs
    }

    /// Whether a bar has room for one of the grade's devices.
    fn has_room(&self, bar: usize) -> bool {
        let plan = &self.plan.bars[bar];
        let leads_on = plan
            .slots
            .clone()
            .any(|at| !self.is_last_note(at) && self.bass(at) != self.bass(at + 1));
        let devices = self.style.marks.devices.iter();
        devices.into_iter().any(|device| match device.as_str() {
            "own-root-cadence" => plan.cadence == Some(Cadence::OwnRoot),
            "next-root-cadence" => plan.cadence == Some(Cadence::NextRoot),
            "early-root" => leads_on,
            _ => true,
        })
    }

    /// The grade's devices that are in two bars. An approach belongs to the bar of the note that
    /// approaches.
    pub fn devices_in(&self, pair: [usize; 2]) -> BTreeSet<&'static str> {
        let mut found = BTreeSet::new();
        for bar in pair {
            let row = self.plan.bars[bar].slots.clone();
            for at in row.clone() {
                found.extend(self.devices_of_note(at));
            }
            let plan = &self.plan.bars[bar];
            if plan.cadence == Some(Cadence::OwnRoot) && self.closes(bar) {
                found.insert("own-root-cadence");
            }
            if self.begins_like_the_bar_before(bar) == Some(false) {
                found.insert("sequence");
            }
            if self.is_reordered(bar) {
                found.insert("reordered-cell");
            }
            if plan.clarity == Clarity::Ambiguous && self.fits_and_is_unclear(bar) {
                found.insert("ambiguous-bar");
            }
        }
        let devices = &self.style.marks.devices;
        found.retain(|name| devices.iter().any(|device| device == name));
        found
    }

    fn devices_of_note(&self, at: usize) -> Vec<&'static str> {
        let member = self.member(at);
        let plan = &self.plan.bars[self.slot(at).bar];
        let row = plan.slots.clone();
        let next = (!self.is_last_note(at)).then_some(at + 1);
        let mut devices = vec![
            ("third", member == Member::Third),
            ("seventh", member == Member::Seventh),
            ("colour-tone", member == Member::Colour),
            ("third-arrival", member == Member::Third && self.arrives(at)),
            ("fifth-arrival", member == Member::Fifth && self.arrives(at)),
            (
                "seventh-arrival",
                member == Member::Seventh && self.arrives(at),
            ),
        ];
        if at > 0 {
            let size = self.into(at).abs();
            devices.push(("octave", size == 12));
            devices.push(("register-shift", self.slot(at).shift && size >= 8));
        }
        if at > 1 {
            let (first, second) = (self.into(at - 1), self.into(at));
            let run = [1..=2, -2..=-1]
                .iter()
                .any(|way| way.contains(&first) && way.contains(&second));
            devices.push(("scale-run", run));
        }
        if let Some(next) = next {
            let lands = self.arrives(next) && self.is_tone(next);
            let (size, into) = (self.into(next).abs(), self.into(next));
            devices.extend([
                ("half-step-approach", lands && size == 1),
                ("scale-step-approach", lands && size == 2),
                (
                    "dominant-approach",
                    lands && self.member(next) == Member::Root && [-7, 5].contains(&into),
                ),
                ("early-root", self.has_early_root(at)),
                (
                    "next-root-cadence",
                    plan.cadence == Some(Cadence::NextRoot)
                        && next == row.end
                        && self.is_root_of_next(at),
                ),
            ]);
            if at > 0 && lands {
                let [far, near] = [at - 1, at].map(|from| self.midi(from) - self.midi(next));
                let around = [far, near].iter().all(|away| (1..=2).contains(&away.abs()));
                devices.extend([
                    ("enclosure", around && (far > 0) != (near > 0)),
                    (
                        "double-chromatic-approach",
                        near.abs() == 1 && far == 2 * near,
                    ),
                ]);
            }
        }
        let found = devices.into_iter().filter(|(_, is)| *is);
        found.map(|(name, _)| name).collect()
    }

    /// Whether a bar of four notes over one chord has the degrees of a stock cell in another
    /// order.
    fn is_reordered(&self, bar: usize) -> bool {
        let row = self.row(bar);
        let one_chord = row.clone().skip(1).all(|at| !self.is_new_chord(at));
        row.len() == 4 && one_chord && stock::is_reordered(&self.cell(row))
    }

    fn fits_and_is_unclear(&self, bar: usize) -> bool {
        let mut first = self.first_part(bar).take(3);
        first.all(|at| self.member(at) != Member::Outside) && self.clarity(bar) < CLEAR
    }
}
