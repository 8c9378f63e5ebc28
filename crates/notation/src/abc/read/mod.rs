//! Tunes in.

mod bars;
mod fields;
mod file;
mod finish;
mod item;
mod join;
mod key;
mod lexer;
mod music;
mod quoted;
mod report;
mod voice;

use file::{File, Tune};
use music::Music;
use report::Reports;

use linewright_diagnostic::{Diagnostics, Place};

use crate::Score;

/// Most bytes of a file; longer ones are refused.
pub const MAX_BYTES: usize = 1 << 20;

/// Most measures of a tune, rests of many measures counted out.
const MAX_MEASURES: usize = 10_000;

/// Most voices of a tune.
const MAX_VOICES: usize = 100;

/// The tunes of a file: the number that each has in its `X:` line (0 where that says none), and
/// its title. Empty when the bytes are no text or too long.
pub fn tunes(bytes: &[u8]) -> Vec<(usize, Option<String>)> {
    let Ok(text) = file::decode(bytes) else {
        return Vec::new();
    };
    let file = File::split(&text);
    file.tunes
        .iter()
        .map(|tune| (tune.number, tune.title()))
        .collect()
}

/// Reads a tune: the one that has this number in its `X:` line, or the first of the file. The
/// module documentation says what is kept of it.
///
/// With the part come the reports of what was read otherwise than it is written, each with line
/// and column in the file.
///
/// # Errors
/// When the file is longer than [`MAX_BYTES`] or no text, when there is no such tune or no music
/// in it, or when it is absurdly long.
pub fn read(bytes: &[u8], tune: Option<usize>) -> Result<(Score, Diagnostics), Diagnostics> {
    let text = file::decode(bytes)?;
    let file = File::split(&text);
    let found = choose(&file, tune)?;
    let mut reports = Reports::default();
    if !file.numbered {
        reports.add(
            Place::column(1, 1),
            "the tune has no number",
            "begin it with a line `X:1`",
        );
    }
    let same = file.tunes.iter().filter(|t| t.number == found.number);
    if tune.is_some() && same.count() > 1 {
        reports.add(
            found.place(),
            format!(
                "several tunes of this file have the number {}; the first is read",
                found.number
            ),
            "give each tune a number of its own in its `X:` line",
        );
    }
    if tune.is_none() && file.tunes.len() > 1 {
        let count = file.tunes.len();
        reports.add(
            found.place(),
            format!("the file has {count} tunes; the first is read"),
            format!("ask for another one by its number: {}", numbers(&file)),
        );
    }
    let music = Music::read(&file.header, found, reports)?;
    finish::score(music)
}

fn choose<'f, 'a>(file: &'f File<'a>, number: Option<usize>) -> Result<&'f Tune<'a>, Diagnostics> {
    let Some(first) = file.tunes.first() else {
        return Err(Diagnostics::one(
            Place::Whole,
            "this is no ABC file: it has neither a line `X:` nor a line `K:`",
            "begin each tune with `X:1`, `T:` and its title, and `K:` and its key",
        ));
    };
    let Some(number) = number else {
        return Ok(first);
    };
    let found = file.tunes.iter().find(|tune| tune.number == number);
    found.ok_or_else(|| {
        Diagnostics::one(
            Place::Whole,
            format!("the file has no tune with the number {number}"),
            format!("ask for one of these: {}", numbers(file)),
        )
    })
}

/// The numbers of a file's tunes, the lowest dozen.
fn numbers(file: &File) -> String {
    let mut numbers: Vec<usize> = file.tunes.iter().map(|tune| tune.number).collect();
    numbers.sort_unstable();
    numbers.dedup();
    let shown: Vec<String> = numbers.iter().take(12).map(usize::to_string).collect();
    let more = if numbers.len() > shown.len() {
        " …"
    } else {
        ""
    };
    shown.join(", ") + more
}

#[cfg(test)]
mod tests;
