//! Says of every note of a line what it is to its chord and what it does.
//!
//! `cargo run -p linewright --example explain_file -- examples/blues-in-f.chart examples/first-walk.txt`

use std::env::args_os;
use std::error::Error;
use std::fs;
use std::path::PathBuf;

use linewright::compose::Role;
use linewright::{Chart, Reading, read_lines};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = args_os().skip(1).map(PathBuf::from);
    let (Some(chart), Some(path)) = (arguments.next(), arguments.next()) else {
        return Err("give a chart and the file of a line".into());
    };
    let chart = Chart::parse(&chart.to_string_lossy(), &fs::read(&chart)?)?;
    // The file's name tells its format: text, MIDI, MusicXML, ABC or JSON.
    let (lines, problems) = read_lines(&path.to_string_lossy(), &fs::read(&path)?, None)?;
    if !problems.is_empty() {
        eprintln!("{problems}");
    }
    for given in &lines {
        let (_, study) = given.study(&chart, &Reading::default())?;
        let line = &study.line;
        for sound in line.sounds() {
            let bar = line.timeline.bar_number(sound.bar);
            let does = match sound.role {
                Role::Walk(nth) => {
                    let note = &line.reading.notes[nth];
                    let names = note.functions.iter().map(|function| function.name.long);
                    format!("{}: {}", note.degree, names.collect::<Vec<_>>().join(", "))
                }
                Role::Between(between) => between.name().to_owned(),
                _ => "not heard over a chord".to_owned(),
            };
            println!("bar {bar}, {}: {does}", sound.note);
        }
    }
    Ok(())
}
