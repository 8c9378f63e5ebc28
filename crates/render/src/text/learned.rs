//! The page of what was learned from lines.

use linewright_diagnostic::clean::one_line;
use linewright_rulebook::style::Weight;
use linewright_study::learn::{BaseBits, Guess, HeldOut, Learned, Outlier, Places, Residual};

use super::Options;
use super::paint::{Paint, Part};
use super::table::figures;
use crate::numbers::{percent, points};
use crate::wording::study::count;

/// How many of the things that the rulebook does not hear are told at most.
const MOST_RESIDUALS: usize = 10;

/// The page of what was learned. Ends with a line break.
pub fn learned(learned: &Learned, options: &Options) -> String {
    let paint = Paint::new(options.colour);
    let mut page = paint.paint(Part::Title, "learned from lines") + "\n";
    page.push_str(&format!(
        "{} in {}: {}, {}; begun with {}\n",
        count(learned.lines, "line"),
        count(learned.groups, "group"),
        count(learned.bars, "bar"),
        count(learned.notes, "note"),
        one_line(&learned.base),
    ));
    page.push_str(&left_out(learned));
    let mut section = |title: &str, text: String| {
        if !text.is_empty() {
            page.push_str(&format!("\n{}\n{text}", paint.paint(Part::Section, title)));
        }
    };
    section("bits a note: the fewer, the better", bits(learned, paint));
    if let Some(held) = &learned.held_out {
        section("held out, by group", by_group(held, paint));
    }
    section("limits that became weights", softened(learned));
    section("weights, in points", weights(learned, paint));
    section("what the lines are like, in %", like(learned, paint));
    section("bars to listen to again", listen(&learned.outliers));
    section("what this rulebook cannot say", doubts(&learned.residuals));
    section("more lines", growth(learned));
    page
}

fn left_out(learned: &Learned) -> String {
    let left = &learned.left_out;
    let mut told = Vec::new();
    if left.bars_with_gaps > 0 {
        let bars = count(left.bars_with_gaps, "bar");
        told.push(format!("{bars} that the walk does not fill"));
    }
    if left.bars_beyond_limits > 0 {
        let bars = count(left.bars_beyond_limits, "bar");
        told.push(format!("{bars} of runs that break a limit"));
    }
    if left.ornaments > 0 {
        told.push(count(left.ornaments, "note") + " between the beats");
    }
    match told.is_empty() {
        true => String::new(),
        false => format!("left out: {}\n", told.join("; ")),
    }
}

/// Two decimals.
fn hundredths(number: f64) -> String {
    format!("{number:.2}")
}

fn bits(learned: &Learned, paint: Paint) -> String {
    let row = |name: &str, bits: f64| vec![name.to_owned(), hundredths(bits)];
    let mut rows = Vec::new();
    if let Some(held) = &learned.held_out {
        rows.push(row("learned, lines held out", held.bits));
    }
    rows.push(row("learned, the lines themselves", learned.fitted_bits));
    let base = format!("{}, as it is", one_line(&learned.base));
    let BaseBits {
        bits,
        runs,
        forbidden,
    } = learned.base_bits;
    let name = match forbidden {
        0 => base,
        _ => format!("{base}: it forbids {forbidden} of {}", count(runs, "run")),
    };
    rows.push(match bits {
        Some(bits) if forbidden > 0 => row(&format!("{name}, and of the others"), bits),
        Some(bits) => row(&name, bits),
        None => vec![name, "–".to_owned()],
    });
    let simple = learned.held_out.iter().flat_map(|held| &held.simple);
    rows.extend(simple.map(|model| row(&format!("held out: {}", model.name), model.bits)));
    figures(&["by", "bits"].map(str::to_owned), &rows, paint)
}

fn by_group(held: &HeldOut, paint: Paint) -> String {
    let rows: Vec<Vec<String>> = held
        .by_group
        .iter()
        .map(|group| {
            vec![
                one_line(&group.group),
                hundredths(group.bits),
                group.notes.to_string(),
            ]
        })
        .collect();
    figures(&["group", "bits", "notes"].map(str::to_owned), &rows, paint)
}

