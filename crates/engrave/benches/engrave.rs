//! How long a page takes: 32 bars with two rows under the notes.
//!
//! `cargo bench -p linewright-engrave`

use linewright_engrave::{Options, Page, pages};
use linewright_notation::Score;

#[path = "../tests/support/mod.rs"]
mod support;

fn main() {
    divan::main();
}

fn score() -> Score {
    let bars = "Bbmaj7: Bb1 D2 F2 A2 | Cm7 F7b9: C2 Eb2 F2/ Gb2/ A1 |".repeat(16);
    let score = support::tune("Thirty-Two", "Bb", 4, &bars);
    support::with_rows(
        score,
        &[
            &["1", "3", "5", "b7"],
            &["root", "half step", "", "scale step"],
        ],
    )
}

fn laid_out() -> Vec<Page> {
    let score = score();
    pages(&score, &support::everything(&score))
}

#[divan::bench]
fn lay_out(bencher: divan::Bencher) {
    let score = score();
    let options = Options {
        tension: support::arch(32),
        ..Options::default()
    };
    bencher.bench_local(|| pages(&score, &options));
}

#[divan::bench]
fn svg(bencher: divan::Bencher) {
    let pages = laid_out();
    bencher.bench_local(|| pages.iter().map(Page::svg).collect::<Vec<_>>());
}

#[cfg(feature = "print")]
#[divan::bench]
fn pdf(bencher: divan::Bencher) {
    let pages = laid_out();
    bencher.bench_local(|| linewright_engrave::pdf(&pages).unwrap());
}

#[cfg(feature = "print")]
#[divan::bench]
fn png_of_150_dots_an_inch(bencher: divan::Bencher) {
    let pages = laid_out();
    bencher.bench_local(|| pages[0].png(150).unwrap());
}
