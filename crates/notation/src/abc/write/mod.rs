//! Parts out: a tune each.

mod accidentals;
mod measure;
mod pieces;
mod words;

use std::fmt::Write as _;

use accidentals::Accidentals;
use linewright_theory::{Key, Mode};
use pieces::Piece;

use super::sign::Sign;
use super::text::escaped;
use crate::written::{self, Medium, WrittenMeasure};
use crate::{BarLine, Measure, QUARTER, Score, Ticks};

/// Full measures of a line.
const A_LINE: usize = 4;

/// What to write beside the music.
#[derive(Copy, Clone, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// The rows under the notes, as lines of words (`w:`). They are not read back.
    pub under: bool,
}

/// The parts as one text, a tune each, numbered from 1; without the rows under the notes.
/// The module documentation says how a part is written.
///
/// [`read`](super::read) gives equal parts back, provided that they keep to the model: measures
/// have a length, what is called new is new, texts are single lines, lengths of rests and notes
/// fit into their measure, a tie leads to the same pitch, a tune has one coda at most.
pub fn write(scores: &[Score]) -> String {
    write_with(scores, Options::default())
}

/// The parts as one text, with the rows under the notes if the options say so.
pub fn write_with(scores: &[Score], options: Options) -> String {
    let mut text = "%abc-2.1\n".to_owned();
    for (number, score) in (1usize..).zip(scores) {
        if number > 1 {
            text.push('\n');
        }
        let written = written::measures_on(score, Medium::Text);
        Tune::new(score, &written, options).write(number, &mut text);
    }
    text
}

/// A tune that is being written.
struct Tune<'a> {
    score: &'a Score,
    options: Options,
    pieces: Vec<Vec<Piece<'a>>>,
    unit: Ticks,
}

impl<'a> Tune<'a> {
    fn new(score: &'a Score, written: &'a [WrittenMeasure], options: Options) -> Self {
        let measures = score.measures.iter().zip(written);
        let pieces: Vec<Vec<Piece>> = measures
            .map(|(m, written)| pieces::of(m, written))
            .collect();
        let quarters = |piece: &Piece| piece.length().is_multiple_of(QUARTER);
        let unit = if pieces.iter().flatten().all(quarters) {
            QUARTER
        } else {
            QUARTER / 2
        };
        Tune {
            score,
            options,
            pieces,
            unit,
        }
    }

    fn write(&self, number: usize, text: &mut String) {
        self.header(number, text);
        let mut key = None;
        let mut line = Line::default();
        for (index, measure) in self.score.measures.iter().enumerate() {
            key = measure.key.or(key);
            let fields = self.fields(index);
            if !fields.is_empty() || line.measures == A_LINE {
                self.end(&mut line, text);
            }
            text.push_str(&fields);
            self.measure(index, key, &mut line);
        }
        self.end(&mut line, text);
    }

    fn header(&self, number: usize, text: &mut String) {
        let score = self.score;
        let mut field = |name: char, value: &str| {
            let value = escaped(value);
            // `C::` and `C:|` would be music.
            let note = matches!(name, 'A'..='G') && value.starts_with([':', '|']);
            let gap = if note { " " } else { "" };
            let _ = writeln!(text, "{name}:{gap}{value}");
        };
        field('X', &number.to_string());
        field('T', score.title.as_deref().unwrap_or(""));
        if let Some(composer) = &score.composer {
            field('C', composer);
        }
        if let Some(feel) = &score.feel {
            field('R', feel);
        }
        if let Some(student) = &score.student {
            field('N', &format!("student: {student}"));
        }
        for (name, value) in &score.about {
            field('N', &format!("{name}: {value}"));
        }
        let first = score.measures.first();
        if let Some(time) = first.and_then(|first| first.time) {
            field('M', &format!("{}/{}", time.beats, time.unit));
        }
        field('L', if self.unit == QUARTER { "1/4" } else { "1/8" });
        if let Some(tempo) = first.and_then(|first| first.tempo) {
            field('Q', &format!("1/4={tempo}"));
        }
        let key = first.and_then(|first| first.key);
        let key = key.map_or("none".to_owned(), key_name);
        field('K', &format!("{key} clef=bass-8"));
    }

