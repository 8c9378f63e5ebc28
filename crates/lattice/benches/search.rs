//! Times of the searches on lattices of the usual size.

use std::sync::Arc;

use divan::{Bencher, black_box};
use linewright_lattice::{
    BigramTable, ClassTable, Lattice, LatticeBuilder, Layer, NEVER, NearestLimits, Repetition,
    Segment, TrigramTable,
};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;

fn main() {
    divan::main();
}

/// Layers in segments of four; with `full`, every segment has a prefix factor and must not repeat the one before.
fn lattice(candidates: usize, layers: usize, full: bool) -> Lattice {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let mut weight = move |spread: u64| (rng.next_u64() % (2 * spread + 1)) as i32 - spread as i32;
    let bigram = Arc::new(
        BigramTable::from_fn(candidates, |_, diff| {
            if diff.abs() > 12 { NEVER } else { weight(400) }
        })
        .unwrap(),
    );
    let trigram = Arc::new(
        TrigramTable::from_fn(candidates, |_, _, one, two| {
            if (one + two).abs() > 14 {
                NEVER
            } else {
                weight(400) - (one.abs() + two.abs()) * 20
            }
        })
        .unwrap(),
    );
    let prefix = Arc::new(
        ClassTable::from_fn(4, |_| if weight(100) == 3 { NEVER } else { weight(500) }).unwrap(),
    );
    let mut builder = LatticeBuilder::new(candidates);
    let mut shift = 0;
    for t in 0..layers {
        if t % 4 == 0 {
            shift = (shift + 7) % 12;
        }
        builder.layer(Layer {
            unary: (0..candidates)
                .map(|_| if weight(9) == 0 { NEVER } else { weight(500) })
                .collect(),
            shift,
            feature: 0x0f0f_3355_a5a5_c3c3,
            bigram: Arc::clone(&bigram),
            trigram: Arc::clone(&trigram),
        });
    }
    for at in 0..layers / 4 {
        builder.segment(Segment {
            len: 4,
            prefix: full.then(|| Arc::clone(&prefix)),
            suffix: None,
            repetition: (full && at > 0).then_some(Repetition::Classes {
                count: 3,
                weight: NEVER,
            }),
        });
    }
    builder.build().unwrap()
}

/// Every repetition is worth something, so none can be left out of the search.
fn with_rewarded_repetitions(candidates: usize, layers: usize) -> Lattice {
    let plain = lattice(candidates, layers, true);
    let mut builder = LatticeBuilder::new(candidates);
    for layer in plain.layers() {
        builder.layer(layer.clone());
    }
    for segment in plain.segments() {
        let repetition = segment.repetition.map(|_| Repetition::Classes {
            count: 3,
            weight: 40,
        });
        builder.segment(Segment {
            repetition,
            ..segment.clone()
        });
    }
    builder.build().unwrap()
}

#[divan::bench(args = [28, 33])]
fn best_bare(bencher: Bencher, candidates: usize) {
    let lattice = lattice(candidates, 128, false);
    bencher.bench(|| black_box(&lattice).best().unwrap());
}

#[divan::bench(args = [28, 33])]
fn best_full(bencher: Bencher, candidates: usize) {
    let lattice = lattice(candidates, 128, true);
    bencher.bench(|| black_box(&lattice).best().unwrap());
}

#[divan::bench(args = [28, 33])]
fn best_full_with_every_factor_active(bencher: Bencher, candidates: usize) {
    let lattice = with_rewarded_repetitions(candidates, 128);
    bencher.bench(|| black_box(&lattice).best().unwrap());
}

#[divan::bench(args = [128, 1280, 12_800], sample_count = 3)]
fn best_full_by_layers(bencher: Bencher, layers: usize) {
    let lattice = lattice(28, layers, true);
    bencher.bench(|| black_box(&lattice).best().unwrap());
}

#[divan::bench(args = [12_800], sample_count = 2)]
fn best_with_every_factor_active_by_layers(bencher: Bencher, layers: usize) {
    let lattice = with_rewarded_repetitions(28, layers);
    bencher.bench(|| black_box(&lattice).best().unwrap());
}

