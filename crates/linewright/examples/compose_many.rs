//! Composes ten lines over a chart and writes them as MIDI files, with what each is like.
//!
//! `cargo run -p linewright --example compose_many -- examples/blues-in-f.chart FOLDER`

use std::env::args_os;
use std::error::Error;
use std::fs;
use std::path::PathBuf;

use linewright::{Chart, Fit, Setting, Settings, Tune, exporter};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = args_os().skip(1).map(PathBuf::from);
    let (Some(path), Some(folder)) = (arguments.next(), arguments.next()) else {
        return Err("give a chart and a folder".into());
    };
    let chart = Chart::parse(&path.to_string_lossy(), &fs::read(&path)?)?;
    let setting = Setting {
        choruses: 2,
        ..Setting::default()
    };
    let tune = Tune::new(&chart, None, &Fit::default(), &setting)?;
    let midi = exporter("mid", &Settings::default()).ok_or("no MIDI")?;
    fs::create_dir_all(&folder)?;
    // A batch keeps what is worked out for one line for the next.
    let mut batch = tune.batch();
    for seed in 1..=10 {
        let line = batch.line(seed, 0, tune.drawn())?;
        fs::write(
            folder.join(format!("seed-{seed:02}.mid")),
            midi.bytes(&line)?,
        )?;
        let pitches = line.reading.notes.iter().map(|note| note.pitch.midi());
        let (low, high) = pitches.fold((127, 0), |(low, high), midi| {
            (u8::min(low, midi), u8::max(high, midi))
        });
        println!(
            "seed {seed:2}: MIDI keys {low} to {high}, {} milli-points",
            line.reading.score
        );
    }
    Ok(())
}
