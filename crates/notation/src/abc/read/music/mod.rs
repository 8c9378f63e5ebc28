//! A tune, line by line and sign by sign.

mod fields;
mod notes;
mod signs;

use std::collections::BTreeMap;

use linewright_diagnostic::{Diagnostics, Place};
use linewright_theory::{Interval, Letter, Note};

use super::bars::{Bars, Exact, Kind as ItemKind};
use super::fields::{Metre, default_unit};
use super::file::{Line, Tune, field, uncommented};
use super::key::{Signature, Staff};
use super::lexer::{Lexer, Sign as Mark};
use super::report::{Kind, Reports};
use super::voice::{self, Voice};
use crate::abc::sign::Sign;
use crate::abc::text::shown;
use crate::{BarLine, QUARTER, Ticks};

/// How far an accidental reaches, as `%%propagate-accidentals` says.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
enum Reach {
    Note,
    Octave,
    /// To every octave of its letter: the standard's default.
    Letter,
}

/// The notes of a chord that is being read.
#[derive(Debug, Default)]
struct Chord {
    lowest: Option<Note>,
    several: bool,
    length: Option<Exact>,
    tie: bool,
}

/// What has been read of a tune, and what is in force.
pub(super) struct Music {
    pub title: Option<String>,
    pub composer: Option<String>,
    pub feel: Option<String>,
    pub about: Vec<(String, String)>,
    pub bars: Bars,
    pub reports: Reports,
    /// Where the tune begins.
    pub place: Place,
    in_body: bool,
    metre: Option<Metre>,
    unit: Option<Ticks>,
    signature: Signature,
    staff: Staff,
    reach: Reach,
    /// The interval of `transpose=` beyond octaves.
    interval: Interval,
    tempo: Option<u16>,
    /// The accidentals of the measure by letter, and by octave where they keep to it.
    accidentals: BTreeMap<(Letter, Option<i8>), i8>,
    /// The note before: letter, octave, alteration.
    last: Option<(Letter, i8, i8)>,
    /// The note before a tie, whose alteration holds over a bar line.
    held: Option<(Letter, i8, i8)>,
    user: Vec<(char, String)>,
    voices: Vec<Voice>,
    chosen: usize,
    current: usize,
    signs: Vec<Sign>,
    ghost: bool,
    blank: bool,
    chord: Option<Chord>,
    tuplet: Option<(u32, u32, u32)>,
    /// What a broken rhythm makes of the next length.
    broken: Option<(u64, u64)>,
    overlay: bool,
    /// A line ended here, in a full measure and without a bar line.
    full_line: bool,
}

impl Music {
    /// Reads the chosen voice of a tune, with the fields that the file's header tells.
    ///
    /// # Errors
    /// When the tune is absurdly long.
    pub fn read(header: &[Line], tune: &Tune, reports: Reports) -> Result<Music, Diagnostics> {
        let mut music = Music {
            title: None,
            composer: None,
            feel: None,
            about: Vec::new(),
            bars: Bars::default(),
            reports,
            place: tune.place(),
            in_body: false,
            metre: None,
            unit: None,
            signature: Signature::NONE,
            staff: Staff::default(),
            reach: Reach::Letter,
            interval: Interval::UNISON,
            tempo: None,
            accidentals: BTreeMap::new(),
            last: None,
            held: None,
            user: Vec::new(),
            voices: Vec::new(),
            chosen: 0,
            current: 0,
            signs: Vec::new(),
            ghost: false,
            blank: true,
            chord: None,
            tuplet: None,
            broken: None,
            overlay: false,
            full_line: false,
        };
        for line in header {
            if let Some((name @ ('M' | 'L' | 'Q' | 'U' | 'I'), value)) = field_line(line.text) {
                music.field(name, uncommented(value), at(line, 3))?;
            } else {
                music.directive(line.text);
            }
        }
        music.voices = voice::all(&tune.lines)?;
        music.choose_voice();
        let keyed = tune
            .lines
            .iter()
            .any(|line| field(line.text, 'K').is_some());
        for line in &tune.lines {
            music.line(line, keyed)?;
        }
        music.end()?;
        Ok(music)
    }

    fn choose_voice(&mut self) {
        let with_music = self.voices.iter().filter(|voice| voice.has_music).count();
        let Some(chosen) = voice::choose(&self.voices).cloned() else {
            return;
        };
        let found = self.voices.iter().position(|voice| voice.id == chosen.id);
        self.chosen = found.unwrap_or(0);
        self.staff = chosen.staff;
        if with_music > 1 {
            self.reports.add(
                self.place,
                format!(
                    "the tune has {with_music} voices; only {} is read",
                    shown(&chosen.id)
                ),
                "give the voice to be read `clef=bass`, or put it first",
            );
        }
    }

    fn line(&mut self, line: &Line, keyed: bool) -> Result<(), Diagnostics> {
        let text = line.text;
        if text.starts_with('%') {
            self.directive(text);
            return Ok(());
        }
        match field_line(text) {
            Some((name, _)) if self.in_body && "wWsr+".contains(name) => Ok(()),
            Some((name, value)) => {
                self.field(name, uncommented(value), at(line, 3))?;
                if name == 'K' && !self.in_body {
                    self.begin_body();
                }
                Ok(())
            }
            // A header line that is no field goes on with the field before it.
            None if !self.in_body && keyed => Ok(()),
            None => {
                if !self.in_body && !text.trim().is_empty() {
                    self.reports.add(
                        at(line, 1),
                        "the music begins without a key",
                        "end the header with a key, as in `K:F`",
                    );
                    self.begin_body();
                }
                self.music(line)
            }
        }
    }

