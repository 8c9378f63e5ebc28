//! The search for the answers.

use std::ops::Range;

use linewright_compose::{Line, Origin, Passage, Tables};
use linewright_rulebook::StyleBook;
use linewright_rulebook::plan::{Clarity, Plan};
use linewright_rulebook::style::Weight;
use linewright_rulebook::{Place, Rule, read};
use linewright_theory::Pitch;

use super::strategy::{Setting, Strategy, View};
use super::{Asked, STRATEGIES, Variation, Varied, VaryError, cut};
use crate::excerpt::{excerpt, surroundings};
use crate::study::pitches;

/// Most notes of a passage.
const MOST_NOTES: usize = 32;

/// Most beginnings that are looked at for one answer: some seconds' worth.
const MOST_STEPS: usize = 2_000_000;

/// A passage of a line.
pub(super) struct Search<'a> {
    style_book: &'a StyleBook,
    line: &'a Line,
    played: Vec<Pitch>,
    bars: Range<usize>,
    /// Slots of the passage in the line.
    slots: Range<usize>,
    /// Bars that rules can see from the passage.
    around: Range<usize>,
    distance: usize,
    /// Whether the notes around break the style's limits themselves.
    lenient: bool,
}

/// One answer of a strategy.
struct Found {
    setting: Setting,
    notes: Vec<Pitch>,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        style_book: &'a StyleBook,
        line: &'a Line,
        bars: Range<usize>,
        asked: &Asked,
    ) -> Result<Self, VaryError> {
        let plan = &line.plan;
        let rows = &plan.bars[bars.clone()];
        let start = rows.first().map_or(0, |bar| bar.slots.start);
        let slots = start..rows.last().map_or(start, |bar| bar.slots.end);
        if slots.is_empty() {
            return Err(VaryError::NoNotes);
        }
        if slots.len() > MOST_NOTES {
            return Err(VaryError::TooLong {
                notes: slots.len(),
                most: MOST_NOTES,
            });
        }
        let around = surroundings(plan, bars.clone());
        let played = pitches(line);
        let part = excerpt(plan, around.clone());
        let reading = read(
            style_book.book(),
            style_book.style(),
            &part.plan,
            &played[part.slots],
        );
        let distance = asked
            .distance
            .unwrap_or_else(|| (slots.len() * 3).div_ceil(8).max(2));
        Ok(Self {
            style_book,
            line,
            played,
            bars,
            distance: distance.clamp(1, slots.len()),
            slots,
            around,
            lenient: reading.breaks_limits(),
        })
    }

    pub(super) fn run(self, asked: &Asked) -> Result<Varied, VaryError> {
        let wanted: Vec<&'static Strategy> = if asked.strategies.is_empty() {
            STRATEGIES.to_vec()
        } else {
            asked.strategies.clone()
        };
        let view = View::new(self.line, &self.bars);
        let (mut open, unfit): (Vec<_>, Vec<_>) = wanted
            .into_iter()
            .map(|strategy| (strategy, (strategy.settings)(&view)))
            .partition(|(_, settings)| !settings.is_empty());
        let mut taken: Vec<Vec<Pitch>> = vec![self.played[self.slots.clone()].to_vec()];
        let mut variations = Vec::new();
        let mut cut_short = false;
        let mut tables = Tables::default();
        while variations.len() < asked.count && !open.is_empty() {
            let mut left = Vec::new();
            for (strategy, settings) in open {
                if variations.len() == asked.count {
                    break;
                }
                let found = self.best(strategy, &settings, &taken, &mut tables, &mut cut_short)?;
                if let Some(found) = found {
                    taken.push(found.notes.clone());
                    variations.push(self.variation(strategy, found));
                    left.push((strategy, settings));
                }
            }
            open = left;
        }
        // The sort keeps the order of equals.
        variations.sort_by_key(|variation| std::cmp::Reverse(variation.worth));
        let lines = std::iter::once(self.line).chain(variations.iter().map(|v| &v.line));
        let heard = lines.map(|line| cut(line, self.around.clone())).collect();
        let named = |(strategy, _): (&'static Strategy, Vec<Setting>)| strategy;
        Ok(Varied {
            line: self.line.clone(),
            heard,
            distance: self.distance,
            variations,
            unfit: if asked.strategies.is_empty() {
                Vec::new()
            } else {
                unfit.into_iter().map(named).collect()
            },
            bars: self.bars,
            cut_short,
        })
    }

    /// The best answer of a strategy that keeps the distance from all that are taken.
    fn best(
        &self,
        strategy: &Strategy,
        settings: &[Setting],
        taken: &[Vec<Pitch>],
        tables: &mut Tables,
        cut_short: &mut bool,
    ) -> Result<Option<Found>, VaryError> {
        let mut best: Option<(i64, Found)> = None;
        for setting in settings {
            let part = excerpt(&setting.plan, self.around.clone());
            let first = self.slots.start - part.slots.start;
            let inside = first..first + self.slots.len();
            let given: Vec<Option<Pitch>> = (0..part.plan.slots.len())
                .map(|at| (!inside.contains(&at)).then(|| self.played[part.slots.start + at]))
                .collect();
            let book = self.style_book.book().with(strategy.weights, self.lenient);
            let style = self.style_book.style();
            let passage = Passage::new(&(&book).into(), style, &part.plan, &given, &[], tables);
            let passage = passage.ok_or(VaryError::TooWide)?;
            let view = View::of(&part.plan, &inside, &given, self.line, &self.bars);
            let mut notes: Vec<Pitch> = Vec::with_capacity(inside.len());
            let range = style.range.low..=style.range.high;
            let admits = |path: &[u8]| {
                if path.len() <= inside.start {
                    return true;
                }
                let end = path.len().min(inside.end);
                notes.clear();
                notes.extend(path[inside.start..end].iter().map(|&k| passage.pitch(k)));
                // Notes around may lie outside the range, those of an answer may not.
                let inside = notes.last().is_none_or(|last| range.contains(last));
                inside && self.keeps_away(&notes, taken) && (strategy.admits)(&view, &notes)
            };
            let mut ranked = passage.lattice().ranked_where(admits, MOST_STEPS);
            match ranked.next() {
                Some(Ok(scored))
                    if best.as_ref().is_none_or(|(score, _)| scored.score > *score) =>
                {
                    let notes = scored.path[inside.clone()].iter();
                    let notes = notes.map(|&k| passage.pitch(k)).collect();
                    let setting = setting.clone();
                    best = Some((scored.score, Found { setting, notes }));
                }
                Some(Err(_)) => *cut_short = true,
                Some(Ok(_)) | None => {}
            }
        }
        Ok(best.map(|(_, found)| found))
    }

    /// Whether a beginning can still differ enough from all that are taken.
    fn keeps_away(&self, notes: &[Pitch], taken: &[Vec<Pitch>]) -> bool {
        let ahead = self.slots.len() - notes.len();
        taken.iter().all(|other| {
            let changes = notes
                .iter()
                .zip(other)
                .filter(|(one, other)| one != other)
                .count();
            changes + ahead >= self.distance
        })
    }

    fn variation(&self, strategy: &'static Strategy, found: Found) -> Variation {
        let mut notes = self.played.clone();
        notes[self.slots.clone()].copy_from_slice(&found.notes);
        let changed = self
            .slots
            .clone()
            .filter(|&slot| notes[slot] != self.played[slot]);
        let changed = changed.collect();
        let own = self.worth(&self.line.plan, &self.played, &[]);
        let worth = self.worth(&found.setting.plan, &notes, strategy.weights) - own;
        let timeline = found
            .setting
            .timeline
            .unwrap_or_else(|| self.line.timeline.clone());
        let line = Line::given(self.style_book, &timeline, found.setting.plan, &notes);
        let mut line = line.written_as(self.line);
        line.origin = Origin {
            choice: None,
            ..self.line.origin
        };
        line.credits
            .composer
            .clone_from(&self.line.credits.composer);
        Variation {
            strategy,
            by: found.setting.by,
            line,
            changed,
            worth,
        }
    }

    /// The score of the passage and what is around it, with no wish for the clarity and the
    /// cadence of its bars; what the style forbids counts as a heavy price. The other weights
    /// are for the passage alone.
    fn worth(&self, plan: &Plan, notes: &[Pitch], other: &[(&Rule, Weight)]) -> i64 {
        let mut plan = plan.clone();
        for bar in &mut plan.bars[self.bars.clone()] {
            (bar.cadence, bar.clarity) = (None, Clarity::Free);
        }
        let part = excerpt(&plan, self.around.clone());
        let own = self.style_book.book().with(&[], true);
        let inside = self.style_book.book().with(other, true);
        let notes = &notes[part.slots];
        let reading = read(&own, self.style_book.style(), &part.plan, notes);
        let points = reading.findings.iter().map(|finding| {
            let bar = match finding.place {
                Place::Note(at) => part.plan.slots[at].bar,
                Place::Bar(bar) => bar,
            };
            let book = if self.bars.contains(&bar) {
                &inside
            } else {
                &own
            };
            let points = book.entry(finding.rule).weight.times(finding.strength);
            i64::from(points.unwrap_or(0))
        });
        points.sum()
    }
}
