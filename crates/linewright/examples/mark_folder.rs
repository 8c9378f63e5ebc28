//! Marks every line in a folder over one chart, at a grade.
//!
//! `cargo run -p linewright --example mark_folder -- examples/blues-in-f.chart FOLDER grade-3`

use std::env::args;
use std::error::Error;
use std::fs;

use linewright::study::mark::{Asked, Marked};
use linewright::{Chart, Library, Reading, read_lines};

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = args().skip(1).collect();
    let [path, folder, grade] = &arguments[..] else {
        return Err("give a chart, a folder and a grade".into());
    };
    let chart = Chart::parse(path, &fs::read(path)?)?;
    let how = Reading {
        style: Some(Library::builtin().style(grade)?),
        ..Reading::default()
    };
    let mut files: Vec<_> = fs::read_dir(folder)?
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<Result<_, _>>()?;
    files.sort();
    for file in files.iter().filter(|file| file.is_file()) {
        let name = file.to_string_lossy();
        let lines = match read_lines(&name, &fs::read(file)?, None) {
            Ok((lines, _)) => lines,
            Err(problems) => {
                println!("{name}: cannot be read\n{problems}");
                continue;
            }
        };
        for given in &lines {
            let (tune, study) = given.study(&chart, &how)?;
            let marked = Marked::of(tune.composer(), study, Asked::default());
            let (got, total) = (marked.mark.got() / 1000, marked.mark.total() / 1000);
            let verdict = if marked.mark.passes() {
                "passes"
            } else {
                "does not pass"
            };
            println!("{name}: {got} of {total}, {verdict}");
        }
    }
    Ok(())
}
