//! Invented forms with repeats, endings and jumps, as chart text.

use linewright_chart::Chart;

/// Numbers that look random and are always the same.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (self.0 >> 33) as usize % limit
    }

    fn one_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }
}

const CHORDS: [&str; 9] = [
    "C6", "Dm7", "G7", "Am7", "Fmaj7", "Em7", "A7", "Bb7", "Dm7 G7",
];

const CHANGES: [&str; 4] = ["(key: F) ", "(key: C) ", "(time: 3/4) ", "(time: 4/4) "];

/// A bar of the page.
#[derive(Default)]
struct Bar {
    opens: bool,
    ending: &'static str,
    /// What stands before its chords, and after them.
    before: String,
    after: String,
    line: &'static str,
}

/// Adds so many bars; `line` is the bar line after the last of them.
fn add(page: &mut Vec<Bar>, count: usize, line: &'static str) {
    for nth in 1..=count {
        page.push(Bar {
            line: if nth == count { line } else { "|" },
            ..Bar::default()
        });
    }
}

/// The form of a seed: parts with and without repeats, counts and endings, some of them named;
/// now and then a pick-up, changes of key and metre, and a jump of any kind, with its signs at
/// any place where a chart may have them. It is always a form that can be played.
pub fn form(seed: u64) -> String {
    let mut dice = Dice(seed);
    dice.below(2);
    loop {
        let text = attempt(&mut dice);
        if Chart::parse("form", text.as_bytes()).is_ok() {
            return text;
        }
    }
}

fn attempt(dice: &mut Dice) -> String {
    let mut page = Vec::new();
    for nth in 0..1 + dice.below(4) {
        part(dice, &mut page, nth == 0);
    }
    if dice.below(5) < 3 {
        jump(dice, &mut page);
    }
    for bar in &mut page[1..] {
        if dice.one_in(8) && bar.line == "|" {
            bar.line = "||";
        }
        if dice.one_in(12) {
            bar.before += CHANGES[dice.below(CHANGES.len())];
        }
    }
    let mut text = "title: Form\nkey: C\ntempo: 120\n".to_owned();
    if dice.one_in(5) {
        text += "pickup: 2\nG7 |\n";
    }
    for (nth, bar) in page.iter().enumerate() {
        let named = dice.one_in(7);
        if named {
            text += &format!("\n[Part {nth}]");
        }
        if named || bar.opens || !bar.ending.is_empty() {
            text += if bar.opens { "\n|:" } else { "\n|" };
        }
        let chords = CHORDS[dice.below(CHORDS.len())];
        let Bar {
            ending,
            before,
            after,
            line,
            ..
        } = bar;
        text += &format!("{ending} {before}{chords}{after} {line}");
    }
    text + "\n"
}

/// Adds a part without a repeat, with one, or with one that has endings.
fn part(dice: &mut Dice, page: &mut Vec<Bar>, first: bool) {
    let from = page.len();
    match dice.below(4) {
        0 => return add(page, 1 + dice.below(4), ["|", "||"][dice.below(2)]),
        1 | 2 => add(page, 1 + dice.below(4), [":|", ":|", ":|x3"][dice.below(3)]),
        _ => {
            add(page, 1 + dice.below(3), "|");
            let endings: [&[&str]; 5] = [
                &["1.", "2."],
                &["1.", "2."],
                &["1.", "2.", "3."],
                &["1,2.", "3."],
                &["1,3.", "2.", "4."],
            ];
            let endings = endings[dice.below(endings.len())];
            for (nth, ending) in endings.iter().enumerate() {
                let at = page.len();
                let last = nth + 1 == endings.len();
                add(page, 1 + dice.below(3), if last { "||" } else { ":|" });
                page[at].ending = ending;
            }
        }
    }
    page[from].opens = !first || dice.below(3) > 0;
}

/// Adds a jump, and a coda where it needs one.
fn jump(dice: &mut Dice, page: &mut Vec<Bar>) {
    let bars = page.len();
    let jump = if dice.one_in(2) {
        bars - 1
    } else {
        dice.below(bars)
    };
    let from = if dice.one_in(2) {
        page[dice.below(jump + 1)].before += "(segno) ";
        "D.S."
    } else {
        "D.C."
    };
    let until = match dice.below(3) {
        0 => "",
        1 => {
            page[dice.below(bars)].after += " (fine)";
            [" al fine", " al fine", ""][dice.below(3)]
        }
        _ => {
            page[dice.below(jump + 1)].after += " (to coda)";
            // Mostly a coda of its own after all the rest.
            let coda = if dice.below(4) > 0 {
                bars
            } else {
                dice.below(bars)
            };
            if coda == bars {
                let repeats = dice.one_in(4);
                add(page, 1 + dice.below(3), if repeats { ":|" } else { "|" });
                page[coda].opens = repeats;
            }
            page[coda].before += "(coda) ";
            " al coda"
        }
    };
    page[jump].after += &format!(" ({from}{until})");
}
