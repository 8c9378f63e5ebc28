//! The page that the program prints of its lines: the rows `notes`, with what stands around
//! them.
//!
//! A page begins with a block of lines that has the title first and the style later, and ends with
//! a line that begins with `made by linewright` and a version; systems follow, in which bars stand between `|`: a head without a name, `chords`,
//! `notes` and more. A head numbers its bars, the pick-up 0. Chords stand over the beat where
//! they begin. What is written elsewhere on a page says nothing about the line.

use linewright_diagnostic::{Diagnostic, Diagnostics, Place, clean::quoted};
use linewright_theory::Chord;

use super::bar::{self, Reader, Token, words};
use super::build;
use super::page_head::{self, Head};
use super::source::Word;
use super::{MAX_BARS, MAX_IN_ALL};
use crate::score::{Measure, QUARTER, Score, Symbol, SymbolAt, TimeSignature};

/// Whether a line is a row of notes.
pub(super) fn is_notes_row(line: &str) -> bool {
    row(line).is_some_and(|(name, _)| name == "notes")
}

/// A row's name and the rest after its first bar line.
fn row(line: &str) -> Option<(&str, &str)> {
    let (name, cells) = line.split_once('|')?;
    Some((name.trim(), cells))
}

/// The cells of a row, each with the column where it begins.
fn cells(line: &str) -> Vec<Word<'_>> {
    let mut column = 1;
    let mut cells: Vec<Word<'_>> = line
        .split('|')
        .map(|text| {
            let cell = Word { column, text };
            column += text.chars().count() + 1;
            cell
        })
        .collect();
    cells.remove(0);
    // What follows the last bar line is no bar.
    if cells.last().is_some_and(|cell| cell.text.trim().is_empty()) {
        cells.pop();
    }
    cells
}

/// Reads the lines of music on one page or more.
pub(super) fn read(lines: &[String]) -> Result<(Vec<Score>, Diagnostics), Diagnostics> {
    let mut pages = vec![Page::default()];
    let mut all = Diagnostics::default();
    let (mut number, mut bars) = (0, 0);
    // Whether a block of lines begins here.
    let mut fresh = true;
    while let Some(line) = lines.get(number) {
        if line.trim().is_empty() {
            page(&mut pages).system = System::default();
            fresh = true;
            number += 1;
            continue;
        }
        let begins = std::mem::take(&mut fresh);
        let rest = if begins { &lines[number..] } else { &[] };
        let end = rest.iter().position(|line| line.trim().is_empty());
        let block = &rest[..end.unwrap_or(rest.len())];
        if begins && let Some(head) = page_head::read(block) {
            // One without notes gives no line.
            pages.pop_if(|page| page.measures.is_empty());
            pages.push(Page {
                head,
                ..Page::default()
            });
            number += block.len();
            continue;
        }
        if begins && page(&mut pages).head.last_line(block) {
            number += block.len();
            continue;
        }
        number += 1;
        let page = page(&mut pages);
        let before = page.measures.len();
        page.line(number, line, &mut all);
        bars += page.measures.len() - before;
        if bars > MAX_IN_ALL {
            let message = format!("the pages have more than {MAX_IN_ALL} bars in all");
            all.error(
                Place::Line(number),
                message,
                "split them into several files",
            );
            break;
        }
    }
    pages.retain(|page| !page.measures.is_empty());
    if pages.is_empty() && !all.has_errors() {
        all.error(
            Place::Whole,
            "the rows of notes are empty",
            "write notes between bar lines, for example `notes | F1 G1 A1 C2 |`",
        );
    }
    all.judge(pages.into_iter().map(Page::score).collect())
}

/// The page that is being read.
fn page(pages: &mut [Page]) -> &mut Page {
    let last = pages.len() - 1;
    &mut pages[last]
}

/// One line of music on its page.
#[derive(Default)]
struct Page {
    head: Head,
    measures: Vec<Measure>,
    reader: Reader,
    section: Option<String>,
    system: System,
    full: bool,
}

/// What a system showed above its notes.
#[derive(Default)]
struct System {
    /// The numbers of its bars.
    numbers: Vec<Option<usize>>,
    /// The words of each bar, with their columns.
    chords: Vec<Vec<(usize, String)>>,
    /// The line where they stand.
    chords_line: usize,
    seen_notes: bool,
}

