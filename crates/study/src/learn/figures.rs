//! What lines are like beside lines that are composed: a few figures of their profiles.

use linewright_compose::{Batch, Choice, Composer};
use linewright_rulebook::plan::{Dice, Purpose};
use linewright_rulebook::style::Style;
use linewright_theory::Member;

use super::progress::Teller;
use super::{LearnError, Lesson};
use crate::profile::{Direction, Measure, Profile, Reached, Value};

/// How often groups are drawn anew to see how far a figure wanders.
const RESAMPLINGS: u64 = 1000;

/// A figure of lines, beside that of lines that the base and the learned style compose over the
/// same chords.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// What it is a share of.
    pub name: &'static str,
    /// How often the lines have it, and of how many.
    pub lines: (u64, u64),
    /// Between which shares 95 % of resamplings of the groups put it.
    pub interval: (f64, f64),
    /// The same of the base's lines.
    pub base: (u64, u64),
    /// The same of the learned style's lines.
    pub learned: (u64, u64),
}

impl Figure {
    /// Whether a share lies in the interval, as exactly as a tenth of a percent.
    pub fn is_inside(&self, (times, of): (u64, u64)) -> bool {
        let (low, high) = self.interval;
        let share = times as f64 / of as f64;
        (low - 0.0005..=high + 0.0005).contains(&share)
    }
}

type Share = fn(&Profile) -> (u64, u64);

/// Of all moves, those whose size is in question.
fn moves(profile: &Profile, is: fn(i32) -> bool) -> (u64, u64) {
    let (mut times, mut of) = (0, 0);
    for measure in profile.measures() {
        let Measure::Intervals { .. } = measure else {
            continue;
        };
        for (value, count) in profile.tally(measure).into_iter().flat_map(|t| t.iter()) {
            of += count;
            if matches!(value, Value::Interval(semitones) if is(semitones.abs())) {
                times += count;
            }
        }
    }
    (times, of)
}

fn sum(profile: &Profile, measure: Measure, values: &[Value]) -> (u64, u64) {
    let times = values.iter().map(|value| profile.times(measure, *value));
    (times.sum(), profile.whole(measure))
}

fn into_one(profile: &Profile, kinds: &[Reached]) -> (u64, u64) {
    let values: Vec<Value> = kinds.iter().map(|kind| Value::Reached(*kind)).collect();
    sum(profile, Measure::IntoOne, &values)
}

fn member(profile: &Profile, member: Member) -> (u64, u64) {
    sum(profile, Measure::Members, &[Value::Member(member)])
}

#[rustfmt::skip]
const FIGURES: [(&str, Share); 22] = [
    ("root on one, new chord", |p| sum(p, Measure::RootWhereNew, &[Value::IsRoot(true)])),
    ("root on one, held chord", |p| sum(p, Measure::RootWhereHeld, &[Value::IsRoot(true)])),
    ("half step into one", |p| into_one(p, &[Reached::HalfStepFromBelow, Reached::HalfStepFromAbove])),
    ("whole step into one", |p| into_one(p, &[Reached::WholeStepFromBelow, Reached::WholeStepFromAbove])),
    ("third into one", |p| into_one(p, &[Reached::Third])),
    ("fourth or fifth into one", |p| into_one(p, &[Reached::FourthOrFifth])),
    ("the same note into one", |p| into_one(p, &[Reached::Repeat])),
    ("roots among notes", |p| member(p, Member::Root)),
    ("thirds among notes", |p| member(p, Member::Third)),
    ("fifths among notes", |p| member(p, Member::Fifth)),
    ("sevenths among notes", |p| member(p, Member::Seventh)),
    ("notes outside the scale", |p| member(p, Member::Outside)),
    ("repeated notes", |p| moves(p, |size| size == 0)),
    ("half steps", |p| moves(p, |size| size == 1)),
    ("whole steps", |p| moves(p, |size| size == 2)),
    ("thirds", |p| moves(p, |size| matches!(size, 3 | 4))),
    ("fourths", |p| moves(p, |size| size == 5)),
    ("tritones", |p| moves(p, |size| size == 6)),
    ("fifths", |p| moves(p, |size| size == 7)),
    ("wider moves", |p| moves(p, |size| size > 7)),
    ("moves up", |p| sum(p, Measure::Directions, &[Value::Direction(Direction::Up)])),
    ("bars without a cadence", |p| sum(p, Measure::Cadences, &[Value::Cadence(None)])),
];

/// The figures of lessons beside those of lines that both styles compose over their charts, one
/// for each lesson and seed.
pub(super) fn figures(
    lessons: &[Lesson],
    base: &Style,
    learned: &Style,
    seeds: std::ops::Range<u64>,
    teller: &mut Teller,
) -> Result<Vec<Figure>, LearnError> {
    let mut groups: Vec<(&str, Profile)> = Vec::new();
    for lesson in lessons {
        let profile = Profile::of(&lesson.line);
        match groups.iter_mut().find(|(name, _)| *name == lesson.group) {
            Some((_, sum)) => sum.join(&profile),
            None => groups.push((&lesson.group, profile)),
        }
    }
    let mut all = Profile::default();
    groups.iter().for_each(|(_, profile)| all.join(profile));
    let [base, learned] =
        [base, learned].map(|style| composed(lessons, style, seeds.clone(), teller));
    let (base, learned) = (base?, learned?);
    let figure = |(name, share): (&'static str, Share)| {
        let by_group: Vec<(u64, u64)> = groups.iter().map(|(_, profile)| share(profile)).collect();
        Figure {
            name,
            lines: share(&all),
            interval: interval(&by_group, seeds.start),
            base: share(&base),
            learned: share(&learned),
        }
    };
    Ok(FIGURES.into_iter().map(figure).collect())
}

/// Between which shares 95 % of resamplings lie.
fn interval(groups: &[(u64, u64)], seed: u64) -> (f64, f64) {
    let mut shares: Vec<f64> = (0..RESAMPLINGS)
        .filter_map(|nth| {
            let mut dice = Dice::new(seed, nth, Purpose::Plan);
            let drawn = groups
                .iter()
                .map(|_| groups[dice.below(groups.len() as u64) as usize]);
            let (times, of) = drawn.fold((0, 0), |sum, one| (sum.0 + one.0, sum.1 + one.1));
            (of > 0).then(|| times as f64 / of as f64)
        })
        .collect();
    shares.sort_by(f64::total_cmp);
    let at = |thousandths: usize| {
        let last = shares.len().saturating_sub(1);
        shares
            .get(last * thousandths / 1000)
            .copied()
            .unwrap_or(0.0)
    };
    (at(25), at(975))
}

/// The profile of lines that a style composes; a chart over which it has no line is passed over.
fn composed(
    lessons: &[Lesson],
    style: &Style,
    seeds: std::ops::Range<u64>,
    teller: &mut Teller,
) -> Result<Profile, LearnError> {
    let mut profile = Profile::default();
    let Ok(composer) = Composer::new(style.clone()) else {
        return Ok(profile);
    };
    let choice = Choice::Sampled {
        temperature: style.temperature,
    };
    for (nth, lesson) in lessons.iter().enumerate() {
        teller.go_on()?;
        let mut batch = Batch::new(&composer, &lesson.line.timeline);
        for seed in seeds.clone() {
            if let Ok(line) = batch.line(seed, nth as u64, choice) {
                profile.join(&Profile::of(&line));
            }
        }
    }
    teller.done()?;
    Ok(profile)
}
