//! Where one note of a line changes, only the findings around it do.

mod support;

use linewright_rulebook::{Around, Evaluator, FULL, Finding, hangs_on, most_by_one_note};
use linewright_study::Study;
use linewright_theory::Pitch;
use support::{Draws, composer, part, timeline};

const CHARTS: [(&str, &str); 4] = [
    (
        "| C7 | F7 | C7 | Gm7 C7 | F7 | F#dim7 | C7 | A7 | Dm7 | G7 | N.C. | C7 |",
        "| r r r r | C2 D2 E2 G2 |",
    ),
    ("time: 3/4\n| C7 | F7 | C7 | G7 |", "| C2 . E2 | F2 A2 C3 |"),
    (
        "time: 5/4\n| Dm7 G7 | Cmaj7 | Dm7 | G7 |",
        "| D2 F2 A2 G2 B1 |",
    ),
    (
        "| Dm7 | G7 | C6 | % |",
        "| D2 . A2 . | G2 . . . | C2 . G2 . | C2 . . . |",
    ),
];

fn sorted(mut findings: Vec<Finding>) -> Vec<Finding> {
    findings.sort_by_key(|finding| (finding.place, finding.rule, finding.strength));
    findings
}

#[test]
fn what_changes_with_a_note_is_what_hangs_on_it() {
    let mut draws = Draws::new(7);
    for style in ["plain", "chromatic", "grade-3", "grade-8"] {
        let composer = composer(style);
        for (chart, rhythm) in CHARTS {
            let timeline = timeline(chart);
            let bars: Vec<&str> = rhythm
                .trim_matches(['|', ' '])
                .split(" | ")
                .cycle()
                .take(timeline.bars.len())
                .collect();
            let text = format!("| {} |", bars.join(" | "));
            let line = Study::of(&composer, &timeline, &part(&text), None).line;
            let (book, style) = (composer.book(), composer.style());
            let evaluator = Evaluator::of(book);
            let mut pitch = || Pitch::new(28 + draws.below(28) as u8).unwrap();
            let mut notes: Vec<Pitch> = line.plan.slots.iter().map(|_| pitch()).collect();
            for slot in (0..notes.len()).cycle().take(3 * notes.len()) {
                let before = evaluator.findings(style, &line.plan, &notes);
                let hangs = |found: &Finding| {
                    let look = &book.entry(found.rule).rule.look;
                    hangs_on(&line.plan, look, found.place, slot)
                };
                let kept = before.iter().copied().filter(|finding| !hangs(finding));
                let mut around = Around::new(&evaluator, style, &line.plan, &notes, slot);
                around.findings_with(pitch());
                notes[slot] = pitch();
                let around = around.findings_with(notes[slot]).to_vec();
                assert!(around.iter().all(hangs));
                let after = evaluator.findings(style, &line.plan, &notes);
                for entry in book.entries() {
                    let full = |found: &[Finding]| -> i64 {
                        let of_it = found.iter().filter(|found| found.rule == entry.id);
                        of_it.map(|found| i64::from(found.strength / FULL)).sum()
                    };
                    let more = full(&after) - full(&before);
                    let most = most_by_one_note(entry.rule);
                    assert!(more.abs() <= most, "{}: {more}", entry.rule.name);
                }
                let told = kept.chain(around).collect();
                assert_eq!(sorted(told), sorted(after), "slot {slot} of {text}");
            }
        }
    }
}