impl Page {
    fn line(&mut self, number: usize, line: &str, all: &mut Diagnostics) {
        let Some((name, _)) = row(line) else {
            if let Some(section) = heading(line) {
                self.section = Some(section);
            }
            return;
        };
        match name {
            "" if !self.system.seen_notes => {
                let first = |cell: &Word<'_>| cell.text.split_whitespace().next()?.parse().ok();
                self.system.numbers = cells(line).iter().map(first).collect();
            }
            "chords" => {
                let own = |cell: &Word<'_>| {
                    words(cell.text, cell.column)
                        .iter()
                        .map(|word| (word.column, word.text.to_owned()))
                        .collect()
                };
                self.system.chords_line = number;
                self.system.chords = cells(line).iter().map(own).collect();
            }
            "notes" => {
                self.system.seen_notes = true;
                let system = std::mem::take(&mut self.system);
                self.notes(number, line, &system, all);
                self.system.seen_notes = true;
            }
            _ => {}
        }
    }

    fn notes(&mut self, number: usize, line: &str, system: &System, all: &mut Diagnostics) {
        for (nth, cell) in cells(line).iter().enumerate() {
            if self.full {
                return;
            }
            if self.measures.len() == MAX_BARS {
                self.full = true;
                all.error(
                    Place::column(number, cell.column),
                    format!("the line is longer than {MAX_BARS} bars"),
                    "split it into several lines",
                );
                return;
            }
            let (signs, mut found) = bar::tokens(cell.text, cell.column);
            for (column, token) in &signs {
                if !matches!(token, Token::Word(_) | Token::Group(_)) {
                    found.push((
                        *column,
                        Diagnostic::error(
                            "this is no note of a page",
                            "write one note for each beat, `.` to hold, `r` to rest",
                        ),
                    ));
                }
            }
            let pieces = self.reader.pieces(&signs, QUARTER, &mut found);
            if pieces.is_empty() && found.is_empty() {
                found.push((
                    cell.column,
                    Diagnostic::error(
                        "there are no notes in this bar",
                        "write its notes, or `r` for each beat of rest",
                    ),
                ));
            }
            found.sort_by_key(|(column, _)| *column);
            for (column, fault) in found {
                all.add(fault.at(Place::column(number, column)));
            }
            let mut measure = build::measure(&pieces, &mut self.measures);
            measure.pickup = self.measures.is_empty() && system.numbers.get(nth) == Some(&Some(0));
            if !measure.pickup {
                measure.section = self.section.take();
            }
            let beats: Vec<usize> = signs.iter().map(|(column, _)| *column).collect();
            let chords = system.chords.get(nth).map_or(&[][..], Vec::as_slice);
            symbols(&mut measure, chords, &beats, system.chords_line, all);
            self.measures.push(measure);
        }
    }

    fn score(mut self) -> Score {
        times(&mut self.measures);
        once(&mut self.measures);
        if let Some(first) = self.measures.first_mut() {
            first.key = self.head.key;
            first.tempo = self.head.tempo;
        }
        let about = self.head.take_facts();
        Score {
            title: self.head.title,
            composer: self.head.composer,
            student: self.head.student,
            feel: self.head.feel,
            about,
            measures: self.measures,
            ..Score::default()
        }
    }
}

/// The section that a line above a system names: `[A]`, `chorus 2 [A]`.
fn heading(line: &str) -> Option<String> {
    let line = line.trim();
    let rest = match line.strip_prefix("chorus ") {
        Some(rest) => rest.trim_start_matches(|c: char| c.is_ascii_digit()).trim(),
        None => line,
    };
    let name = rest.strip_prefix('[')?.strip_suffix(']')?;
    (!name.is_empty()).then(|| name.to_owned())
}

/// Puts the chords of a bar over the beats that begin at these columns.
fn symbols(
    measure: &mut Measure,
    chords: &[(usize, String)],
    beats: &[usize],
    line: usize,
    all: &mut Diagnostics,
) {
    for (column, text) in chords {
        let beat = beats.iter().filter(|start| *start <= column).count();
        let symbol = match (text.as_str(), text.parse::<Chord>()) {
            ("N.C.", _) => Symbol::NoChord,
            (_, Ok(chord)) => Symbol::Chord(chord),
            (_, Err(error)) => {
                all.remark(
                    Place::column(line, *column),
                    format!("{} was kept as it is: it is no chord", quoted(text)),
                    error.hint().to_owned(),
                );
                Symbol::Unread(text.clone())
            }
        };
        measure.symbols.push(SymbolAt {
            at: beat.saturating_sub(1) as u32 * QUARTER,
            symbol,
        });
    }
    measure.symbols.sort_by_key(|symbol| symbol.at);
}

/// Metres where they change: as many quarter notes as a bar has. The pick-up has the metre of
/// the bar after it.
fn times(measures: &mut [Measure]) {
    let mut now = None;
    for nth in 0..measures.len() {
        let full = match measures[nth].pickup {
            true => measures.get(nth + 1).unwrap_or(&measures[nth]),
            false => &measures[nth],
        };
        let time = TimeSignature {
            beats: u8::try_from(full.ticks / QUARTER).unwrap_or(u8::MAX),
            unit: 4,
        };
        if now != Some(time) {
            measures[nth].time = Some(time);
            now = Some(time);
        }
    }
}

/// Leaves out chords that go on: a page tells the chord of every bar anew. Where a section
/// begins its chord stays.
fn once(measures: &mut [Measure]) {
    let mut now: Option<Symbol> = None;
    for measure in measures {
        if measure.section.is_some() {
            now = None;
        }
        measure.symbols.retain(|here| {
            let new = now.as_ref() != Some(&here.symbol);
            now = Some(here.symbol.clone());
            new
        });
    }
}
