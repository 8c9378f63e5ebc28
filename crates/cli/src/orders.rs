//! `linewright orders`.

use linewright::study::orders::{Cell, Listed, orders};
use linewright::text::Options;
use linewright::theory::{Chord, Degree, Name, PitchClass};
use linewright::{Composer, Diagnostic, Fit, Key};

use crate::args::Orders;
use crate::exit::Failure;
use crate::files::Outputs;
use crate::{pages, read};

/// Lists, prints and writes.
pub fn run(arguments: &Orders) -> Result<(), Failure> {
    let chord = chord(&arguments.chord)?;
    let fit = Fit {
        low: arguments.low,
        high: arguments.high,
        ..Fit::default()
    };
    let style = fit
        .style(read::style(
            arguments.style.name().as_deref().unwrap_or("plain"),
        )?)
        .map_err(Failure::style)?;
    let composer = Composer::new(style).map_err(Failure::style)?;
    let cell = Cell {
        classes: classes(&arguments.cell, &chord)?,
        key: arguments.in_key.unwrap_or_else(|| own_key(&chord)),
        chord,
        before: arguments.before,
        after: arguments.after,
        next_chord: arguments
            .next_chord
            .as_deref()
            .map(self::chord)
            .transpose()?,
    };
    let listed = if arguments.placements {
        Listed::Placements
    } else {
        Listed::Orders
    };
    let options = Options::default();
    let settings = pages::settings(options.clone(), &arguments.sheet);
    let outputs = Outputs::check(
        &arguments.files.output,
        1..2,
        arguments.files.force,
        &settings,
        &[],
    )?;
    let found = orders(&composer, &cell, listed, arguments.count.into());
    let found = found.map_err(Failure::usage)?;
    let mut printer = pages::Printer::coloured(arguments.colours.colour, options);
    outputs.hand_over(1, &found, &mut printer)
}

fn chord(text: &str) -> Result<Chord, Failure> {
    text.parse().map_err(|error: Diagnostic| {
        let why = error.in_short();
        Failure::usage(format!("\"{text}\" is not a chord: {why}"))
    })
}

/// The notes of a cell: degrees of the chord, or names.
fn classes(text: &str, chord: &Chord) -> Result<Vec<PitchClass>, Failure> {
    let words = text.split(['-', ' ', ',']).filter(|word| !word.is_empty());
    let class = |word: &str| -> Result<PitchClass, Failure> {
        if let Ok(name) = word.parse::<Name>() {
            return Ok(name.class());
        }
        let degree: Result<Degree, _> = word.parse();
        degree.map(|degree| chord.own(degree).above(chord.root).class()).map_err(|_| {
            Failure::usage(format!(
                "\"{word}\" is neither a degree nor a note\n  hint: write degrees such as 1-3-5-b7, or names such as 'C E G Bb'"
            ))
        })
    };
    words.map(class).collect()
}

/// The key of a chord that stands alone: major or minor on its root.
fn own_key(chord: &Chord) -> Key {
    let minor = chord.third() == Some(3);
    let text = format!("{}{}", chord.root, if minor { "m" } else { "" });
    text.parse()
        .unwrap_or_else(|_| "C".parse().expect("C is a key"))
}
