//! Chart text → chart as written → form → unrolled timeline.
//!
//! [`Chart::parse`] reads a chord chart that a musician typed, or reports all
//! of its faults with places and hints. A [`Chart`] is the page: it prints
//! itself as tidy text and transposes. [`Chart::unroll`] plays the page, with
//! its repeats, endings and jumps, into a [`Timeline`]: one bar after the other
//! with its metre, key, tempo and harmonies, and beside them the signs of the page
//! ([`RoadSigns`]), so that what is played over it can be written with them.
//! [`Chart::from_score`] makes a chart of a lead sheet that was read from another
//! format.
//!
//! ```
//! use linewright_chart::Chart;
//!
//! let text = "\
//! title: Backyard blues   # header lines first
//! key: F
//! tempo: 140
//! [A]
//! |: F7 | Bb7 | F7 | Cm7 F7 | % | Bo7 / / F7 |1. C7 :|2. F7 |]
//! ";
//! let chart = Chart::parse("backyard.chart", text.as_bytes())?;
//! assert_eq!(chart.bars().len(), 8);
//!
//! let timeline = chart.unroll()?;
//! let played: Vec<usize> = timeline.bars.iter().map(|bar| bar.written).collect();
//! assert_eq!(played, [1, 2, 3, 4, 5, 6, 7, 1, 2, 3, 4, 5, 6, 8]);
//!
//! let in_b_flat = chart.transposed_by(5);
//! assert!(in_b_flat.to_string().contains("|: Bb7 | Eb7 | Bb7 | Fm7 Bb7 |"));
//! # Ok::<(), linewright_diagnostic::Diagnostics>(())
//! ```
//!
//! # Chart text
//!
//! A plain UTF-8 text of at most 1 MiB. Lines end with `\n`, `\r\n` or `\r`; a
//! byte order mark is skipped; any white space is a blank. Where a word could
//! begin, `#` begins a comment to the end of the line (`F#m7` has none).
//!
//! ```text
//! text      = { header-line | blank-line } { music-line | blank-line }
//! header    = name ":" value
//! name      = "title" | "composer" | "key" | "time" | "tempo" | "feel" | "pickup"
//! music     = { bar-line | before | content | after }
//! bar-line  = "|" | "||" | "|]" | "|:" | "||:" | ":|" [ "x" number | number "x" ]
//!           | ":||" | ":|]" | ":|:" | ":||:"
//! before    = "[" section-name "]" | ending | "(segno)" | "(coda)"
//!           | "(key: " key ")" | "(time: " metre ")" | "(tempo: " bpm ")"
//! ending    = number { "," number } "."
//! content   = "%" | { chord | "N.C." | "/" }
//! after     = "(to coda)" | "(fine)" | "(" jump ")"
//! jump      = ( "D.C." | "D.S." ) [ "al fine" | "al coda" ]
//! ```
//!
//! **Header lines** stand before the first bar, in any order, each at most
//! once, all optional, in small or capital letters. `title`, `composer` and `feel` are free text
//! to the end of the line; after another value the next may follow on the same line, as in
//! `Key: Bb Tempo: 120`. Of a `feel`, `swing`, `straight`, `in two` and `waltz` are known; any
//! other is kept for the page, with a remark. A first line of words without a name is the title,
//! with a remark. `key` is `Bb` for
//! major, `Bbm` for minor (`Bb minor` is read too). `time` is one of 2/4, 3/4,
//! 4/4, 5/4, 6/4 and 7/4, and 4/4 when left out; other metres are refused,
//! since the line walks in quarter notes. `tempo` is in quarter notes a minute,
//! 20 to 400. `pickup` is the number of beats of the first bar, when it is
//! shorter than the metre; that bar is number 0 and is played once only.
//!
//! **Bars** stand between bar lines. The end of a line ends a bar too, so that
//! the bar lines at both ends of a line may be left out. A bar between two `|`
//! with nothing in it is a fault: write `%` or `N.C.`. In a text without any bar line a row of
//! chords (without `/`) is a row of bars, one for each chord, with a remark. A chart has at most
//! [`MAX_BARS`] bars, as written and as played.
//!
//! **Chords** are separated by blanks. Without any `/` they share the bar
//! evenly, in whole beats; two chords in an odd bar lean on its grouping: 2+1
//! in 3/4, 3+2 in 5/4, 4+3 in 7/4. With a `/` in the bar every sign is one
//! beat: a chord lasts for itself and the `/` after it, and the signs must fill
//! the bar. A `/` at the start holds the last chord of the bar before. `N.C.`
//! (also `NC`, `n.c.`) stands for no chord. The chord symbols are those of
//! [`linewright_theory::Chord`].
//!
//! **`%`** alone in a bar repeats the bar before it on the page, which must be
//! of the same length.
//!
//! **Repeats**: `|:` to `:|` is played twice, `:|x3` three times in all (up to
//! 99). A `:|` without `|:` goes back to bar 1, if no repeat came before it.
//! Repeats do not nest. Endings `1.`, `2.`, `1,2.` stand right after a bar
//! line; each that is followed by another pass ends with `:|`, and the last
//! does not.
//!
//! **Sections** `[A]`, and changes of key, metre and tempo in parentheses, stand at
//! the start of a bar, or alone before it. A change holds until the next one
//! on the page; at the very first bar it takes the place of the header line.
//!
//! **The road map**: `(segno)` and `(coda)` stand at the start of the bar they
//! name. `(to coda)`, `(fine)` and the jumps take effect at the end of their
//! bar; they may also stand after its bar line, at the end of the text line. A
//! jump is taken once, the last time its bar is reached. D.C. goes back to bar
//! 1, not to the pick-up. On the way back repeats are not taken and the last
//! ending is played; from the coda on repeats count again. After `D.C.` and
//! `D.S.` without more, a fine is heeded if there is one. (All common practice,
//! no source.) A sign without use, a jump without its goal, and a bar that is
//! never played are faults.
//!
//! # The inferred key
//!
//! A chart without `key:` gets the key, out of 24, with the best score. Each
//! chord counts by its written beats: 12 for the tonic chord (root and third
//! agree), 4 for the dominant, less 8 for each chord tone outside the key, or
//! less 4 if that is the chord's seventh, since dominant sevenths are lent
//! freely. Chord tones are here root, third, fifth and seventh, but not the
//! fifth of a dominant. Minor keys own both sevenths. To begin on the tonic adds 1 for each
//! beat of the chart, to end on it 2, to end on the dominant 1. Ties go to the
//! root of the last chord, then to fewer accidentals, to major, to the lower
//! tonic (from C up). The tonic is spelled as the chords spell it. Without
//! chords the key is C major. (The numbers are our own, no source.)