    fn begin_body(&mut self) {
        self.in_body = true;
        if self.unit.is_none() {
            self.unit = Some(default_unit(self.metre));
        }
        if let Some(Metre::Time(time)) = self.metre {
            self.bars.start.time = Some(time);
        }
    }

    fn is_chosen(&self) -> bool {
        self.current == self.chosen
    }

    fn unit(&self) -> Ticks {
        self.unit.unwrap_or(QUARTER / 2)
    }

    /// The length of a full measure.
    fn full(&self) -> Option<Ticks> {
        match self.metre {
            Some(Metre::Time(time)) => Some(time.ticks()),
            _ => None,
        }
    }

    fn music(&mut self, line: &Line) -> Result<(), Diagnostics> {
        for (column, mark) in Lexer::new(line.text) {
            self.mark(mark, at(line, column))?;
        }
        self.blank = true;
        if self.is_chosen() {
            self.full_line = !self.bars.is_empty() && self.full() == Some(self.bars.now);
        }
        Ok(())
    }

    fn mark(&mut self, mark: Mark, place: Place) -> Result<(), Diagnostics> {
        if let Mark::Field(name, value) = mark {
            return self.field(name, value, place);
        }
        if !self.is_chosen() {
            return Ok(());
        }
        if self.overlay {
            if let Mark::Bar(_) = mark {
                self.overlay = false;
            } else {
                return Ok(());
            }
        }
        if matches!(
            mark,
            Mark::Note(_) | Mark::Rest { .. } | Mark::Measures { .. } | Mark::Open
        ) {
            self.end_full_line(place)?;
        }
        match mark {
            Mark::Note(note) => self.note(note, place),
            Mark::Rest { visible, length } => {
                let kind = if visible {
                    ItemKind::Rest
                } else {
                    ItemKind::Gap
                };
                let exact = self.exact(length.over, length.under, place);
                self.item(kind, exact, false, place)
            }
            Mark::Measures { visible, count } => self.measures(visible, count, place),
            Mark::Open => {
                self.chord = Some(Chord::default());
                Ok(())
            }
            Mark::Close(length) => self.close_chord(length.over, length.under, place),
            Mark::Bar(bar) => self.bar(&bar),
            Mark::Ending(passes) => self.ending(passes),
            other => {
                self.small(other, place);
                Ok(())
            }
        }
    }

    /// Ends the measure that the line before filled without a bar line.
    fn end_full_line(&mut self, place: Place) -> Result<(), Diagnostics> {
        if std::mem::take(&mut self.full_line) {
            self.reports.once(
                Kind::Line,
                place,
                "the line before ends a measure without a bar line; it is read with one",
                "write `|` at the end of each measure",
            );
            self.bars.close(BarLine::Single, self.full())?;
            self.accidentals.clear();
        }
        Ok(())
    }

    /// Marks that neither last nor part.
    fn small(&mut self, mark: Mark, place: Place) {
        match mark {
            Mark::Blank => self.blank = true,
            Mark::Tie => self.tie(),
            Mark::Broken(count) => self.broken_rhythm(count, place),
            Mark::Tuplet { count, time, notes } => self.begin_tuplet(count, time, notes, place),
            Mark::Quoted(text) => self.quotation(text, place),
            Mark::Unclosed(text) => self.reports.add(
                place,
                format!("the quotation {} has no end", shown(text)),
                "write `\"` after it",
            ),
            Mark::Decoration(name) => self.decoration(name),
            Mark::Letter(c) => {
                let told = self.user.iter().find(|(sign, _)| *sign == c);
                match (told.map(|(_, name)| name.clone()), c) {
                    (Some(name), _) => self.decoration(&name),
                    (None, 'S') => self.decoration("segno"),
                    (None, 'O') => self.decoration("coda"),
                    (None, '~' | '.' | 'H' | 'L' | 'M' | 'P' | 'T' | 'u' | 'v') => {}
                    (None, _) => self.unknown(c, place),
                }
            }
            Mark::Grace => self.reports.once(
                Kind::Grace,
                place,
                "grace notes are left out",
                "write them as notes of their own if they are to be kept",
            ),
            Mark::Overlay => {
                self.overlay = true;
                self.reports.once(
                    Kind::Overlay,
                    place,
                    "of voices in one measure (`&`) only the first is read",
                    "write the other voice as a `V:` of its own",
                );
            }
            Mark::Unknown(c) => self.unknown(c, place),
            _ => {}
        }
    }

    fn unknown(&mut self, c: char, place: Place) {
        self.reports.once(
            Kind::Character,
            place,
            format!(
                "{} means nothing here and is skipped",
                shown(&c.to_string())
            ),
            "take it out, or put words in quotation marks as `\"^words\"`",
        );
    }

    /// What is left when the text ends.
    fn end(&mut self) -> Result<(), Diagnostics> {
        for sign in std::mem::take(&mut self.signs) {
            self.bars.ends_with(sign);
        }
        if !self.bars.is_empty() {
            self.bars.close(BarLine::Single, self.full())?;
        }
        Ok(())
    }
}

/// A place in a line of the file.
pub(super) fn at(line: &Line, column: usize) -> Place {
    Place::column(line.number, column)
}

/// The field that a line is. A line of music may begin like one, as `d:|`.
pub(super) fn field_line(text: &str) -> Option<(char, &str)> {
    let name = text
        .chars()
        .next()
        .filter(|c| c.is_ascii_alphabetic() || *c == '+')?;
    let value = text[1..].strip_prefix(':')?;
    let note = matches!(name, 'A'..='G' | 'a'..='g' | 'x' | 'z');
    (!note || !value.starts_with([':', '|'])).then_some((name, value))
}
