//! The music between two bar lines.

use std::fmt::Write as _;

use linewright_theory::Note;

use super::accidentals::Accidentals;
use super::closing_signs;
use super::pieces::Piece;
use crate::abc::length::suffix;
use crate::abc::sign::Sign;
use crate::abc::text::quoted;
use crate::written::Beam;
use crate::{Measure, Symbol, Ticks};

pub(super) struct Music<'a> {
    pub measure: &'a Measure,
    pub pieces: &'a [Piece<'a>],
    pub unit: Ticks,
    pub accidentals: Accidentals,
}

impl Music<'_> {
    pub fn text(mut self) -> String {
        let mut text = String::new();
        for index in 0..self.pieces.len() {
            if index > 0 && self.is_apart(index) {
                text.push(' ');
            }
            self.piece(index, &mut text);
        }
        text
    }

    fn piece(&mut self, index: usize, text: &mut String) {
        let piece = &self.pieces[index];
        for symbol in &piece.symbols {
            text.push_str(&symbol_text(symbol));
        }
        if index == 0 {
            let signs = [
                (self.measure.segno, Sign::Segno),
                (self.measure.coda, Sign::Coda),
            ];
            for (_, sign) in signs.into_iter().filter(|(stands, _)| *stands) {
                text.push_str(&sign.text());
            }
        }
        if index + 1 == self.pieces.len() {
            for sign in closing_signs(self.measure) {
                text.push_str(&sign.text());
            }
        }
        if let Some((count, time, pieces)) = piece.tuplet {
            if (count, time, pieces) == (3, 2, 3) {
                text.push_str("(3");
            } else {
                let _ = write!(text, "({count}:{time}:{pieces}");
            }
        }
        let written = piece.written;
        if written.ghost {
            text.push_str("!style=x!");
        }
        match (written.note, written.of) {
            (Some(note), _) => {
                text.push_str(self.accidentals.before(note));
                text.push_str(&letter(note));
            }
            (None, Some(_)) => text.push('z'),
            (None, None) => text.push('x'),
        }
        text.push_str(&suffix(piece.length(), self.unit));
        if written.tied {
            text.push('-');
        }
    }

    /// Whether a blank stands before a piece: none inside a cut event, a beam or a tuplet.
    fn is_apart(&self, index: usize) -> bool {
        let (before, piece) = (&self.pieces[index - 1], &self.pieces[index]);
        if piece.goes_on(before) {
            return false;
        }
        let beam = piece.written.beams.first();
        let beamed = matches!(beam, Some(Beam::Continue | Beam::End));
        // Rests without a blank between them are read as one.
        let in_tuplet = piece.written.tuplet.is_some_and(|tuplet| !tuplet.first)
            && !(before.is_rest() && piece.is_rest());
        before.written.tied || !(beamed || in_tuplet)
    }
}

fn symbol_text(symbol: &Symbol) -> String {
    quoted(&symbol.to_string())
}

/// A note's letter and octave, written an octave above what sounds: `C` is the one on which a
/// bass sounds C3.
fn letter(note: Note) -> String {
    let octave = i32::from(note.octave) + 1;
    let letter = note.name.letter.to_char();
    if octave > 4 {
        let high = "'".repeat((octave - 5) as usize);
        format!("{}{high}", letter.to_ascii_lowercase())
    } else {
        format!("{letter}{}", ",".repeat((4 - octave) as usize))
    }
}
