//! Notes, rests and what changes their lengths and pitches.

use linewright_diagnostic::{Diagnostics, Place};
use linewright_theory::{Interval, Name, Note};

use super::{Music, Reach};
use crate::abc::read::fields::Metre;
use crate::abc::read::item::{Exact, Item, Kind as ItemKind};
use crate::abc::read::lexer::NoteSign;
use crate::abc::read::report::Kind;
use crate::abc::sign::Sign;
use crate::{BarLine, QUARTER};

impl Music {
    /// A length in units, exactly, with what tuplets and broken rhythms make of it.
    pub(super) fn exact(&mut self, over: u32, under: u32, place: Place) -> Exact {
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
    pub(super) fn item(
        &mut self,
        kind: ItemKind,
        exact: Exact,
        tie: bool,
        place: Place,
    ) -> Result<(), Diagnostics> {
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
            place,
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

    pub(super) fn measures(
        &mut self,
        visible: bool,
        count: u32,
        place: Place,
    ) -> Result<(), Diagnostics> {
        let full = self.full().unwrap_or(4 * QUARTER);
        let kind = if visible {
            ItemKind::Rest
        } else {
            ItemKind::Gap
        };
        for number in 0..count.max(1) {
            if number > 0 {
                self.bars.close(BarLine::Single, self.full())?;
            }
            (self.tuplet, self.broken) = (None, None);
            self.item(kind, Exact::ticks(full), false, place)?;
        }
        Ok(())
    }

    pub(super) fn note(&mut self, sign: NoteSign, place: Place) -> Result<(), Diagnostics> {
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
    pub(super) fn sounding(&mut self, sign: NoteSign, place: Place) -> Option<Note> {
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
        let reached = match self.reach {
            Reach::Letter => (letter, None),
            Reach::Octave | Reach::Note => (letter, Some(octave)),
        };
        let alter = match (sign.accidental, held, self.accidentals.get(&reached)) {
            (Some(alter), ..) => {
                if self.reach != Reach::Note {
                    self.accidentals.insert(reached, alter);
                }
                alter
            }
            (None, Some((.., alter)), _) => alter,
            (None, None, Some(alter)) => *alter,
            (None, None, None) => self.signature.alters[usize::from(letter.index())],
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

    pub(super) fn close_chord(
        &mut self,
        over: u32,
        under: u32,
        place: Place,
    ) -> Result<(), Diagnostics> {
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

    pub(super) fn tie(&mut self) {
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

    pub(super) fn broken_rhythm(&mut self, count: i32, place: Place) {
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

    pub(super) fn begin_tuplet(
        &mut self,
        count: u32,
        time: Option<u32>,
        notes: Option<u32>,
        place: Place,
    ) {
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
}
