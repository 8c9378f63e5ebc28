//! Lines over the shipped charts in the shipped styles.
//!
//! What is shipped must work: everything here panics with what does not.

use std::ops::RangeInclusive;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use linewright_chart::{Chart, Timeline};
use linewright_compose::{Batch, Composer};
use linewright_compose::{Choice, Line};
use linewright_rulebook::style::Library;

/// Lines to be made, one for each seed.
pub struct Wanted<'a> {
    /// The chart as played.
    pub chart: &'a Arc<Timeline>,
    /// The style's composer.
    pub composer: &'a Composer,
    /// The seeds.
    pub seeds: RangeInclusive<u64>,
}

/// The charts in `examples/` as written, by the names of their files, in order.
pub fn written() -> Vec<(String, Chart)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let files = std::fs::read_dir(&folder).expect("the folder of examples");
    let mut paths: Vec<_> = files
        .map(|file| file.expect("a file of the folder").path())
        .filter(|path| path.extension().is_some_and(|e| e == "chart"))
        .collect();
    paths.sort();
    assert!(paths.len() >= 20, "only {} charts", paths.len());
    let read = |path: &Path| {
        let name = path.file_stem().expect("a name").to_string_lossy();
        let bytes = std::fs::read(path).expect("a chart that can be read");
        let chart = Chart::parse(&name, &bytes).unwrap_or_else(|e| panic!("{e}"));
        (name.into_owned(), chart)
    };
    paths.iter().map(|path| read(path)).collect()
}

/// The same charts as played.
pub fn charts() -> Vec<(String, Arc<Timeline>)> {
    let played = |(name, chart): (String, Chart)| {
        let timeline = chart.unroll().unwrap_or_else(|e| panic!("{e}"));
        (name, Arc::new(timeline))
    };
    written().into_iter().map(played).collect()
}

/// A composer for every shipped style.
pub fn composers() -> Vec<Composer> {
    let library = Library::builtin();
    Library::builtin_names()
        .map(|name| {
            library
                .style(name)
                .and_then(Composer::new)
                .unwrap_or_else(|e| panic!("{e}"))
        })
        .collect()
}

/// Lines of these seeds in every style, in order of style, then of chart. Each style goes with
/// every `nth` chart, so that all charts take part.
pub fn pairs<'a>(
    composers: &'a [Composer],
    charts: &'a [(String, Arc<Timeline>)],
    nth: usize,
    seeds: RangeInclusive<u64>,
) -> Vec<Wanted<'a>> {
    let mut pairs = Vec::new();
    for (s, composer) in composers.iter().enumerate() {
        for (_, chart) in charts.iter().skip(s % nth).step_by(nth) {
            pairs.push(Wanted {
                chart,
                composer,
                seeds: seeds.clone(),
            });
        }
    }
    pairs
}

/// Makes the lines that are wanted, on so many threads, and hands each set of seeds to `look`;
/// what it finds comes back in the order of what was wanted.
pub fn compose<T: Send>(
    wanted: &[Wanted],
    threads: usize,
    look: impl Fn(&[Line]) -> T + Sync,
) -> Vec<T> {
    in_threads(wanted.len(), threads, |job| look(&lines(&wanted[job])))
}

/// Does so many jobs on so many threads; what they find comes back in their order.
pub fn in_threads<T: Send>(
    jobs: usize,
    threads: usize,
    work: impl Fn(usize) -> T + Sync,
) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut found = Vec::new();
        loop {
            let job = next.fetch_add(1, Ordering::Relaxed);
            if job >= jobs {
                return found;
            }
            found.push((job, work(job)));
        }
    };
    let mut all: Vec<(usize, T)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads).map(|_| scope.spawn(worker)).collect();
        workers
            .into_iter()
            .flat_map(|w| w.join().expect("a thread that ends well"))
            .collect()
    });
    all.sort_by_key(|(job, _)| *job);
    all.into_iter().map(|(_, found)| found).collect()
}

/// Sampled lines at the style's own temperature, the first of each seed.
fn lines(wanted: &Wanted) -> Vec<Line> {
    let style = wanted.composer.style();
    let choice = Choice::Sampled {
        temperature: style.temperature,
    };
    let mut batch = Batch::new(wanted.composer, wanted.chart);
    let mut line = |seed| {
        batch.line(seed, 0, choice).unwrap_or_else(|why| {
            panic!(
                "{} in style {}, seed {seed}: {why}",
                wanted.chart.title, style.name
            )
        })
    };
    wanted.seeds.clone().map(&mut line).collect()
}
