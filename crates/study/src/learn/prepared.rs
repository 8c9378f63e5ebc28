//! Lines made ready to be learned from: runs, what was left out of them, and which weights they
//! can tell anything about.

use linewright_rulebook::rules::{arrival, clarity, melody, tone};
use linewright_rulebook::style::{Style, Weight};
use linewright_rulebook::{
    Evaluator, Finding, Look, RULES, Rule, RuleBook, RuleId, possible_places,
};
use linewright_theory::Pitch;

use super::model::Model;
use super::run::{Run, runs};
use super::{Asked, LearnError, Lesson};
use crate::study::between;

/// Rules that only openings and endings show.
const ENDS: [&Rule; 4] = [
    &arrival::OPENING_ROOT,
    &arrival::LONE_ROOT,
    &tone::OPEN_ENDING,
    &melody::LEAP_INTO_THE_END,
];

/// Rules that weigh a line against its plan, also where the plan wishes nothing.
const PLANNED: [&Rule; 1] = [&clarity::TENSION_OFF_PLAN];

/// What was not learned from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// Bars with notes in which the walk stops, and what is left between such bars.
    pub bars_with_gaps: usize,
    /// Bars of runs that break a limit, where limits are kept.
    pub bars_beyond_limits: usize,
    /// Notes between the beats.
    pub ornaments: usize,
}

/// A limit of the base that the lines break, and that became a weight.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Softened {
    /// The rule.
    pub rule: &'static Rule,
    /// In how many bars they break it.
    pub bars: usize,
}

/// Lines that are ready.
pub(super) struct Prepared<'a> {
    pub base: &'a Style,
    /// The base with the range of the lines.
    pub style: Style,
    pub runs: Vec<Run>,
    /// The names of the groups, in order.
    pub groups: Vec<&'a str>,
    /// How many bars the runs have.
    pub bars: usize,
    /// How often the runs have each rule, by its number.
    pub counts: Vec<usize>,
    pub left_out: LeftOut,
    pub softened: Vec<Softened>,
    /// The rules whose weights are learned, in the order of rules.
    pub free: Vec<RuleId>,
    /// Whether the lines begin and end with their tunes.
    whole: bool,
}

impl<'a> Prepared<'a> {
    pub(super) fn new(
        base: &'a Style,
        lessons: &'a [Lesson],
        asked: &Asked,
    ) -> Result<Self, LearnError> {
        let mut groups: Vec<&str> = lessons.iter().map(|lesson| &*lesson.group).collect();
        groups.sort_unstable();
        groups.dedup();
        let (mut all, mut left_out) = (Vec::new(), LeftOut::default());
        for (number, lesson) in lessons.iter().enumerate() {
            let group = groups.binary_search(&&*lesson.group).unwrap_or(0);
            let (runs, gaps) = runs(&lesson.line, number, group);
            all.extend(runs);
            left_out.bars_with_gaps += gaps;
            left_out.ornaments += between(&lesson.line);
        }
        if all.is_empty() {
            return Err(LearnError::NothingToLearn);
        }
        let counter = Evaluator::of(&RuleBook::weighed(|_, _| Weight::ZERO));
        if asked.keep_limits {
            let breaks = |run: &Run| {
                let found = counter.findings(base, &run.plan, &run.pitches);
                let forbids =
                    |found: &Finding| base.weight(found.rule.rule().name) == Weight::Never;
                found.iter().any(forbids)
            };
            all.retain(|run| {
                let breaks = breaks(run);
                left_out.bars_beyond_limits += if breaks { run.bars.len() } else { 0 };
                !breaks
            });
            if all.is_empty() {
                return Err(LearnError::LimitsBroken);
            }
        }
        let style = with_range_of(base, &all);
        for run in &mut all {
            run.plan = run.plan.clone().without_wishes(style.range.middle());
        }
        let (mut counts, mut broken) = (vec![0; RULES.len()], vec![0; RULES.len()]);
        for run in &all {
            let mut seen: Vec<(usize, usize)> = Vec::new();
            for finding in counter.findings(&style, &run.plan, &run.pitches) {
                let rule = usize::from(finding.rule.number());
                counts[rule] += 1;
                seen.push((rule, finding.place.bar(&run.plan)));
            }
            seen.sort_unstable();
            seen.dedup();
            seen.iter().for_each(|(rule, _)| broken[*rule] += 1);
        }
        let mut prepared = Self {
            base,
            style,
            bars: all.iter().map(|run| run.bars.len()).sum(),
            runs: all,
            groups,
            counts,
            left_out,
            softened: Vec::new(),
            free: Vec::new(),
            whole: asked.whole,
        };
        prepared.sort_rules(&broken);
        Ok(prepared)
    }

    /// Finds the rules whose weights the runs tell something about, and the limits that they
    /// break; `broken` tells in how many bars they have each rule.
    fn sort_rules(&mut self, broken: &[usize]) {
        for entry in RuleBook::weighed(|_, _| Weight::ZERO).entries() {
            let (rule, number) = (entry.rule, usize::from(entry.id.number()));
            let banned = self.base.weight(rule.name) == Weight::Never;
            let mut runs = self.runs.iter();
            let can = |run: &Run| !possible_places(rule, &self.style, &run.plan).is_empty();
            if self.is_left_alone(rule) || (banned && broken[number] == 0) || !runs.any(can) {
                continue;
            }
            if banned {
                let bars = broken[number];
                self.softened.push(Softened { rule, bars });
            }
            self.free.push(entry.id);
        }
    }

    /// Whether a rule's weight stays that of the base, whatever the lines have of it.
    fn is_left_alone(&self, rule: &Rule) -> bool {
        matches!(rule.look, Look::Echo(_))
            || PLANNED.contains(&rule)
            || (!self.whole && ENDS.contains(&rule))
    }

    /// The weight of a rule that is not learned, while others are.
    fn fixed(&self, rule: &Rule) -> Weight {
        match self.is_left_alone(rule) {
            true => Weight::ZERO,
            false => self.base.weight(rule.name),
        }
    }

    /// The model whose weights are learned.
    pub(super) fn model(&self, seed: u64) -> Model<'_> {
        Model::new(&self.style, seed, self.free.clone(), |rule| {
            self.fixed(rule)
        })
    }

    /// The base as it stands, weighing what the model weighs.
    pub(super) fn base_model(&self, seed: u64) -> Model<'_> {
        Model::new(self.base, seed, Vec::new(), |rule| self.fixed(rule))
    }

    /// How many notes the runs have.
    pub(super) fn notes(&self) -> usize {
        self.runs.iter().map(|run| run.pitches.len()).sum()
    }
}

/// A style with the range of some runs, where that is wider, and its heart where nine of ten of
/// their notes lie.
fn with_range_of(base: &Style, runs: &[Run]) -> Style {
    let mut style = base.clone();
    let mut pitches: Vec<Pitch> = runs.iter().flat_map(|run| run.pitches.clone()).collect();
    pitches.sort_unstable();
    if let (Some(&lowest), Some(&highest)) = (pitches.first(), pitches.last()) {
        style.range.low = style.range.low.min(lowest);
        style.range.high = style.range.high.max(highest);
        let percent = |percent: usize| pitches[(pitches.len() - 1) * percent / 100];
        (style.range.heart_low, style.range.heart_high) = (percent(5), percent(95));
    }
    style
}