    /// The lines of fields before a measure.
    fn fields(&self, index: usize) -> String {
        let measure = &self.score.measures[index];
        let mut text = String::new();
        if let Some(section) = &measure.section {
            let _ = writeln!(text, "P:{}", escaped(section));
        }
        if index == 0 {
            return text;
        }
        if let Some(time) = measure.time {
            let _ = writeln!(text, "M:{}/{}", time.beats, time.unit);
        }
        if let Some(key) = measure.key {
            let _ = writeln!(text, "K:{}", key_name(key));
        }
        if let Some(tempo) = measure.tempo {
            let _ = writeln!(text, "Q:1/4={tempo}");
        }
        text
    }

    fn measure(&self, index: usize, key: Option<Key>, line: &mut Line) {
        let measure = &self.score.measures[index];
        match (measure.opens_repeat, line.text.is_empty()) {
            (true, true) => line.text.push_str("|:"),
            (true, false) => line.open_repeat(),
            (false, _) => {}
        }
        if !line.text.is_empty() {
            line.text.push(' ');
        }
        if !measure.ending.is_empty() {
            let passes: Vec<String> = measure.ending.iter().map(u8::to_string).collect();
            let _ = write!(line.text, "[{} ", passes.join(","));
        }
        let music = measure::Music {
            measure,
            pieces: &self.pieces[index],
            unit: self.unit,
            accidentals: Accidentals::new(key),
        };
        line.text.push_str(&music.text());
        line.text.push_str(closing(measure));
        line.indices.push(index);
        line.measures += usize::from(!measure.pickup);
    }

    /// Ends a line of music, if there is one, with its words.
    fn end(&self, line: &mut Line, text: &mut String) {
        if line.text.is_empty() {
            return;
        }
        text.push_str(&line.text);
        text.push('\n');
        if self.options.under {
            let pieces = line.indices.iter().flat_map(|&index| &self.pieces[index]);
            text.push_str(&words::under(pieces));
        }
        *line = Line::default();
    }
}

/// A line of music that is being written.
#[derive(Default)]
struct Line {
    text: String,
    /// The measures on it.
    indices: Vec<usize>,
    /// How many of them count.
    measures: usize,
}

impl Line {
    /// Makes the bar line that ends the line so far begin a repeat.
    fn open_repeat(&mut self) {
        if self.text.ends_with(":|") {
            self.text.pop();
            self.text.push(':');
        } else if self.text.ends_with("|]") {
            self.text.push_str(" |:");
        } else {
            self.text.push(':');
        }
    }
}

/// The bar line after a measure.
fn closing(measure: &Measure) -> &'static str {
    match measure.right {
        BarLine::Single => " |",
        BarLine::Double => " ||",
        BarLine::Final => " |]",
        BarLine::Repeat(_) => " :|",
    }
}

/// The signs at the end of a measure.
fn closing_signs(measure: &Measure) -> Vec<Sign> {
    let mut signs = Vec::new();
    if measure.to_coda {
        signs.push(Sign::ToCoda);
    }
    if measure.fine {
        signs.push(Sign::Fine);
    }
    signs.extend(measure.jump.map(Sign::Jump));
    match measure.right {
        BarLine::Repeat(2) => {}
        BarLine::Repeat(times) => signs.push(Sign::Times(times)),
        _ => {}
    }
    signs
}

/// A key as the standard names it: `Bb`, `F#m`.
fn key_name(key: Key) -> String {
    let mode = match key.mode {
        Mode::Major => "",
        Mode::Minor => "m",
    };
    format!("{}{mode}", key.tonic)
}

#[cfg(test)]
mod tests;
