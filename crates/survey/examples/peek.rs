//! Prints lines plainly.
use linewright_chart::Chart;
use linewright_compose::Composer;
use linewright_rules::Choice;
use linewright_style::Library;
use std::sync::Arc;
fn main() {
    let a: Vec<String> = std::env::args().collect();
    let bytes = std::fs::read(&a[1]).unwrap();
    let chart = Chart::parse(&a[1], &bytes).unwrap_or_else(|e| panic!("{e}"));
    let tl = Arc::new(chart.unroll().unwrap());
    let c = Composer::new(
        Library::builtin()
            .style(&a[2])
            .unwrap_or_else(|e| panic!("{e}")),
    )
    .unwrap();
    let seeds: u64 = a[3].parse().unwrap();
    let best = a.get(4).is_some();
    for seed in 0..seeds {
        let t0 = std::time::Instant::now();
        let bench = c.workbench(&tl, seed, 0).unwrap_or_else(|e| panic!("{e}"));
        let t1 = std::time::Instant::now();
        let choice = if best {
            Choice::Best
        } else {
            Choice::Sampled {
                temperature: c.style().temperature,
            }
        };
        let line = c
            .compose(&tl, seed, 0, choice)
            .unwrap_or_else(|e| panic!("{e}"));
        let t2 = std::time::Instant::now();
        drop(bench);
        println!(
            "== seed {seed} score {} build {:?} all {:?}",
            line.reading.score,
            t1 - t0,
            t2 - t1
        );
        for b in &line.reading.bars {
            let w = &line.plan.bars[b.bar];
            print!(
                "{:>3} {:<9} ",
                b.bar + 1,
                line.plan.slots[w.slots.start].ground.chord.to_string()
            );
            for s in w.slots.clone() {
                let n = &line.reading.notes[s];
                print!(
                    "{:>5}({:>3}){}",
                    n.note.to_string(),
                    n.degree.to_string(),
                    if s + 1 < w.slots.end && line.plan.slots[s + 1].chord_starts {
                        format!(" {:<7}", line.plan.slots[s + 1].ground.chord.to_string())
                    } else {
                        String::new()
                    }
                );
            }
            println!(
                "  | {} t{}/{} {} cl{} c{} {}",
                w.role,
                b.tension,
                w.tension,
                w.clarity,
                b.clarity,
                w.centre.midi(),
                match (w.cadence, b.cadence) {
                    (Some(c), k) =>
                        format!("CAD {c} {}", if k.is_some() { "kept" } else { "MISSED" }),
                    _ => String::new(),
                }
            );
        }
    }
}
