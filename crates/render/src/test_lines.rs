//! Lines for the tests of this crate: plans as they are drawn, pitches by a plain formula.

use std::sync::Arc;

use linewright_chart::Chart;
use linewright_compose::written::on_the_beats;
use linewright_compose::{Choice, Credits, Line, Origin};
use linewright_rulebook::plan::{Dice, Plan, Purpose};
use linewright_rulebook::style::Library;
use linewright_rulebook::{RuleBook, read};
use linewright_theory::Pitch;

/// A blues with two sections and a bar of two chords.
pub(crate) const BLUES: &str = "title: Backyard blues\nkey: F\ntempo: 140\n[A]\n\
    | F7 | Bb7 | F7 | Cm7 F7 |\n[B]\n| Bb7 | Bdim7 | F7 | D7 | Gm7 | C7 | F7 D7 | Gm7 C7 |\n";

/// Everything that can change: a pick-up, metre, key and tempo, a bar without chords.
pub(crate) const CHANGING: &str = "title: Every which way\nkey: Dm\npickup: 1\n\
    | A7 | Dm7 | N.C. | (time: 3/4) Em7b5 A7b9 | (tempo: 90) Dm6 | \
    (time: 5/4) (key: F) Gm7 C7 | (time: 4/4) Fmaj7 N.C. |\n";

/// A line over a chart: chord tones from the root up in turn, kept between E1 and D3,
/// with a half step below every fourth note's successor now and then.
pub(crate) fn line(chart: &str, style: &str, seed: u64) -> Line {
    let timeline = Chart::parse("test", chart.as_bytes())
        .unwrap()
        .unroll()
        .unwrap();
    let style = Arc::new(Library::builtin().style(style).unwrap());
    let book = Arc::new(RuleBook::new(&style).unwrap());
    let mut dice = Dice::new(seed, 0, Purpose::Plan);
    let plan = Plan::draw(&timeline, &style, &mut dice);
    let mut notes = Dice::new(seed, 0, Purpose::Notes);
    let pitches: Vec<Pitch> = plan
        .slots
        .iter()
        .map(|slot| {
            let above = [0, 4, 7, 10, 2, 6][notes.below(6) as usize];
            let class = if slot.chord_starts {
                slot.ground.root
            } else {
                slot.ground.root.up(above)
            };
            Pitch::new(28 + class.up(-28).get()).unwrap()
        })
        .collect();
    let reading = read(&book, &style, &plan, &pitches);
    Line {
        written: on_the_beats(&timeline, &plan, &reading.notes),
        credits: Credits::default(),
        timeline: Arc::new(timeline),
        origin: Origin {
            style_hash: style.hash(),
            seed,
            line: 0,
            choice: Some(Choice::Sampled {
                temperature: style.temperature,
            }),
        },
        style,
        book,
        plan,
        reading,
    }
}