mod feel;
mod from_score;
mod harmony;
mod infer;
mod metre;
mod print;
mod repeats;
mod road;
mod source;
mod structure;
mod text;
mod timeline;
mod transpose;
mod walk;
mod written;

use linewright_diagnostic::Diagnostics;

pub use harmony::{Harmony, Span};
pub use metre::{Metre, group_starts};
pub use road::RoadSigns;
pub use source::MAX_BYTES;
pub use timeline::{DEFAULT_TEMPO, Timeline, TimelineBar};
pub use written::{BarLine, Chart, Content, Jump, Until, WrittenBar, WrittenSpan};

/// Most bars of a chart, as written and as played.
pub const MAX_BARS: usize = 4096;

impl Chart {
    /// Reads chart text from the bytes of a file; `source_name` is what faults
    /// call it. [`Chart::read`] also gives the remarks.
    ///
    /// # Errors
    /// All faults of the text, each with its place and a hint.
    pub fn parse(source_name: &str, bytes: &[u8]) -> Result<Chart, Diagnostics> {
        Chart::read(source_name, bytes).map(|(chart, _)| chart)
    }

    /// Reads chart text as [`Chart::parse`] does, and gives beside the chart the
    /// remarks on what was read otherwise than one might think.
    ///
    /// # Errors
    /// All faults of the text, each with its place and a hint.
    ///
    /// ```
    /// use linewright_chart::Chart;
    /// let (chart, remarks) = Chart::read("grid", b"F7 Bb7 F7 F7\nBb7 Bb7 F7 F7\n")?;
    /// assert_eq!((chart.bars().len(), remarks.list().len()), (8, 1));
    /// # Ok::<(), linewright_diagnostic::Diagnostics>(())
    /// ```
    pub fn read(source_name: &str, bytes: &[u8]) -> Result<(Chart, Diagnostics), Diagnostics> {
        text::read(source_name, bytes)
    }
}
