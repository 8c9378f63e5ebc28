//! Reading charts and styles, never more than they may be long.

use std::fmt::Display;
use std::fs::File;
use std::io::{self, Read};
use std::path::Path;

use linewright::chart::MAX_BYTES;
use linewright::diagnostic::{FileKind, nearest};
use linewright::render::json;
use linewright::style::{LARGEST_FILE, check_rules, resolve};
use linewright::{Chart, Library, RULES, SCORE_EXTENSIONS, Style, Tune, read_chart};

use crate::args::Playing;
use crate::exit::Failure;
use crate::output::{self, path_name};
use crate::values;

/// Most bytes of the file of a line in any format but JSON; its format may allow fewer.
const LARGEST_LINE: usize = 32 << 20;

/// What stands for the standard input.
pub const STANDARD_INPUT: &str = "-";

/// Reads a chart from a file, or from the standard input for `-`, and tells what was read
/// otherwise than written. `part` says which where the file holds several.
pub fn chart(path: &Path, part: Option<&str>) -> Result<Chart, Failure> {
    let name = name(path);
    let extension = path.extension().unwrap_or_default().to_string_lossy();
    if SCORE_EXTENSIONS.contains(&extension.to_lowercase().as_str()) {
        let bytes = notation(path, &name, Failure::chart)?;
        let told = |problems: &dyn Display| format!("{name}: {problems}");
        let (chart, problems) =
            read_chart(&name, &bytes, part).map_err(|fault| Failure::chart(told(&fault)))?;
        if !problems.is_empty() {
            output::note(&told(&problems));
        }
        return Ok(chart);
    }
    let bytes = bytes(path, &name, MAX_BYTES)?;
    // Another kind of file is told by the parser, however long it is.
    if bytes.len() > MAX_BYTES && FileKind::of(&bytes).is_none() {
        return Err(Failure::chart(format!(
            "{name}: a chart over 1 MiB is not read\n  hint: give a chart file; a long tune fits into a few thousand bytes"
        )));
    }
    let (chart, remarks) = Chart::read(&name, &bytes).map_err(Failure::chart)?;
    if !remarks.is_empty() {
        output::note(&remarks.to_string());
    }
    Ok(chart)
}

/// Reads the file of a line, or the standard input for `-`: what it is called, and its bytes.
pub fn line(path: &Path) -> Result<(String, Vec<u8>), Failure> {
    let name = name(path);
    let bytes = notation(path, &name, Failure::line)?;
    Ok((name, bytes))
}

/// The bytes of a file in some format of notation; `fault` is what is wrong with one that is too
/// long.
fn notation(path: &Path, name: &str, fault: fn(String) -> Failure) -> Result<Vec<u8>, Failure> {
    let extension = path.extension().unwrap_or_default().to_string_lossy();
    let (most, hint) = match extension.to_lowercase().as_str() {
        "json" => (json::MAX_BYTES, "give the JSON of one line"),
        "abc" => (
            LARGEST_LINE,
            "give a file with fewer tunes: cut it at the lines that begin with `X:`",
        ),
        _ => (
            LARGEST_LINE,
            "give a file with one part; a long one fits into a hundred thousand bytes",
        ),
    };
    let bytes = bytes(path, name, most)?;
    if bytes.len() > most {
        return Err(fault(format!(
            "{name}: a file over {} MiB is not read\n  hint: {hint}",
            most >> 20
        )));
    }
    Ok(bytes)
}

/// The bytes of a file, or of the standard input for `-`; of more than `most` only one more.
fn bytes(path: &Path, name: &str, most: usize) -> Result<Vec<u8>, Failure> {
    let bytes = if path == Path::new(STANDARD_INPUT) {
        capped(io::stdin().lock(), most)
    } else {
        File::open(path).and_then(|file| capped(file, most))
    };
    bytes.map_err(|error| unreadable(name, &error))
}

/// The files of a chart and a style that are read, and so never written: what they are called,
/// and where.
pub fn sources<'a>(
    chart: Option<&'a Path>,
    style: Option<&'a str>,
) -> Vec<(&'static str, &'a Path)> {
    let chart = chart.filter(|chart| *chart != Path::new(STANDARD_INPUT));
    let style = style.filter(|style| is_style_file(style));
    let chart = chart.map(|chart| ("chart", chart));
    let style = style.map(|style| ("style", Path::new(style)));
    chart.into_iter().chain(style).collect()
}

/// A chart in a style (the one that suits it when none is named) and as it is to be played.
pub fn tune(chart: &Chart, style: Option<&str>, playing: &Playing) -> Result<Tune, Failure> {
    let style = style.map(self::style).transpose()?;
    let tune = Tune::new(chart, style, &playing.fit(), &playing.setting(chart)?);
    tune.map_err(Failure::tune)
}

/// Whether a style is asked for as a file: whatever ends with `.toml` or has a path
/// separator in it.
pub fn is_style_file(wanted: &str) -> bool {
    wanted.ends_with(".toml") || wanted.contains(std::path::is_separator)
}

/// Finds a shipped style by name, or reads a style file.
pub fn style(wanted: &str) -> Result<Style, Failure> {
    let library = Library::builtin();
    if !is_style_file(wanted) {
        return library.style(&values::listed(wanted)).map_err(|fault| {
            // A style file without its ending is an easy slip.
            let file = format!("{wanted}.toml");
            let slip = library.text(wanted).is_none() && Path::new(&file).is_file();
            if slip && nearest(wanted, Library::builtin_names()).is_none() {
                Failure::style(format!("there is no style called `{wanted}`\n  hint: for the file, write `--style {file}`"))
            } else {
                Failure::style(fault)
            }
        });
    }
    let name = name(Path::new(wanted));
    let bytes = bytes(Path::new(wanted), &name, LARGEST_FILE)?;
    if bytes.len() > LARGEST_FILE {
        return Err(Failure::style(format!(
            "{name}: a style file over 256 KiB is not read\n  hint: give a style file; a style that says everything fits into a few thousand bytes"
        )));
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to() + 1;
        Failure::style(format!(
            "{name}: byte {at} is not UTF-8 text\n  hint: save the file as UTF-8"
        ))
    })?;
    let style = resolve(&library, &name, &text).map_err(Failure::style)?;
    check_rules(&name, &text, RULES.iter().map(|rule| rule.name)).map_err(Failure::style)?;
    Ok(style)
}

/// All bytes, or one more than `most`.
fn capped(source: impl Read, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    source.take(most as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A chart's or style's path as messages call it.
fn name(path: &Path) -> String {
    if path == Path::new(STANDARD_INPUT) {
        return "standard input".to_owned();
    }
    path_name(path)
}

fn unreadable(name: &str, error: &io::Error) -> Failure {
    let hint = match error.kind() {
        io::ErrorKind::NotFound => {
            "\n  hint: check the spelling and the folder; `-` reads the standard input"
        }
        io::ErrorKind::IsADirectory => "\n  hint: this is a folder; give a file in it",
        io::ErrorKind::PermissionDenied => "\n  hint: ask for the right to read the file",
        _ => "\n  hint: give a plain text file",
    };
    Failure::read(format!("{name} cannot be read: {error}{hint}"))
}
