//! The page of two profiles compared.

use linewright_study::profile::{Compared, Divergence};

use super::{counted, over, range};
use crate::json::millibits;
use crate::text::paint::{Paint, Part};
use crate::text::table::figures;
use crate::text::{Options, wrapped};
use crate::wording::profile::{difference, measure};

/// Most differences that the page lists.
const MOST: usize = 15;

/// How the numbers come about.
const FORMULA: [&str; 2] = [
    "Bits are the Jensen–Shannon divergence ½ Σ p log2(p/m) + ½ Σ q log2(q/m) of the shares p here and q there, with m = (p + q)/2: 0 where they are alike, 1 where they have nothing in common.",
    "By chance is what two samples of this size from the same k values would show on average, (k − 1)/(8 ln 2) (1/n here + 1/n there): a divergence near it says nothing.",
];

/// The page of a comparison. Ends with a line break.
pub fn compared(compared: &Compared, options: &Options) -> String {
    let paint = Paint::new(options.colour);
    let comparison = &compared.comparison;
    let (here, there) = (&comparison.here, &comparison.there);
    let section = |title: &str| format!("\n{}\n", paint.paint(Part::Section, title));
    let mut page = paint.paint(Part::Title, "two profiles of lines compared") + "\n";
    let over = over(&compared.over);
    page.push_str(&format!("here   {}{over}\n", counted(&compared.here, here)));
    page.push_str(&format!(
        "there  {}{over}\n",
        counted(&compared.there, there)
    ));
    page.push_str(&section("the largest differences"));
    let differences = &comparison.differences;
    if differences.is_empty() {
        page.push_str("Nothing differs by more than chance.\n");
    }
    for differs in differences.iter().take(MOST) {
        page.push_str(&wrapped(&difference(differs), options.width));
    }
    if differences.len() > MOST {
        page.push_str(&format!("- and {} more\n", differences.len() - MOST));
    }
    page.push_str(&section("range"));
    page.push_str(&range(&[("here", here), ("there", there)], paint));
    page.push_str(&section("how far apart"));
    let heads = ["counted", "n here", "n there", "bits", "by chance"].map(str::to_owned);
    let rows: Vec<Vec<String>> = comparison.divergences.iter().map(row).collect();
    page.push_str(&figures(&heads, &rows, paint));
    page.push('\n');
    for sentence in FORMULA {
        page.push_str(&wrapped(sentence, options.width));
    }
    page
}

fn row(divergence: &Divergence) -> Vec<String> {
    let bits = |bits: Option<f64>| match bits.map(millibits) {
        Some(milli) => format!("{}.{:03}", milli / 1000, milli % 1000),
        None => "–".to_owned(),
    };
    vec![
        measure(divergence.measure),
        divergence.here.to_string(),
        divergence.there.to_string(),
        bits(divergence.bits),
        bits(divergence.chance),
    ]
}
