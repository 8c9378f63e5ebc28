//! Lines that are held out: weights are fitted to the others and tried on them.

use linewright_compose::Tables;

use super::model::Model;
use super::newton::{Prior, fit};
use super::prepared::Prepared;
use super::progress::Teller;
use super::run::Run;
use super::simple::{self, SimpleModel};
use super::{Asked, LearnError};

/// What lines that were held out cost.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldOut {
    /// Bits a note by the learned weights.
    pub bits: f64,
    /// The same by group, in the order of their names.
    pub by_group: Vec<GroupBits>,
    /// The same by simple models, learned and tried on the same lines.
    pub simple: Vec<SimpleModel>,
    /// What fewer lines taught; `None` where too few groups are left for that.
    pub growth: Option<Growth>,
}

/// What the lines of a group cost while they were held out.
#[derive(Clone, Debug, PartialEq)]
pub struct GroupBits {
    /// Its name.
    pub group: String,
    /// Bits a note.
    pub bits: f64,
    /// Notes.
    pub notes: usize,
}

/// How bits a note fall as more is learned from: a + b / notes, through two points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Growth {
    /// Notes that weights were fitted to, on the mean, and bits a note of lines held out.
    pub all: (f64, f64),
    /// The same of weights fitted to every other group.
    pub half: (f64, f64),
}

impl Growth {
    /// What lines would cost if so many notes were learned from, in bits a note.
    pub fn bits_with(&self, notes: f64) -> f64 {
        let ((n, bits), (m, half)) = (self.all, self.half);
        bits + (half - bits) / (1.0 / m - 1.0 / n) * (1.0 / notes - 1.0 / n)
    }
}

/// What the base says of the lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BaseBits {
    /// Bits a note of the runs that it allows; `None` where it allows none.
    pub bits: Option<f64>,
    /// How many runs of whole bars the lines have.
    pub runs: usize,
    /// How many of them it forbids.
    pub forbidden: usize,
}

/// Nats as bits a note.
pub(super) fn bits(nats: f64, notes: usize) -> f64 {
    -nats / std::f64::consts::LN_2 / notes.max(1) as f64
}

/// What the base says of the runs.
pub(super) fn base_bits(prepared: &Prepared, seed: u64) -> BaseBits {
    let model = prepared.base_model(seed);
    let mut tables = Tables::default();
    let book = model.book(&[]);
    let weigh = |run| Some((run, model.weigh(run, book.as_ref()?, &mut tables)?.log));
    let allowed: Vec<(&Run, f64)> = prepared.runs.iter().filter_map(weigh).collect();
    let notes = allowed.iter().map(|(run, _)| run.pitches.len()).sum();
    let nats = allowed.iter().map(|(_, log)| log).sum();
    BaseBits {
        bits: (!allowed.is_empty()).then(|| bits(nats, notes)),
        runs: prepared.runs.len(),
        forbidden: prepared.runs.len() - allowed.len(),
    }
}

/// Deals the groups into folds and holds each out once; `start` are the weights of all lines,
/// where the fits begin. `None` where there are no two folds.
pub(super) fn held_out(
    prepared: &Prepared,
    model: &Model,
    prior: &Prior,
    start: &[f64],
    asked: &Asked,
    teller: &mut Teller,
) -> Result<Option<HeldOut>, LearnError> {
    let folds = folds(prepared, asked);
    if folds == 0 {
        return Ok(None);
    }
    // Each fold begins near its end, and judges its steps exactly: half the samples will do.
    let samples = (asked.samples / 2).max(2);
    let fold_of = |run: &Run| run.group % folds;
    let mut tried = [Tried::new(prepared), Tried::new(prepared)];
    for fold in 0..folds {
        let held: Vec<&Run> = prepared
            .runs
            .iter()
            .filter(|r| fold_of(r) == fold)
            .collect();
        let kept: Vec<&Run> = prepared
            .runs
            .iter()
            .filter(|r| fold_of(r) != fold)
            .collect();
        let mut groups: Vec<usize> = kept.iter().map(|run| run.group).collect();
        groups.sort_unstable();
        groups.dedup();
        let every_other = |run: &&&Run| {
            let place = groups.binary_search(&run.group).unwrap_or(0);
            place.is_multiple_of(2)
        };
        let half: Vec<&Run> = kept.iter().filter(every_other).copied().collect();
        for (tried, kept) in tried.iter_mut().zip([&kept, &half]) {
            if !kept.is_empty() && !held.is_empty() {
                let likelihood = |weights: &[f64]| model.likelihood(kept, weights, samples);
                let fitted = fit(&likelihood, prior, start, model.by_chance(samples), teller)?;
                tried.add(model, kept, &held, &fitted.weights)?;
            }
            teller.done()?;
        }
    }
    let [all, half] = tried;
    let range = &prepared.style.range;
    let range = (range.low.midi(), range.high.midi());
    let grows = prepared.groups.len() >= 4 && half.trained < all.trained;
    Ok(Some(HeldOut {
        bits: all.bits(),
        simple: simple::held_out(&prepared.runs, range, folds, &fold_of),
        growth: grows.then(|| Growth {
            all: all.point(folds),
            half: half.point(folds),
        }),
        by_group: all.by_group(prepared),
    }))
}

/// How many folds there are: 0 where no group can be held out.
pub(super) fn folds(prepared: &Prepared, asked: &Asked) -> usize {
    match asked.folds.min(prepared.groups.len()) {
        0 | 1 => 0,
        folds => folds,
    }
}

/// What lines cost that were held out so far.
struct Tried {
    /// Nats and notes, by group.
    sums: Vec<(f64, usize)>,
    /// Notes that weights were fitted to, in all folds together.
    trained: usize,
}

impl Tried {
    fn new(prepared: &Prepared) -> Self {
        Self {
            sums: vec![(0.0, 0); prepared.groups.len()],
            trained: 0,
        }
    }

    fn add(
        &mut self,
        model: &Model,
        kept: &[&Run],
        held: &[&Run],
        weights: &[f64],
    ) -> Result<(), LearnError> {
        let told = model.likelihood(held, weights, 0);
        let told = told.ok_or(LearnError::Unreckonable)?;
        for (run, nats) in held.iter().zip(&told.by_run) {
            let (sum, notes) = &mut self.sums[run.group];
            (*sum, *notes) = (*sum + nats, *notes + run.pitches.len());
        }
        self.trained += kept.iter().map(|run| run.pitches.len()).sum::<usize>();
        Ok(())
    }

    fn bits(&self) -> f64 {
        let nats = self.sums.iter().map(|(nats, _)| nats).sum();
        bits(nats, self.sums.iter().map(|(_, notes)| notes).sum())
    }

    fn point(&self, folds: usize) -> (f64, f64) {
        (self.trained as f64 / folds as f64, self.bits())
    }

    fn by_group(&self, prepared: &Prepared) -> Vec<GroupBits> {
        let groups = prepared.groups.iter().zip(&self.sums);
        let with_notes = groups.filter(|(_, (_, notes))| *notes > 0);
        let told = |(group, &(nats, notes)): (&&str, &(f64, usize))| GroupBits {
            group: (*group).to_owned(),
            bits: bits(nats, notes),
            notes,
        };
        with_notes.map(told).collect()
    }
}