fn softened(learned: &Learned) -> String {
    let told = learned.softened.iter().map(|softened| {
        let share = percent(softened.bars as u64, learned.bars as u64);
        format!("  {}: broken in {share} % of bars\n", softened.rule.name)
    });
    told.collect()
}

fn weights(learned: &Learned, paint: Paint) -> String {
    let rows: Vec<Vec<String>> = learned
        .weights
        .iter()
        .map(|weight| {
            vec![
                weight.rule.name.to_owned(),
                points((weight.weight * 1000.0).round() as i64),
                hundredths(weight.error),
                match weight.base {
                    Weight::Never => "never".to_owned(),
                    Weight::Milli(milli) => points(milli.into()),
                },
                weight.count.to_string(),
            ]
        })
        .collect();
    let heads = ["rule", "weight", "±", "base", "times"];
    figures(&heads.map(str::to_owned), &rows, paint)
}

fn like(learned: &Learned, paint: Paint) -> String {
    if learned.figures.is_empty() {
        return String::new();
    }
    let share = |(times, of): (u64, u64)| percent(times, of);
    let row = |figure: &linewright_study::learn::Figure| {
        let (low, high) = figure.interval;
        vec![
            figure.name.to_owned(),
            share(figure.lines),
            format!("{:.1}–{:.1}", low * 100.0, high * 100.0),
            share(figure.base),
            share(figure.learned),
        ]
    };
    let rows: Vec<Vec<String>> = learned.figures.iter().map(row).collect();
    let heads = ["", "lines", "95 %", "base", "learned"];
    let inside = |of: fn(&linewright_study::learn::Figure) -> (u64, u64)| {
        let figures = learned.figures.iter();
        figures
            .filter(|figure| figure.is_inside(of(figure)))
            .count()
    };
    figures(&heads.map(str::to_owned), &rows, paint)
        + &format!(
            "Inside the interval lie {} of {} figures of lines that {} composes, and {} of those of the learned style.\n",
            inside(|figure| figure.base),
            learned.figures.len(),
            one_line(&learned.base),
            inside(|figure| figure.learned),
        )
}

fn listen(outliers: &[Outlier]) -> String {
    let told = outliers.iter().map(|outlier| {
        let guess = outlier.guess.as_ref().map_or(String::new(), |guess| {
            let guess = match guess {
                Guess::Octave { beat, higher } => {
                    let way = if *higher { "higher" } else { "lower" };
                    format!(
                        "with the note of beat {beat} an octave {way} it would be an ordinary bar"
                    )
                }
                Guess::Shifted { late } => {
                    let way = if *late { "later" } else { "earlier" };
                    format!("with the notes of a beat {way} it would be an ordinary bar")
                }
                Guess::Chord(symbol) => {
                    format!("its notes name {symbol} rather than its chord")
                }
            };
            format!("; {guess}")
        });
        let bits = hundredths(outlier.bits);
        let name = one_line(&outlier.line);
        format!("  {name}, bar {}: {bits} bits a note{guess}\n", outlier.bar)
    });
    told.collect()
}

fn doubts(residuals: &[Residual]) -> String {
    let telling = residuals.iter().filter(|residual| residual.is_telling());
    let told = telling.take(MOST_RESIDUALS).map(|residual| {
        let of = match residual.of {
            Places::Notes => "notes",
            Places::Bars => "bars",
        };
        let expected = 100.0 * residual.expected / residual.places as f64;
        format!(
            "  {}: in {} % of {of}, the rulebook expects {expected:.1} % ({:+.1} standard deviations)\n",
            residual.name,
            percent(residual.observed, residual.places),
            residual.deviations,
        )
    });
    told.collect()
}

fn growth(learned: &Learned) -> String {
    let Some(growth) = learned.held_out.as_ref().and_then(|held| held.growth) else {
        return String::new();
    };
    let notes = learned.notes as f64;
    let [now, twice] = [notes, 2.0 * notes].map(|notes| hundredths(growth.bits_with(notes)));
    format!(
        "  Half as many lines teach {} bits a note, these about {now}; twice as many would teach about {twice}.\n",
        hundredths(growth.half.1),
    )
}
