//! A bass line as plain text that a bassist can type.
//!
//! ```text
//! title: Backyard walk
//! time: 4/4
//! key: F major
//! tempo: 132
//! student: Kim
//!
//! # four bars
//! [A]
//! | F1 G1 A1 C2 | Bb1 . D2 r | (F2 . A2) C3 (Bb2 A2) xF2 | % |
//! | (key: Bb) Bb1 D2 F2 . | . r r C2 |]
//! ```
//!
//! A UTF-8 text of at most 1 MiB, a page of at most 32. Where a word could begin, `#` begins a
//! comment to the end of the line.
//!
//! **Header lines** `name: value` stand before the first bar. `title`, `composer`, `time`, `key`,
//! `tempo` (quarter notes a minute), `feel` and `pickup` (the beats of the first bar where that is
//! short) say what they do in a chart, and `student` who wrote the line; every other name is a
//! fact that the line carries along ([`Score::about`](crate::Score::about)). `about key:` is the
//! way to carry along a fact whose name is that of another header line. The value of a free text
//! goes on to the end of its line, with any `#` in it.
//!
//! **Bars** stand between `|`, `||` or `|]`; the end of a line ends a bar too. In a bar every
//! sign is a beat:
//!
//! - a note with its octave as it sounds: `F1`, `Bb2`, `C#3` (`b♭2` is read too); C4 is middle
//!   C, and the open strings of a bass are E1 A1 D2 G2. Octaves from 6 up are refused, since
//!   `F7` is a chord;
//! - a note without its octave, `F`, `Bb`: as near to the note before as can be, the lower where a
//!   tritone lies on both sides, and none below E1 or above G3; the first note as low as can be.
//!   A remark says so;
//! - `.` holds the note before for one more beat, over a bar line too;
//! - `r` is a beat of rest;
//! - signs in parentheses share one beat evenly: `(F2 F2)` is two eighths, `(F2 . A2)` a swung
//!   pair, `(F2 A2 C3)` a triplet;
//! - `x` before a note makes it a ghost note: `xF2`;
//! - `%` alone in a bar is the bar before once more, sign by sign.
//!
//! Between signs stand blanks or commas.
//!
//! A beat is a quarter note, and in metres that count in shorter notes it is that note: an
//! eighth in 7/8. A bar may be longer or shorter than its metre; it lasts as long as what is
//! written in it. Without `time:` the commonest length of a bar, from 2 to 7 beats, is taken as
//! the metre.
//!
//! **Before the notes of a bar** may stand a section `[A]` and changes `(time: 3/4)`,
//! `(key: Dm)`, `(tempo: 90)`.
//!
//! Repeats are written out; chord symbols are not part of a line. [`write()`] leaves both away.
//!
//! [`read()`] also takes the page that the program itself prints of its lines, with the notes
//! changed by hand or not: the rows `notes`, the chords above them, sections, title, composer,
//! student, and the facts of its head. A page, or several one after the other, may hold several
//! lines.

mod bar;
mod build;
mod header;
mod page;
mod page_head;
mod plain;
mod source;
#[cfg(test)]
mod tests;
mod word;
mod write;

pub use write::{beats, write};

use linewright_diagnostic::{Diagnostics, Place};

use crate::score::Score;

/// Most bars of a line.
pub const MAX_BARS: usize = 4096;

/// Most bars of all lines of a text: a thousand lines of a form are read.
const MAX_IN_ALL: usize = 16 * MAX_BARS;

/// Most bytes of a text; longer ones are refused. So the longest page that is written is read:
/// with all reasons, a bar of seven beats takes 5,100 bytes.
pub const MAX_BYTES: usize = MAX_BARS * (8 << 10);

/// Most lines of text; the longest page has 70 for each bar.
const MAX_ROWS: usize = MAX_BARS * 128;

/// Most bytes of one row of a page, and of a line that is no page.
const MAX_PLAIN: usize = 1 << 20;

/// Reads a bass line, or the lines of a page.
///
/// Gives the lines in the order of the text, at least one (always exactly one from a plain
/// line), and what was read otherwise than one might think.
///
/// # Errors
/// All faults of the text, each with line, column and what to write instead.
///
/// ```
/// use linewright_notation::line_text;
/// let (lines, _) = line_text::read(b"key: F\n| F1 G1 A1 C2 | Bb1 . F1 r |\n")?;
/// assert_eq!(lines[0].measures.len(), 2);
/// assert_eq!(line_text::read(b"| F1 Gm H1 C2 |").unwrap_err().list().len(), 2);
/// # Ok::<(), linewright_diagnostic::Diagnostics>(())
/// ```
pub fn read(bytes: &[u8]) -> Result<(Vec<Score>, Diagnostics), Diagnostics> {
    let text = source::check(bytes)?;
    let lines: Vec<String> = source::lines(text).take(MAX_ROWS + 1).collect();
    if lines.len() > MAX_ROWS || lines.iter().any(|line| line.len() > MAX_PLAIN) {
        return Err(Diagnostics::one(
            Place::Whole,
            format!(
                "the text has more than {MAX_ROWS} rows, or a row of more than {MAX_PLAIN} bytes"
            ),
            "give the text of one line, or a page as it was printed",
        ));
    }
    if lines.iter().any(|line| page::is_notes_row(line)) {
        page::read(&lines)
    } else if text.len() > MAX_PLAIN {
        Err(Diagnostics::one(
            Place::Whole,
            format!(
                "the text has {} bytes, and a line may have at most {MAX_PLAIN}",
                text.len()
            ),
            "give the text of a line; a long one fits into a few thousand bytes",
        ))
    } else {
        let (score, problems) = plain::read(&lines)?;
        Ok((vec![score], problems))
    }
}
