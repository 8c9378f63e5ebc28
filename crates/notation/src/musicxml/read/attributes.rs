//! Divisions, keys, time signatures and transposition.

use linewright_theory::{Interval, Key, Mode};

use super::clock::decimal;
use super::part::{PartReader, Transposition};
use super::tally::Kind;
use super::xml::Node;
use crate::{Ticks, TimeSignature};

impl PartReader {
    pub(super) fn attributes(&mut self, node: &Node) {
        if let Some(text) = node.text_of("divisions") {
            match decimal(text).filter(|&divisions| divisions > 0) {
                Some(divisions) => {
                    self.divided = true;
                    self.clock.divide(divisions);
                }
                None => self.count(Kind::NoDivisions),
            }
        }
        for transpose in node.all("transpose") {
            let staff = transpose.attribute("number").and_then(|n| n.parse().ok());
            let found = transposition(transpose);
            self.transpositions
                .retain(|&(known, _)| staff.is_some_and(|staff| staff != known));
            self.transpositions.push((staff.unwrap_or(0), found));
            self.transpositions.truncate(100);
        }
        if let Some(key) = node.child("key") {
            self.key(key);
        }
        if let Some(time) = node.child("time") {
            self.time(time);
        }
        let repeats = node
            .all("measure-style")
            .flat_map(|s| s.all("measure-repeat"));
        for _ in repeats.filter(|repeat| repeat.is("type", "start")) {
            self.count(Kind::MeasureRepeat);
        }
    }

    /// What leads from written to sounding pitch on a staff.
    pub(super) fn transposition(&self, staff: u8) -> Transposition {
        let of = |wanted| {
            self.transpositions
                .iter()
                .find(|(known, _)| *known == wanted)
                .map(|(_, found)| *found)
        };
        of(staff).or_else(|| of(0)).unwrap_or(Transposition::NONE)
    }

    fn key(&mut self, node: &Node) {
        let fifths = node.text_of("fifths").and_then(|text| text.parse().ok());
        let mode = match node.text_of("mode") {
            None | Some("major" | "ionian" | "none" | "") => Some(Mode::Major),
            Some("minor" | "aeolian") => Some(Mode::Minor),
            Some(_) => None,
        };
        let usual = match node.text_of("mode") {
            Some("dorian" | "phrygian" | "locrian") => Mode::Minor,
            _ => Mode::Major,
        };
        let Some(key) = fifths.and_then(|f| Key::from_fifths(f, mode.unwrap_or(usual))) else {
            self.count(Kind::OddKey);
            return;
        };
        if mode.is_none() {
            self.count(Kind::OddMode);
        }
        let interval = self.transposition(1).interval;
        let key = if interval == Interval::UNISON {
            key
        } else {
            key.transposed(interval)
        };
        self.late();
        if let Some(bar) = self.bar() {
            bar.measure.key = Some(key);
        }
    }

    fn time(&mut self, node: &Node) {
        if node.has("senza-misura") {
            self.time = None;
            return;
        }
        match signature(node) {
            Some((time, composite)) => {
                if composite {
                    self.count(Kind::CompositeTime);
                }
                self.late();
                self.time = Some(time);
                if let Some(bar) = self.bar() {
                    bar.measure.time = Some(time);
                }
            }
            None => self.count(Kind::OddTime),
        }
    }

    /// Counts a signature inside a measure.
    fn late(&mut self) {
        if self.clock.now() > 0 {
            self.count(Kind::LateSignature);
        }
    }
}

/// The time signature, and whether it is written as several.
fn signature(node: &Node) -> Option<(TimeSignature, bool)> {
    let mut pairs: Vec<(Ticks, Ticks)> = Vec::new();
    let mut composite = false;
    let units = node.all("beat-type");
    for (beats, unit) in node.all("beats").zip(units).take(16) {
        let unit: u8 = unit.text().parse().ok()?;
        if !unit.is_power_of_two() || unit > 64 {
            return None;
        }
        let mut sum: Ticks = 0;
        for part in beats.text().split('+').take(16) {
            sum += Ticks::from(part.trim().parse::<u8>().ok()?);
        }
        composite |= beats.text().contains('+');
        pairs.push((sum, Ticks::from(unit)));
    }
    composite |= pairs.len() > 1;
    let unit = pairs.iter().map(|&(_, unit)| unit).max()?;
    let beats: Ticks = pairs.iter().map(|&(beats, own)| beats * (unit / own)).sum();
    let time = TimeSignature {
        beats: u8::try_from(beats).ok().filter(|&beats| beats > 0)?,
        unit: u8::try_from(unit).ok()?,
    };
    Some((time, composite))
}

/// What a transpose element says.
fn transposition(node: &Node) -> Transposition {
    let number = |name| {
        let text = node.text_of(name)?;
        let (number, _) = super::clock::whole(decimal(text)?);
        i32::try_from(number)
            .ok()
            .filter(|n| (-48..=48).contains(n))
    };
    let chromatic = number("chromatic").unwrap_or(0);
    // Whole octaves are octaves, however they are written.
    let (octaves, semitones) = (chromatic / 12, chromatic % 12);
    let steps = number("diatonic").map(|steps| steps - 7 * octaves);
    let usual = semitones.signum()
        * [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6][semitones.unsigned_abs() as usize];
    let interval = steps
        .and_then(|steps| Interval::new(steps, semitones))
        .or_else(|| Interval::new(usual, semitones))
        .unwrap_or(Interval::UNISON);
    let mut octaves = octaves + number("octave-change").unwrap_or(0);
    if let Some(double) = node.child("double") {
        octaves += if double.is("above", "yes") { 1 } else { -1 };
    }
    Transposition {
        interval,
        octaves: octaves.clamp(-8, 8) as i8,
    }
}