#[divan::bench(args = [28, 33])]
fn partition_function(bencher: Bencher, candidates: usize) {
    let lattice = lattice(candidates, 128, true);
    bencher.bench(|| black_box(&lattice).sampler(300.0).unwrap());
}

#[divan::bench(args = [28, 33])]
fn draw(bencher: Bencher, candidates: usize) {
    let sampler = lattice(candidates, 128, true).sampler(300.0).unwrap();
    let mut rng = ChaCha8Rng::seed_from_u64(11);
    let mut path = Vec::with_capacity(128);
    bencher
        .counter(divan::counter::ItemsCount::new(1u32))
        .bench_local(|| {
            sampler.draw(&mut || rng.next_u64(), &mut path);
            path[127]
        });
}

#[divan::bench(args = [28, 33], sample_count = 10)]
fn k_best_10(bencher: Bencher, candidates: usize) {
    let lattice = lattice(candidates, 128, true);
    bencher.bench(|| black_box(&lattice).k_best(10).unwrap());
}

/// Ten paths of 32 layers that differ in twelve.
#[divan::bench(args = [28, 33], sample_count = 5)]
fn apart_10(bencher: Bencher, candidates: usize) {
    let lattice = lattice(candidates, 32, true);
    bencher.bench(|| {
        let mut apart = black_box(&lattice).apart(0..32, 12);
        for _ in 0..10 {
            let found = apart.best_where(|_| true, 20_000).best.unwrap();
            apart.keep_from(found.path.iter().map(|&k| Some(k)).collect());
        }
    });
}

#[divan::bench(args = [28, 33], sample_count = 5)]
fn count(bencher: Bencher, candidates: usize) {
    let lattice = lattice(candidates, 128, true);
    bencher.bench(|| black_box(&lattice).count());
}

#[divan::bench(args = [28, 33], sample_count = 5)]
fn marginals(bencher: Bencher, candidates: usize) {
    let sampler = lattice(candidates, 128, true).sampler(300.0).unwrap();
    bencher.bench(|| black_box(&sampler).marginals());
}

/// Sixteen layers of which the first and the last four are pinned to the best path.
fn passage(candidates: usize) -> Lattice {
    let lattice = lattice(candidates, 16, true);
    let best = lattice.best().unwrap().path;
    let ends = (0..4).chain(12..16);
    let pins: Vec<_> = ends.map(|t| (t, usize::from(best[t]))).collect();
    lattice.pinned(&pins).unwrap()
}

/// Tables and the first path.
#[divan::bench(args = [28, 33])]
fn passage_tables(bencher: Bencher, candidates: usize) {
    let lattice = passage(candidates);
    bencher.bench(|| black_box(&lattice).ranked_where(|_| true, 100).next());
}

#[divan::bench(args = [28, 33])]
fn passage_prefixes(bencher: Bencher, candidates: usize) {
    const EXPANSIONS: usize = 20_000;
    let lattice = passage(candidates);
    bencher
        .counter(divan::counter::ItemsCount::new(EXPANSIONS))
        .bench(|| {
            let ranked = black_box(&lattice).ranked_where(|_| true, EXPANSIONS);
            ranked.take_while(Result::is_ok).count()
        });
}

/// From a path drawn at random, a share of the way to the best score.
#[divan::bench(args = [0.1, 0.5, 0.9], sample_count = 10)]
fn nearest(bencher: Bencher, share: f64) {
    let lattice = lattice(33, 128, true);
    let mut reference = Vec::new();
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    let sampler = lattice.sampler(2_000.0).unwrap();
    sampler.draw(&mut || rng.next_u64(), &mut reference);
    let (low, high) = (
        lattice.score(&reference).unwrap(),
        lattice.best().unwrap().score,
    );
    let target = low + ((high - low) as f64 * share) as i64;
    bencher.bench(|| {
        black_box(&lattice)
            .nearest(&reference, target, NearestLimits::default())
            .unwrap()
    });
}
