//! Engraves pages, prints a row of figures, and where what collides.

use linewright_compose::Composer;
use linewright_workshop::Sheets;
use linewright_workshop::shipped::written;

use super::{Command, composers, threads};

pub(super) const COMMAND: Command = Command {
    name: "pages",
    arguments: "[STYLE…]",
    about: "engraves a line over every chart in every key; fails if marks collide or leave their page",
    run,
};

fn run(styles: Vec<String>) -> Result<bool, String> {
    let composers: Vec<Composer> = composers(styles)?.into_iter().map(|(_, c)| c).collect();
    let sheets = Sheets::of(&composers, &written(), threads());
    println!("lines  pages    marks collisions outside");
    println!(
        "{:>5} {:>6} {:>8} {:>10} {:>7}",
        sheets.lines,
        sheets.pages,
        sheets.marks,
        sheets.colliding(),
        sheets.outside.len()
    );
    for (kinds, (count, place)) in &sheets.collisions {
        println!("{count} × {kinds}, first in {place}");
    }
    for place in sheets.outside.iter().take(20) {
        println!("outside: {place}");
    }
    Ok(sheets.are_clean())
}
