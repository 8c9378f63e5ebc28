//! A tune, line by line and sign by sign.

use linewright_theory::{Interval, Key, Letter, Name, Note};

use super::bars::{Bars, Exact, Item, Kind as ItemKind};
use super::fields::{self, Metre, Tempo};
use super::file::{Line, Tune, field, uncommented};
use super::key::{Reading, Signature, Staff};
use super::lexer::{Bar, Lexer, NoteSign, Sign as Mark, Stroke};
use super::quoted::{self, Quoted};
use super::report::{Kind, Reports};
use super::voice::{self, Voice};
use super::{MAX_VOICES, key};
use crate::abc::sign::Sign;
use crate::abc::text::{plain, shown};
use crate::{Division, Place, Problems, QUARTER, Symbol, Ticks};

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
    /// The accidentals of the measure: letter, octave, alteration; the last counts.
    accidentals: Vec<(Letter, i8, i8)>,
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
    pub fn read(header: &[Line], tune: &Tune, reports: Reports) -> Result<Music, Problems> {
        let mut music = Music {
            title: None,
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
            accidentals: Vec::new(),
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
        music.voices = voices(&tune.lines)?;
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

    fn line(&mut self, line: &Line, keyed: bool) -> Result<(), Problems> {
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
            self.unit = Some(fields::default_unit(self.metre));
        }
        if let Some(Metre::Time(time)) = self.metre {
            self.bars.start.time = Some(time);
        }
    }

    /// A line that begins with `%`.
    fn directive(&mut self, text: &str) {
        if let Some(words) = text.strip_prefix("%%") {
            self.instruction(words);
        }
    }

    fn instruction(&mut self, text: &str) {
        let mut words = text.split_whitespace();
        if words.next() == Some("propagate-accidentals") {
            self.reach = match words.next() {
                Some("not") => Reach::Note,
                Some("octave") => Reach::Octave,
                _ => Reach::Letter,
            };
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

    /// A field of a line of its own or inside the music.
    fn field(&mut self, name: char, value: &str, place: Place) -> Result<(), Problems> {
        let value = value.trim();
        if self.in_body && !self.is_chosen() && !matches!(name, 'V' | 'P' | 'Q' | 'U' | 'I') {
            return Ok(());
        }
        match name {
            'T' if !self.in_body && self.title.is_none() => {
                self.title = Some(plain(value)).filter(|title| !title.is_empty());
            }
            'R' if !self.in_body && self.feel.is_none() => {
                self.feel = Some(plain(value)).filter(|feel| !feel.is_empty());
            }
            'N' if !self.in_body => self.about.extend(fact(value)),
            'M' => self.metre_field(value, place),
            'L' => match fields::unit(value) {
                Some(unit) => self.unit = Some(unit),
                None => self.reports.add(
                    place,
                    format!("{} is no unit length", shown(value)),
                    "write a fraction such as `L:1/8`",
                ),
            },
            'Q' => self.tempo_field(value, place),
            'K' => self.key_field(value, place),
            'P' if self.in_body => {
                let name = plain(value);
                if !name.is_empty() {
                    self.bars.begins().section = Some(name);
                }
            }
            'P' if value.chars().filter(|c| c.is_alphabetic()).count() > 1 => self.reports.add(
                place,
                format!(
                    "the order of the parts, {}, is not carried out",
                    shown(value)
                ),
                "write repeats, or the parts in the order in which they are played",
            ),
            'V' if self.in_body => self.voice_field(value),
            'U' => {
                if let Some((sign, name)) = value.split_once('=')
                    && let Some(sign) = sign.trim().chars().next()
                {
                    let name = name.trim().trim_matches(['!', '+']).to_owned();
                    self.user.retain(|(known, _)| *known != sign);
                    self.user.push((sign, name));
                }
            }
            'I' => self.instruction(value),
            _ => {}
        }
        Ok(())
    }

    fn metre_field(&mut self, value: &str, place: Place) {
        let Some(metre) = fields::metre(value) else {
            self.reports.add(
                place,
                format!("{} is no metre", shown(value)),
                "write `M:4/4`, `M:C`, `M:C|` or `M:none`",
            );
            return;
        };
        let new = self.metre != Some(metre);
        self.metre = Some(metre);
        if self.in_body
            && new
            && let Metre::Time(time) = metre
        {
            self.bars.begins().time = Some(time);
        }
    }

    fn tempo_field(&mut self, value: &str, place: Place) {
        let unit = self.unit.unwrap_or(fields::default_unit(self.metre));
        match fields::tempo(value, unit) {
            Some(Tempo::Quarters(tempo)) => {
                if self.tempo != Some(tempo) {
                    self.tempo = Some(tempo);
                    self.bars.begins().tempo = Some(tempo);
                }
            }
            Some(Tempo::Words) => {}
            None => self.reports.add(
                place,
                format!("{} is no tempo", shown(value)),
                "write the beats of a minute, as in `Q:1/4=120`",
            ),
        }
    }

    fn key_field(&mut self, value: &str, place: Place) {
        let Ok((signature, staff)) = key::key(value) else {
            self.reports.add(
                place,
                format!("{} is no key", shown(value)),
                "write a tonic and a mode, as in `K:Bb`, `K:F#m` or `K:D dorian`",
            );
            return;
        };
        self.staff = staff.over(self.staff);
        let Some(signature) = signature else {
            return;
        };
        let before = self.signature.key;
        self.signature = signature;
        self.accidentals.clear();
        let Some(written) = signature.key else {
            self.interval = Interval::UNISON;
            return;
        };
        match signature.reading {
            Reading::Exact => {}
            Reading::Mode => self.reports.once(
                Kind::Mode,
                place,
                format!(
                    "the key {} is read as {written}, which has the same signature",
                    shown(value)
                ),
                "only major and minor keys are told apart",
            ),
            Reading::Accidentals => self.reports.once(
                Kind::Signature,
                place,
                format!(
                    "no key has the accidentals of {}; it is called {written}",
                    shown(value)
                ),
                "each note keeps its accidental",
            ),
        }
        self.interval = self.transposition(written, place);
        if before != Some(written) {
            let tonic = match self.interval {
                Interval::UNISON => written.tonic,
                up => written.tonic.transposed(up),
            };
            let sounding = Key::new(tonic, written.mode);
            self.bars.begins().key = sounding.or(Some(written.transposed(self.interval)));
        }
    }

    /// The interval of `transpose=` that gives the key with the fewest accidentals.
    fn transposition(&mut self, written: Key, place: Place) -> Interval {
        let semitones = i32::from(self.staff.semitones());
        if semitones == 0 {
            return Interval::UNISON;
        }
        self.reports.once(
            Kind::Transposed,
            place,
            "the part is for a transposing instrument and is read as it sounds",
            "take `transpose=` out to read it as it is written",
        );
        let up = (1..=6)
            .filter_map(|steps| Interval::new(steps, semitones))
            .min_by_key(|up| {
                let tonic = written.tonic.transposed(*up);
                let named = Interval::between_names(written.tonic, tonic) == Some(*up);
                (
                    !named,
                    (tonic.fifths() - written.tonic.fifths() + i32::from(written.fifths())).abs(),
                )
            });
        up.unwrap_or(Interval::UNISON)
    }

    fn voice_field(&mut self, value: &str) {
        let told = Voice::read(value);
        if let Some(found) = self.voices.iter().position(|voice| voice.id == told.id) {
            self.current = found;
        }
    }

    fn music(&mut self, line: &Line) -> Result<(), Problems> {
        for (column, mark) in Lexer::new(line.text) {
            self.mark(mark, at(line, column))?;
        }
        self.blank = true;
        if self.is_chosen() {
            self.full_line = !self.bars.is_empty() && self.full() == Some(self.bars.now);
        }
        Ok(())
    }

    fn mark(&mut self, mark: Mark, place: Place) -> Result<(), Problems> {
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

    /// A length in units, exactly, with what tuplets and broken rhythms make of it.
    fn exact(&mut self, over: u32, under: u32, place: Place) -> Exact {
        if over == 0 || under == 0 {
            self.reports.once(
                Kind::Fraction,
                place,
                "a length of zero is read as one",
                "write `2`, `/2` or `3/2` after a note, or nothing",
            );
        }
        Exact::ticks(self.unit()).times(u64::from(over.max(1)), u64::from(under.max(1)))
    }

    /// Adds a note, rest or gap.
    fn item(
        &mut self,
        kind: ItemKind,
        exact: Exact,
        tie: bool,
        place: Place,
    ) -> Result<(), Problems> {
        let mut exact = exact;
        if let Some((count, time, left)) = self.tuplet.take() {
            exact = exact.times(u64::from(time), u64::from(count));
            self.tuplet = (left > 1).then_some((count, time, left - 1));
        }
        if let Some((over, under)) = self.broken.take() {
            exact = exact.times(over, under);
        }
        if !exact.is_whole() {
            self.reports.once(
                Kind::Fraction,
                place,
                "a length has no exact value here and is rounded",
                "write note values down to a 256th, and tuplets of three, five or seven",
            );
        }
        if !matches!(kind, ItemKind::Note(_)) {
            self.held = None;
        }
        if std::mem::take(&mut self.full_line) {
            self.reports.once(
                Kind::Line,
                place,
                "the line before ends a measure without a bar line; it is read with one",
                "write `|` at the end of each measure",
            );
            self.bars.close(Division::Single, self.full())?;
            self.accidentals.clear();
        }
        let first = self.bars.is_empty();
        self.bars.push(
            Item {
                at: 0,
                ticks: exact.rounded().max(1),
                exact,
                kind,
                tie,
                ghost: std::mem::take(&mut self.ghost) && matches!(kind, ItemKind::Note(_)),
                joined: !std::mem::take(&mut self.blank),
            },
            Place {
                measure: Some(self.bars.number()),
                ..place
            },
        )?;
        for sign in std::mem::take(&mut self.signs) {
            match sign {
                Sign::Segno if first => self.bars.start.segno = true,
                Sign::Coda if first => self.bars.start.coda = true,
                Sign::Segno => self.bars.begins().segno = true,
                Sign::Coda => self.bars.begins().coda = true,
                other => self.bars.ends_with(other),
            }
        }
        Ok(())
    }

    fn measures(&mut self, visible: bool, count: u32, place: Place) -> Result<(), Problems> {
        let full = self.full().unwrap_or(4 * QUARTER);
        let kind = if visible {
            ItemKind::Rest
        } else {
            ItemKind::Gap
        };
        for number in 0..count.max(1) {
            if number > 0 {
                self.bars.close(Division::Single, self.full())?;
            }
            (self.tuplet, self.broken) = (None, None);
            self.item(kind, Exact::ticks(full), false, place)?;
        }
        Ok(())
    }

    fn note(&mut self, sign: NoteSign, place: Place) -> Result<(), Problems> {
        let note = self.sounding(sign, place);
        let exact = self.exact(sign.length.over, sign.length.under, place);
        let Some(chord) = &mut self.chord else {
            let Some(note) = note else {
                return self.item(ItemKind::Rest, exact, false, place);
            };
            return self.item(ItemKind::Note(note), exact, false, place);
        };
        chord.length.get_or_insert(exact);
        let Some(note) = note else { return Ok(()) };
        match chord.lowest {
            None => chord.lowest = Some(note),
            Some(lowest) => {
                chord.several |= note != lowest;
                if note.semitones_to(lowest) > 0 {
                    chord.lowest = Some(note);
                }
            }
        }
        Ok(())
    }

    /// The note that sounds, with its accidental; none far outside all instruments.
    fn sounding(&mut self, sign: NoteSign, place: Place) -> Option<Note> {
        let (letter, octave) = (sign.letter, sign.octave);
        if sign.microtone {
            self.reports.once(
                Kind::Microtone,
                place,
                "quarter tones are read as half tones",
                "write `^`, `_` or `=` alone before a note",
            );
        }
        let held = self
            .held
            .take()
            .filter(|held| (held.0, held.1) == (letter, octave));
        let alter = match (sign.accidental, held) {
            (Some(alter), _) => {
                if self.reach != Reach::Note {
                    self.accidentals.push((letter, octave, alter));
                }
                alter
            }
            (None, Some((.., alter))) => alter,
            (None, None) => self
                .accidentals
                .iter()
                .rev()
                .find(|(l, o, _)| *l == letter && (*o == octave || self.reach == Reach::Letter))
                .map_or(
                    self.signature.alters[usize::from(letter.index())],
                    |(.., alter)| *alter,
                ),
        };
        self.last = Some((letter, octave, alter));
        let octave = i32::from(octave) + self.staff.octaves();
        let octave = octave.clamp(i32::from(i8::MIN), i32::from(i8::MAX)) as i8;
        let mut note = Note::new(Name::new(letter, alter), octave);
        if self.interval != Interval::UNISON {
            note = note.transposed(self.interval);
        }
        if note.pitch().is_none() {
            self.reports.once(
                Kind::Height,
                place,
                "a note lies outside everything that sounds and is read as a rest",
                "write fewer octave marks",
            );
            return None;
        }
        Some(note)
    }

    fn close_chord(&mut self, over: u32, under: u32, place: Place) -> Result<(), Problems> {
        let Some(chord) = self.chord.take() else {
            self.unknown(']', place);
            return Ok(());
        };
        let Some(length) = chord.length else {
            return Ok(());
        };
        if chord.several {
            self.reports.once(
                Kind::Chord,
                place,
                "of notes in brackets only the lowest is read",
                "write one note at a time, and chords as symbols: `\"Am7\"`",
            );
        }
        let exact = length.times(u64::from(over.max(1)), u64::from(under.max(1)));
        let kind = chord.lowest.map_or(ItemKind::Rest, ItemKind::Note);
        // The alteration of a chord's last note is not that of the note that is held.
        self.last = None;
        self.item(kind, exact, chord.tie, place)
    }

    fn tie(&mut self) {
        if let Some(chord) = &mut self.chord {
            chord.tie = true;
        } else if let Some(last) = self.bars.items.last_mut()
            && matches!(last.kind, ItemKind::Note(_))
        {
            last.tie = true;
            self.held = self.last;
            // What follows without a blank may be a piece of the same note.
            self.blank = false;
        }
    }

    fn broken_rhythm(&mut self, count: i32, place: Place) {
        let parts = 1u64 << count.unsigned_abs().min(4);
        let (long, short) = ((2 * parts - 1, parts), (1, parts));
        let (first, second) = if count > 0 {
            (long, short)
        } else {
            (short, long)
        };
        match self.bars.items.last().map(|last| last.exact) {
            Some(exact) => {
                let exact = exact.times(first.0, first.1);
                self.bars.stretch_last(exact);
                self.broken = Some(second);
            }
            None => self.reports.once(
                Kind::Broken,
                place,
                "a broken rhythm stands before any note of its measure and is skipped",
                "write `>` or `<` between two notes of one measure",
            ),
        }
    }

    fn begin_tuplet(&mut self, count: u32, time: Option<u32>, notes: Option<u32>, place: Place) {
        let compound = self.metre.is_some_and(|metre| match metre {
            Metre::Time(time) => time.unit == 8 && time.beats % 3 == 0 && time.beats > 3,
            Metre::Free => false,
        });
        let usual = match count {
            2 | 4 | 8 => 3,
            3 | 6 => 2,
            _ if compound => 3,
            _ => 2,
        };
        let (time, notes) = (time.unwrap_or(usual), notes.unwrap_or(count));
        let sane = |number: u32| (1..=64).contains(&number);
        if sane(count) && sane(time) && sane(notes) {
            self.tuplet = Some((count, time, notes));
        } else {
            self.reports.once(
                Kind::Tuplet,
                place,
                format!("a tuplet of {count} notes is not read"),
                "write `(3` and three notes, or count, time and notes as in `(5:4:5`",
            );
        }
    }

    fn decoration(&mut self, name: &str) {
        match name {
            "style=x" | "ghost" => self.ghost = true,
            _ => self.signs.extend(Sign::read(name)),
        }
    }

    fn quotation(&mut self, text: &str, place: Place) {
        let text = plain(text);
        let mut alternative = || {
            self.reports.once(
                Kind::Alternative,
                place,
                format!("the alternative chord in {} is left out", shown(&text)),
                "write one chord symbol",
            );
        };
        match quoted::read(&text) {
            Quoted::Sign(sign) => self.signs.push(sign),
            Quoted::Annotation => {}
            Quoted::Words => self.reports.once(
                Kind::Words,
                place,
                format!("{} is no chord symbol and is left out", shown(&text)),
                "write words as `\"^words\"`, fingers as `!1!`, chord symbols as `\"Am7\"`",
            ),
            Quoted::Alternative(_) if self.bars.has_symbol() => alternative(),
            Quoted::Alternative(symbol) => self.symbol(symbol),
            Quoted::WithAlternative(symbol) => {
                alternative();
                self.symbol(symbol);
            }
            Quoted::Symbol(symbol, wrong) => {
                if let Some((message, hint)) = wrong {
                    let message = format!(
                        "the chord symbol {} cannot be read: {message}",
                        shown(&text)
                    );
                    self.reports.add(place, message, hint);
                }
                self.symbol(symbol);
            }
        }
    }

    fn symbol(&mut self, symbol: Symbol) {
        let symbol = match symbol {
            Symbol::Chord(chord) if self.interval != Interval::UNISON => {
                Symbol::Chord(chord.transposed(self.interval))
            }
            other => other,
        };
        self.bars.symbol(symbol);
    }

    fn bar(&mut self, bar: &Bar) -> Result<(), Problems> {
        let mut after = Vec::new();
        for sign in std::mem::take(&mut self.signs) {
            match sign {
                Sign::Segno | Sign::Coda => after.push(sign),
                other => self.bars.ends_with(other),
            }
        }
        self.bars.bar(bar, self.full())?;
        self.full_line = false;
        for sign in after {
            match sign {
                Sign::Segno => self.bars.start.segno = true,
                _ => self.bars.start.coda = true,
            }
        }
        self.accidentals.clear();
        self.chord = None;
        self.broken = None;
        self.blank = true;
        Ok(())
    }

    /// An ending that no bar line comes before.
    fn ending(&mut self, passes: Vec<u8>) -> Result<(), Problems> {
        let full = self.full();
        let bar = Bar {
            ends: 0,
            opens: false,
            stroke: Stroke::Single,
            ending: passes,
        };
        self.full_line = false;
        self.bars.bar(&bar, full)
    }

    /// What is left when the text ends.
    fn end(&mut self) -> Result<(), Problems> {
        for sign in std::mem::take(&mut self.signs) {
            self.bars.ends_with(sign);
        }
        if !self.bars.is_empty() {
            self.bars.close(Division::Single, self.full())?;
        }
        Ok(())
    }
}

/// A place in a line of the file.
fn at(line: &Line, column: usize) -> Place {
    Place {
        line: Some(line.number),
        column: Some(column),
        measure: None,
    }
}

/// The field that a line is. A line of music may begin like one, as `d:|`.
fn field_line(text: &str) -> Option<(char, &str)> {
    let name = text
        .chars()
        .next()
        .filter(|c| c.is_ascii_alphabetic() || *c == '+')?;
    let value = text[1..].strip_prefix(':')?;
    let note = matches!(name, 'A'..='G' | 'a'..='g' | 'x' | 'z');
    (!note || !value.starts_with([':', '|'])).then_some((name, value))
}

/// A fact from an `N:` line, `name: value`.
fn fact(value: &str) -> Option<(String, String)> {
    let (name, value) = value.split_once(':')?;
    let plain_name = name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.len() <= 40
        && name
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == ' ' || c == '-');
    plain_name.then(|| (name.trim().to_owned(), plain(value)))
}

/// The voices of a tune, in the order in which they are met; there is always one.
fn voices(lines: &[Line]) -> Result<Vec<Voice>, Problems> {
    let mut voices: Vec<Voice> = Vec::new();
    let mut current = 0;
    let mut in_body = false;
    for line in lines {
        match field_line(line.text) {
            Some(('V', value)) => {
                let met = meet(&mut voices, uncommented(value), at(line, 1))?;
                if in_body {
                    current = met;
                }
            }
            Some(('K', _)) => in_body = true,
            Some(_) => {}
            None if !in_body || line.text.starts_with('%') => {}
            None => {
                for (column, mark) in Lexer::new(line.text) {
                    match mark {
                        Mark::Field('V', value) => {
                            current = meet(&mut voices, value, at(line, column))?;
                        }
                        Mark::Note(_) | Mark::Rest { .. } | Mark::Measures { .. } => {
                            if voices.is_empty() {
                                voices.push(Voice::default());
                            }
                            voices[current].has_music = true;
                        }
                        _ => {}
                    }
                }
            }
        }
    }
    if voices.is_empty() {
        voices.push(Voice::default());
    }
    Ok(voices)
}

/// The index of the voice that a field names; a new one is added.
fn meet(voices: &mut Vec<Voice>, value: &str, place: Place) -> Result<usize, Problems> {
    let voice = Voice::read(value);
    if let Some(found) = voices.iter().position(|known| known.id == voice.id) {
        voices[found].join(voice);
        return Ok(found);
    }
    if voices.len() == MAX_VOICES {
        return Err(Problems::one(
            place,
            format!("the tune has more than {MAX_VOICES} voices"),
            "give a tune with fewer voices",
        ));
    }
    voices.push(voice);
    Ok(voices.len() - 1)
}
