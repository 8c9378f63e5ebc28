//! Bars of a chart that a line leaves without notes: what they cost.

mod support;

use linewright_study::Study;
use linewright_study::mark::{Asked, Fix, Marked, Scheme, mark};
use support::{composer, part, timeline};

const CHART: &str = "key: F\n| F7 | Bb7 | F7 | F7 | Bb7 | Bb7 | F7 | F7 | C7 | Bb7 | F7 | C7 |";

/// Twelve good bars.
const WHOLE: [&str; 12] = [
    "F2 A2 C3 A2",
    "Bb2 Ab2 F2 E2",
    "F2 G2 A2 C3",
    "F2 Eb2 C2 A1",
    "Bb1 D2 F2 Ab2",
    "Bb2 F2 D2 E2",
    "F2 C2 A1 G1",
    "F1 A1 C2 B1",
    "C2 D2 E2 G2",
    "Bb2 F2 D2 E2",
    "F2 A2 G2 F2",
    "C2 E2 G2 E2",
];

fn marked(bars: &[&str]) -> Marked {
    let composer = composer("plain");
    let text = format!("| {} |", bars.join(" | "));
    let study = Study::of(&composer, &timeline(CHART), &part(&text), None);
    let asked = Asked {
        mends: true,
        fix: Some(24),
    };
    Marked::of(&composer, study, asked)
}

#[test]
fn a_line_that_ends_early_loses_the_share_of_every_bar_that_it_lacks() {
    let whole = marked(&WHOLE);
    assert!(whole.mark.passes(), "{:?}", whole.mark);
    println!("{:#?}", whole.mark);
    for written in [11, 9, 6, 3] {
        let early = marked(&WHOLE[..written]);
        assert_eq!(early.study.silent, (written..12).collect::<Vec<_>>());
        println!("{written}: {:#?}", early.mark);
        assert!(early.mark.got() <= early.mark.total() * written as i64 / 12 + 10);
    }
}

#[test]
fn silence_between_costs_as_much_as_silence_at_the_end() {
    let mut bars = WHOLE;
    bars[4] = "r r r r";
    let lacking = marked(&bars);
    assert_eq!(lacking.study.silent, [4]);
    assert!(lacking.mark.got() <= lacking.mark.total() * 11 / 12 + 10);
}

#[test]
fn where_too_many_bars_are_silent_no_change_of_notes_is_offered() {
    let early = marked(&WHOLE[..4]);
    assert!(!early.mark.passes());
    assert_eq!(early.fix, Some(Fix::MoreNotes));
}

#[test]
fn a_fix_counts_the_silent_bars_too() {
    let mut bars = WHOLE;
    bars[11] = "r r r r";
    for bar in &mut bars[..10] {
        *bar = "B1 F#2 B1 F#2";
    }
    let poor = marked(&bars);
    assert!(!poor.mark.passes());
    let Some(Fix::Changes(changes) | Fix::AtMost(changes)) = &poor.fix else {
        panic!("{:?}", poor.fix);
    };
    let mut notes = poor.study.pitches();
    for change in changes {
        notes[change.slot] = change.pitch;
    }
    // Read again under the same plan.
    let (composer, line) = (composer("plain"), &poor.study.line);
    let mended =
        linewright_compose::Line::given(&composer, &line.timeline, line.plan.clone(), &notes);
    let scheme = Scheme::of(
        composer.book(),
        composer.style(),
        &line.timeline,
        &line.plan,
        1,
    );
    let mended = mark(&mended, &scheme);
    assert!(mended.passes(), "{mended:?}");
    assert!(mended.got() <= mended.total() * 11 / 12);
}
