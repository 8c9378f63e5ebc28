//! A line as a bassist types it: header lines, then bars.

use linewright_diagnostic::{Diagnostic, Diagnostics, Place, clean::quoted};
use linewright_theory::Key;

use super::MAX_BARS;
use super::bar::{self, At, FaultAt, Reader, Token};
use super::build::{self, Piece};
use super::header::{self, Header};
use crate::header_line::HeaderLine;
use crate::score::{BarLine, Measure, QUARTER, Score, Ticks, TimeSignature};

/// Most notes and rests of a line: `%` can write many with few bytes.
const MOST_EVENTS: usize = 100_000;

/// Reads the lines of a text.
pub(super) fn read(lines: &[String]) -> Result<(Score, Diagnostics), Diagnostics> {
    let mut body = Body::default();
    let mut header = Header::default();
    let mut all = Diagnostics::default();
    let mut counts = Vec::new();
    for line in lines {
        if HeaderLine::split(line).is_none() {
            count_beats(line, &mut counts);
        }
    }
    for (number, line) in (1..).zip(lines) {
        let told = line.trim_start();
        if told.is_empty() || told.starts_with('#') {
            continue;
        }
        let in_line = |found: Diagnostic| {
            let column = line[..found.place().byte()].chars().count() + 1;
            found.at(Place::column(number, column))
        };
        match HeaderLine::split(line) {
            Some(parts) if body.begun => all.add(in_line(parts.too_late("line"))),
            Some(parts) => header
                .take(&parts)
                .into_iter()
                .for_each(|found| all.add(in_line(found))),
            None => {
                if !std::mem::replace(&mut body.begun, true) {
                    body.begin(&header, commonest(&counts));
                }
                let mut found = Vec::new();
                body.line(line, &mut found);
                found.sort_by_key(|(column, _)| *column);
                for (column, fault) in found {
                    all.add(fault.at(Place::column(number, column)));
                }
            }
        }
    }
    body.end(&header, lines.len(), &mut all);
    let mut score = Score {
        title: header.title,
        composer: header.composer,
        student: header.student,
        feel: header.feel,
        about: header.facts,
        measures: body.measures,
        ..Score::default()
    };
    if let Some(first) = score.measures.first_mut() {
        first.key = first.key.or(header.key);
        first.tempo = first.tempo.or(header.tempo);
    }
    all.judge(score)
}

/// Notes how many beats each bar of a line has.
fn count_beats(line: &str, counts: &mut Vec<usize>) {
    let mut beats = 0;
    let (tokens, _) = bar::tokens(line, 1);
    for token in tokens.into_iter().map(|(_, token)| token) {
        match token {
            Token::Word(_) | Token::Group(_) => beats += 1,
            Token::Bar(_) => counts.push(std::mem::take(&mut beats)),
            _ => {}
        }
    }
    counts.push(beats);
}

/// The commonest length of a bar, from 2 to 7 beats; four where none is the commonest.
fn commonest(counts: &[usize]) -> u8 {
    let times = |beats: u8| {
        counts
            .iter()
            .filter(|&&count| count == usize::from(beats))
            .count()
    };
    [4, 2, 3, 5, 6, 7]
        .into_iter()
        .rev()
        .max_by_key(|&beats| times(beats))
        .unwrap_or(4)
}

/// What stands before the notes of the bar to come.
#[derive(Default)]
struct Before {
    section: Option<String>,
    time: Option<TimeSignature>,
    key: Option<Key>,
    tempo: Option<u16>,
    /// The column of the first of them.
    column: Option<usize>,
}

/// Builds the measures line by line.
#[derive(Default)]
struct Body {
    begun: bool,
    measures: Vec<Measure>,
    reader: Reader,
    time: Option<TimeSignature>,
    before: Before,
    /// The pieces of the bar before.
    pieces: Vec<Piece>,
    events: usize,
    full: bool,
}

impl Body {
    fn begin(&mut self, header: &Header, beats: u8) {
        let time = header.time.unwrap_or(TimeSignature { beats, unit: 4 });
        self.before.time = Some(time);
    }

    fn line(&mut self, line: &str, faults: &mut Vec<FaultAt>) {
        let (tokens, lexical) = bar::tokens(line, 1);
        faults.extend(lexical);
        let mut signs: Vec<At<'_>> = Vec::new();
        // Whether a bar line opened the bar, so that it must hold something.
        let mut open = false;
        for (column, token) in tokens {
            match token {
                Token::Bar(division) => {
                    let touched = self.before.column.is_some();
                    if !self.bar(&mut signs, division, faults) {
                        if open && !touched {
                            faults.push((
                                column,
                                Diagnostic::error(
                                    "the bar that ends here is empty",
                                    "write its notes, `r` for each beat of rest, or leave one of \
                                     the bar lines out",
                                ),
                            ));
                        } else if division != BarLine::Single
                            && let Some(last) = self.measures.last_mut()
                        {
                            last.right = division;
                        }
                    }
                    open = division == BarLine::Single;
                }
                Token::Section(name) => self.before(column, &signs, faults, |before| {
                    let name = bar::section(name)?;
                    Ok(before.section.replace(name).is_some())
                }),
                Token::Change(name, value) => {
                    self.before(column, &signs, faults, |before| change(before, name, value));
                }
                sign => signs.push((column, sign)),
            }
        }
        self.bar(&mut signs, BarLine::Single, faults);
    }

