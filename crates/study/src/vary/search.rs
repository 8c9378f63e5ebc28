//! The search for the answers.

use std::ops::Range;

use linewright_compose::{Line, Origin, Passage, Tables};
use linewright_lattice::{Apart, Scored};
use linewright_rulebook::StyleBook;
use linewright_rulebook::plan::{Clarity, Plan};
use linewright_rulebook::style::Weight;
use linewright_rulebook::{Rule, read};
use linewright_theory::Pitch;

use super::strategy::{Setting, Strategy, View};
use super::{Asked, STRATEGIES, Variation, Varied, VaryError, cut};
use crate::excerpt::{excerpt, surroundings};
use crate::study::pitches;

/// Most notes of a passage.
const MOST_NOTES: usize = 32;

/// Most steps of the search for all answers together: a second's worth.
const MOST_STEPS: usize = 500_000;

/// Most steps for one answer in one setting: what they look at is kept in memory.
const MOST_AT_ONCE: usize = 100_000;

/// Passages with no more notes are soon searched without the help that longer ones need.
const SHORT: usize = 12;

/// How many steps of those left an answer may take, where so many answers are asked for: more
/// than its share, for most take few.
fn steps_for_one(left: usize, answers: usize) -> usize {
    (left / answers.max(1) * 2).min(left / 2).min(MOST_AT_ONCE)
}

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

/// The ways of a strategy through the passage in one setting.
struct Ways {
    strategy: &'static Strategy,
    setting: Setting,
    /// The plan of the passage and what is around it, with the notes that are given there.
    plan: Plan,
    given: Vec<Option<Pitch>>,
    /// The slots of the passage in that plan.
    inside: Range<usize>,
    passage: Passage,
    apart: Apart,
    /// It keeps away from so many of the answers that are taken.
    away_from: usize,
    /// The best that keeps away from them.
    best: Option<Scored>,
}

