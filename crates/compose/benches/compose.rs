//! How long it takes to compose: `cargo bench -p linewright-compose`.

use std::sync::Arc;

use divan::{Bencher, black_box};
use linewright_chart::{Chart, Timeline};
use linewright_compose::Choice;
use linewright_compose::{Batch, Composer};
use linewright_rulebook::plan::{Dice, Purpose};
use linewright_rulebook::style::Library;

fn main() {
    divan::main();
}

/// Thirty-two bars in four: an AABA of its own, 128 notes a chorus.
const FORM: &str = "key: F\n[A]\n| Fmaj7 | D7 | Gm7 | C7 | Am7 D7 | Gm7 C7 | F6 | Gm7 C7 |\n\
    [A]\n| Fmaj7 | D7 | Gm7 | C7 | Am7 D7 | Gm7 C7 | F6 | Cm7 F7 |\n\
    [B]\n| Bbmaj7 | Bbm7 Eb7 | Fmaj7 | % | Bm7b5 | E7 | Am7 D7 | Gm7 C7 |\n\
    [A]\n| Fmaj7 | D7 | Gm7 | C7 | Am7 D7 | Gm7 C7 | F6 | Gm7 C7 |\n";

fn form(choruses: usize) -> Arc<Timeline> {
    let chart = Chart::parse("bench", FORM.as_bytes()).expect("the chart is right");
    let timeline = chart.unroll().expect("the chart is right");
    Arc::new(timeline.choruses(choruses).expect("few choruses"))
}

fn composer() -> Composer {
    let style = Library::builtin().style("plain").expect("a shipped style");
    Composer::new(style).expect("a shipped style")
}

/// The tables and the lattice of 32 bars, nothing kept from before.
#[divan::bench]
fn build_32_bars(bencher: Bencher) {
    let (composer, timeline) = (composer(), form(1));
    bencher.bench(|| {
        composer
            .workbench(black_box(&timeline), 1, 0)
            .expect("a line")
            .lattice()
            .len()
    });
}

/// The best line of 32 bars in a lattice that is built.
#[divan::bench]
fn best_32_bars(bencher: Bencher) {
    let bench = composer().workbench(&form(1), 1, 0).expect("a line");
    bencher.bench(|| black_box(bench.lattice()).best().expect("a line").score);
}

/// The forward pass of sampling, 32 bars.
#[divan::bench]
fn forward_32_bars(bencher: Bencher) {
    let bench = composer().workbench(&form(1), 1, 0).expect("a line");
    bencher.bench(|| {
        black_box(bench.lattice())
            .sampler(700.0)
            .expect("a line")
            .log_partition()
    });
}

/// One sampled line of 32 bars after the forward pass.
#[divan::bench]
fn draw_32_bars(bencher: Bencher) {
    let bench = composer().workbench(&form(1), 1, 0).expect("a line");
    let sampler = bench.lattice().sampler(700.0).expect("a line");
    let mut dice = Dice::new(1, 0, Purpose::Notes);
    let mut path = Vec::new();
    bencher.bench_local(|| {
        sampler.draw(&mut || dice.bits(), &mut path);
        path.len()
    });
}

/// Plan, tables, draw and reading of a line of 32 bars, tables kept.
#[divan::bench]
fn whole_line_in_a_batch(bencher: Bencher) {
    let (composer, timeline) = (composer(), form(1));
    let mut batch = Batch::new(&composer, &timeline);
    let mut line = 0;
    bencher.bench_local(|| {
        line += 1;
        batch
            .line(1, line, Choice::Sampled { temperature: 700 })
            .expect("a line")
            .reading
            .score
    });
}

/// The best line of 3,200 bars in a lattice that is built.
#[divan::bench(sample_count = 5)]
fn best_3200_bars(bencher: Bencher) {
    let bench = composer().workbench(&form(100), 1, 0).expect("a line");
    bencher.bench(|| black_box(bench.lattice()).best().expect("a line").score);
}