    /// Takes what stands before the notes of a bar.
    fn before(
        &mut self,
        column: usize,
        signs: &[At<'_>],
        faults: &mut Vec<FaultAt>,
        take: impl FnOnce(&mut Before) -> Result<bool, Diagnostic>,
    ) {
        self.before.column.get_or_insert(column);
        if !signs.is_empty() {
            faults.push((
                column,
                Diagnostic::error(
                    "this stands in the middle of a bar",
                    "put it at the start of a bar, before its first note",
                ),
            ));
            return;
        }
        let mut first = self.measures.is_empty();
        match take(&mut self.before) {
            // What the header said of the first bar gives way.
            Ok(again) if again && !std::mem::take(&mut first) => faults.push((
                column,
                Diagnostic::error(
                    "the same is told twice before one bar",
                    "keep the one that is meant",
                ),
            )),
            Ok(_) => {}
            Err(fault) => faults.push((column, fault)),
        }
    }

    /// Ends a bar. Without signs there is none, and `false` is the answer.
    fn bar(&mut self, signs: &mut Vec<At<'_>>, right: BarLine, faults: &mut Vec<FaultAt>) -> bool {
        let signs = std::mem::take(signs);
        let Some((column, _)) = signs.first() else {
            return false;
        };
        if self.full {
            return true;
        }
        let before = std::mem::take(&mut self.before);
        self.time = before.time.or(self.time);
        let beat = self.time.map_or(QUARTER, beat_of);
        let pieces = match signs.iter().find(|(_, token)| *token == Token::Same) {
            Some((column, _)) => self.same(*column, signs.len(), faults),
            None => self.reader.pieces(&signs, beat, faults),
        };
        self.events += pieces.len();
        if self.measures.len() == MAX_BARS || self.events > MOST_EVENTS {
            self.full = true;
            faults.push((
                *column,
                Diagnostic::error(
                    format!(
                        "the line is longer than {MAX_BARS} bars or {MOST_EVENTS} notes and rests"
                    ),
                    "split it into several lines",
                ),
            ));
            return true;
        }
        let mut measure = build::measure(&pieces, &mut self.measures);
        measure.time = before.time;
        measure.key = before.key;
        measure.tempo = before.tempo;
        measure.section = before.section;
        measure.right = right;
        self.measures.push(measure);
        self.pieces = pieces;
        true
    }

    /// The pieces of the bar before.
    fn same(&self, column: usize, signs: usize, faults: &mut Vec<FaultAt>) -> Vec<Piece> {
        if signs > 1 {
            faults.push((
                column,
                Diagnostic::error(
                    "`%` repeats a whole bar, but here it stands beside other signs",
                    "let `%` stand alone between its bar lines, or write the notes",
                ),
            ));
        } else if self.measures.is_empty() {
            faults.push((
                column,
                Diagnostic::error(
                    "`%` repeats the bar before, and there is none",
                    "write the notes of the first bar",
                ),
            ));
        }
        self.pieces.clone()
    }

    /// What can only be told when all is read.
    fn end(&mut self, header: &Header, lines: usize, faults: &mut Diagnostics) {
        if let Some(column) = self.before.column
            && !self.full
        {
            faults.error(
                Place::column(lines, column),
                "no bar follows what is said of it",
                "write the bar that it belongs to, or leave it out",
            );
        }
        let Some(first) = self.measures.first_mut() else {
            if !faults.has_errors() {
                faults.error(
                    Place::Whole,
                    "there are no notes",
                    "write notes between bar lines, for example `| F1 G1 A1 C2 |`",
                );
            }
            return;
        };
        let Some(beats) = header.pickup else { return };
        let time = first.time.unwrap_or(TimeSignature { beats: 4, unit: 4 });
        let place = Place::Measure(1);
        let wanted = Ticks::from(beats) * beat_of(time);
        if first.ticks != wanted {
            faults.error(
                place,
                format!(
                    "the pick-up bar has {} and not the {beats} of `pickup:`",
                    count(first.ticks / beat_of(time))
                ),
                "let the first bar have as many signs as `pickup:` says",
            );
        } else if wanted >= time.ticks() {
            faults.error(
                place,
                format!(
                    "a pick-up bar of {beats} is not shorter than a bar of {}/{}",
                    time.beats, time.unit
                ),
                "leave `pickup:` out, or write the metre of the bars that follow as `time:`",
            );
        }
        first.pickup = true;
    }
}

fn count(beats: Ticks) -> String {
    match beats {
        1 => "1 beat".into(),
        many => format!("{many} beats"),
    }
}

/// One sign's length: a quarter note, or the shorter note that the metre counts in.
pub(super) fn beat_of(time: TimeSignature) -> Ticks {
    QUARTER.min(
        TimeSignature {
            beats: 1,
            unit: time.unit,
        }
        .ticks(),
    )
}

/// Takes a change; whether it stood there already.
fn change(before: &mut Before, name: &str, value: &str) -> Result<bool, Diagnostic> {
    Ok(match name.to_lowercase().as_str() {
        "time" => before.time.replace(header::time(value)?).is_some(),
        "key" => before.key.replace(header::key(value)?).is_some(),
        "tempo" => before.tempo.replace(header::tempo(value)?).is_some(),
        _ => {
            return Err(Diagnostic::error(
                format!("{} does not change inside a line", quoted(name)),
                "changes are `(time: 3/4)`, `(key: F)` and `(tempo: 90)`",
            ));
        }
    })
}
