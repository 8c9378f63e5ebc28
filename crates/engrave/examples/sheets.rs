//! Writes sheets to be looked at into a folder: SVG, PNG, PDF, and MusicXML for comparison.
//!
//! `cargo run -p linewright-engrave --example sheets -- FOLDER`

use std::{env, fs, path::Path};

use linewright_engrave::{Options, Paper, Theme, pages, pdf};
use linewright_notation::{Score, musicxml};

#[path = "../tests/support/mod.rs"]
mod support;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = env::args().nth(1).ok_or("name a folder")?;
    let folder = Path::new(&folder);
    fs::create_dir_all(folder)?;
    let blues = support::blues();
    write(
        folder,
        "dark",
        &blues,
        &Options {
            theme: Theme::Dark,
            ..support::everything(&blues)
        },
    )?;
    write(
        folder,
        "letter",
        &blues,
        &Options {
            paper: Paper::Letter,
            ..support::everything(&blues)
        },
    )?;
    write(
        folder,
        "dense",
        &support::dense(),
        &support::everything(&support::dense()),
    )?;
    for (name, score) in support::sheets() {
        write(folder, name, &score, &support::everything(&score))?;
        let plain = Options {
            paper: Paper::Endless,
            ..Options::default()
        };
        write(folder, &format!("{name}-plain"), &score, &plain)?;
        fs::write(
            folder.join(format!("{name}.musicxml")),
            musicxml::write(&score, &musicxml::Options::default()),
        )?;
    }
    Ok(())
}

fn write(
    folder: &Path,
    name: &str,
    score: &Score,
    options: &Options,
) -> Result<(), Box<dyn std::error::Error>> {
    let pages = pages(score, options);
    for (number, page) in pages.iter().enumerate() {
        let file = |ending: &str| folder.join(format!("{name}-{}.{ending}", number + 1));
        fs::write(file("svg"), page.svg())?;
        fs::write(file("png"), page.png(110)?)?;
    }
    fs::write(folder.join(format!("{name}.pdf")), pdf(&pages)?)?;
    Ok(())
}
