//! Writes a line as an engraved page: degrees and functions under the notes, as PDF.
//!
//! `cargo run -p linewright --example write_page -- examples/blues-in-f.chart page.pdf`

use std::env::args;
use std::error::Error;
use std::fs;

use linewright::{Chart, Choice, Fit, Setting, Settings, Tune, Under, exporter};

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = args().skip(1).collect();
    let [path, page] = &arguments[..] else {
        return Err("give a chart and the name of the page".into());
    };
    let chart = Chart::parse(path, &fs::read(path)?)?;
    let tune = Tune::new(&chart, None, &Fit::default(), &Setting::default())?;
    let line = tune.compose(1, 0, Choice::Best)?;
    let extension = page
        .rsplit_once('.')
        .map_or("pdf", |(_, extension)| extension);
    let settings = Settings {
        under: vec![Under::Degrees, Under::Functions],
        ..Settings::default()
    };
    let writer = exporter(extension, &settings).ok_or("no such format")?;
    fs::write(page, writer.bytes(&line)?)?;
    Ok(())
}