/// What a step costs in hundredths: more where a line of many octaves makes many candidates.
fn cost_of_a_step(candidates: usize) -> usize {
    const USUAL: usize = 40;
    (candidates.pow(2) * 100 / USUAL.pow(2)).max(100)
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
        let mut tables = Tables::default();
        let (mut open, mut unfit) = (Vec::new(), Vec::new());
        for strategy in wanted {
            let settings = (strategy.settings)(&view);
            if settings.is_empty() {
                unfit.push(strategy);
                continue;
            }
            let ways = settings.into_iter();
            let ways = ways.map(|setting| self.ways(strategy, setting, &mut tables));
            open.push((strategy, ways.collect::<Result<Vec<_>, _>>()?));
        }
        drop(tables);
        let own = self.worth(&self.line.plan, &self.played, &[]);
        let mut taken: Vec<Vec<Pitch>> = vec![self.played[self.slots.clone()].to_vec()];
        let mut variations: Vec<Variation> = Vec::new();
        let (mut cut_short, mut steps) = (false, MOST_STEPS);
        while variations.len() < asked.count && !open.is_empty() {
            let mut left = Vec::new();
            for (strategy, mut ways) in open {
                if variations.len() == asked.count {
                    break;
                }
                let most = steps_for_one(steps, asked.count - variations.len());
                let found = self.best(&mut ways, &taken, most, &mut steps, &mut cut_short);
                if let Some(found) = found {
                    taken.push(found.notes.clone());
                    variations.push(self.variation(strategy, found, own));
                    left.push((strategy, ways));
                }
            }
            open = left;
        }
        // The sort keeps the order of equals.
        variations.sort_by_key(|variation| std::cmp::Reverse(variation.worth));
        let lines = std::iter::once(self.line).chain(variations.iter().map(|v| &v.line));
        let heard = lines.map(|line| cut(line, self.around.clone())).collect();
        if asked.strategies.is_empty() {
            unfit.clear();
        }
        Ok(Varied {
            line: self.line.clone(),
            heard,
            distance: self.distance,
            variations,
            unfit,
            bars: self.bars,
            cut_short,
        })
    }

    /// The ways of a strategy in one of its settings.
    fn ways(
        &self,
        strategy: &'static Strategy,
        setting: Setting,
        tables: &mut Tables,
    ) -> Result<Ways, VaryError> {
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
        let mut apart = passage.lattice().apart(inside.clone(), self.distance);
        if inside.len() > SHORT {
            apart = apart.with_multipliers();
        }
        Ok(Ways {
            strategy,
            setting,
            plan: part.plan,
            given,
            inside,
            passage,
            apart,
            away_from: 0,
            best: None,
        })
    }

    /// The best answer of a strategy that keeps the distance from all that are taken; in each setting at most so many
    /// steps are taken, which are taken off `steps`.
    fn best(
        &self,
        settings: &mut [Ways],
        taken: &[Vec<Pitch>],
        most: usize,
        steps: &mut usize,
        cut_short: &mut bool,
    ) -> Option<Found> {
        for ways in settings.iter_mut() {
            let cost = cost_of_a_step(ways.passage.lattice().candidates());
            let spent = self.search(ways, taken, most.min(*steps) * 100 / cost, cut_short);
            *steps = steps.saturating_sub(spent * cost / 100);
        }
        let mut best: Option<(i64, &Ways, &Scored)> = None;
        for ways in settings.iter() {
            if let Some(found) = &ways.best
                && best.is_none_or(|(score, ..)| found.score > score)
            {
                best = Some((found.score, ways, found));
            }
        }
        let (_, ways, found) = best?;
        let notes = found.path[ways.inside.clone()].iter();
        Some(Found {
            setting: ways.setting.clone(),
            notes: notes.map(|&k| ways.passage.pitch(k)).collect(),
        })
    }

    /// Brings the best way of a setting up to date; gives the steps that it took.
    fn search(
        &self,
        ways: &mut Ways,
        taken: &[Vec<Pitch>],
        most: usize,
        cut_short: &mut bool,
    ) -> usize {
        // Where nothing was left, nothing comes again.
        if ways.away_from > 0 && ways.best.is_none() {
            return 0;
        }
        let passage = &ways.passage;
        for notes in &taken[ways.away_from..] {
            let path = notes.iter().map(|note| passage.candidate(*note)).collect();
            ways.apart.keep_from(path);
        }
        ways.away_from = taken.len();
        // What was the best still is, where it keeps away from what was taken since.
        let best = ways.best.as_ref();
        if best.is_some_and(|best| ways.apart.is_apart(&best.path)) {
            return 0;
        }
        let view = View::of(&ways.plan, &ways.inside, &ways.given, self.line, &self.bars);
        let style = self.style_book.style();
        let range = style.range.low..=style.range.high;
        let inside = &ways.inside;
        let mut notes: Vec<Pitch> = Vec::with_capacity(inside.len());
        let admits = |path: &[u8]| {
            if path.len() <= inside.start {
                return true;
            }
            let end = path.len().min(inside.end);
            notes.clear();
            notes.extend(path[inside.start..end].iter().map(|&k| passage.pitch(k)));
            // Notes around may lie outside the range, those of an answer may not.
            let in_range = notes.last().is_none_or(|last| range.contains(last));
            in_range && (ways.strategy.admits)(&view, &notes)
        };
        let found = ways.apart.best_where(admits, most);
        *cut_short |= !found.proven;
        ways.best = found.best;
        found.steps
    }

    /// An answer; `own` is the worth of the line's own passage.
    fn variation(&self, strategy: &'static Strategy, found: Found, own: i64) -> Variation {
        let mut notes = self.played.clone();
        notes[self.slots.clone()].copy_from_slice(&found.notes);
        let changed = self
            .slots
            .clone()
            .filter(|&slot| notes[slot] != self.played[slot]);
        let changed = changed.collect();
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
            let bar = finding.place.bar(&part.plan);
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
