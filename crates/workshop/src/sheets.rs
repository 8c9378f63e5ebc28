//! Staff pages of lines in all twelve keys: whether marks collide or leave the page.
//!
//! Every page is laid out with the line that the program writes in that key, style and seed, and
//! with all that can stand on it.

use std::collections::BTreeMap;
use std::sync::Arc;

use linewright_chart::Chart;
use linewright_compose::Choice;
use linewright_compose::Composer;
use linewright_engrave::{Mark, Page};
use linewright_render::{Fingers, Paper, Settings, Under, staff_pages};

use crate::shipped::in_threads;

/// The seed that lines are drawn by when none is given.
const SEED: u64 = 1;

/// What was found on pages.
#[derive(Default)]
pub struct Sheets {
    /// Lines that were engraved.
    pub lines: usize,
    /// Pages that they took.
    pub pages: usize,
    /// Marks on them.
    pub marks: usize,
    /// How often two kinds of marks collided, and the first place where they did.
    pub collisions: BTreeMap<String, (usize, String)>,
    /// Marks outside their page, each with its place.
    pub outside: Vec<String>,
}

impl Sheets {
    /// Engraves every chart in every key in every style, on A4 and Letter by turns.
    pub fn of(composers: &[Composer], charts: &[(String, Chart)], threads: usize) -> Self {
        let mut jobs = Vec::new();
        for composer in composers {
            for (name, chart) in charts {
                jobs.extend((0..12).map(|semitones| (composer, name, chart, semitones)));
            }
        }
        let mut all = Sheets::default();
        let found = in_threads(jobs.len(), threads, |job| {
            let (composer, name, chart, semitones) = jobs[job];
            let paper = [Paper::A4, Paper::Letter][job % 2];
            let style = &composer.style().name;
            let what = format!("{name} up {semitones} in style {style} on {paper:?}");
            let mut sheets = Sheets::default();
            sheets.engrave(composer, &chart.transposed_by(semitones), paper, &what);
            sheets
        });
        for sheets in found {
            all.join(sheets);
        }
        all
    }

    fn engrave(&mut self, composer: &Composer, chart: &Chart, paper: Paper, what: &str) {
        let timeline = chart.unroll().unwrap_or_else(|e| panic!("{what}: {e}"));
        let choice = Choice::Sampled {
            temperature: composer.style().temperature,
        };
        let line = composer
            .compose(&Arc::new(timeline), SEED, 0, choice)
            .unwrap_or_else(|why| panic!("{what}: {why}"));
        let settings = Settings {
            under: vec![
                Under::Degrees,
                Under::Functions,
                Under::Cadences,
                Under::Fingering(Fingers::default()),
            ],
            tension: true,
            paper,
            ..Settings::default()
        };
        let pages = staff_pages(&line, &settings).unwrap_or_else(|e| panic!("{what}: {e}"));
        self.lines += 1;
        for (page, number) in pages.iter().zip(1..) {
            self.look(page, &format!("{what}, page {number}"));
        }
    }

    fn look(&mut self, page: &Page, what: &str) {
        self.pages += 1;
        self.marks += page.marks().len();
        for (one, other) in page.collisions() {
            let mut kinds = [one.kind(), other.kind()];
            kinds.sort_unstable();
            let place = || format!("{what}: {} and {}", told(one), told(other));
            let known = self.collisions.entry(format!("{kinds:?}"));
            known.or_insert_with(|| (0, place())).0 += 1;
        }
        let outside = page.outside().into_iter();
        self.outside
            .extend(outside.map(|mark| format!("{what}: {}", told(mark))));
    }

    fn join(&mut self, other: Sheets) {
        self.lines += other.lines;
        self.pages += other.pages;
        self.marks += other.marks;
        for (kinds, (count, place)) in other.collisions {
            self.collisions.entry(kinds).or_insert((0, place)).0 += count;
        }
        self.outside.extend(other.outside);
    }

    /// How many pairs of marks collide.
    pub fn colliding(&self) -> usize {
        self.collisions.values().map(|(count, _)| count).sum()
    }

    /// Whether nothing collides and nothing leaves its page.
    pub fn are_clean(&self) -> bool {
        self.collisions.is_empty() && self.outside.is_empty()
    }
}

fn told(mark: &Mark) -> String {
    let place = mark.place().map_or(String::new(), |place| {
        format!(" of bar {} tick {}", place.measure + 1, place.tick)
    });
    format!("{:?} {:?}{place}", mark.kind(), mark.text())
}
