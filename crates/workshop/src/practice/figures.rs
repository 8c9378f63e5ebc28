//! The figures: what each is called and came to in players' lines, and how it is counted.

use super::{Bar, Note, Run};

/// How a figure is counted. Shares come from a test of each thing of a kind: `None` where the
/// figure does not speak of it. They are given in hundredths, all else in semitones.
pub(super) enum Measure {
    /// Of notes.
    Note(fn(&Note) -> Option<bool>),
    /// Of moves, from one note to the next.
    Move(fn(&Note, &Note) -> Option<bool>),
    /// Of two moves on end, in semitones.
    Turn(fn(i32, i32) -> bool),
    /// Of bars.
    Bar(fn(&Bar) -> bool),
    /// Of bars and those so many bars on.
    Apart(usize, fn(&Bar, &Bar) -> Option<bool>),
    /// From the lowest to the highest note of a bar, on average.
    Span,
    /// From the mean of a bar to that of the one so many bars on, on average.
    Centre(usize),
    /// The MIDI number under which so many hundredths of the notes lie.
    Percentile(f64),
    /// The standard deviation of notes from the mean of their run.
    Spread,
}

/// A figure: what it is called, what players' lines come to, between which values 95 % of
/// resamplings of their tunes lie, and how it is counted.
pub(super) type Row = (&'static str, f64, (f64, f64), Measure);

use Measure::{Apart, Centre, Move, Percentile, Span, Spread, Turn};

/// Source: Weimar Jazz Database (Pfleiderer, Frieler, Abeßer, Zaddach, Burkhart, eds., 2017),
/// Open Database Licence (from memory), 35 excerpts of 17 tunes. `x>y`: the move from beat x to
/// beat y; `4>1` goes over the bar line, `root change` over one where the root of the chord
/// changes. `other`: none of root, third, fifth, seventh, 9, 6, 4.
#[rustfmt::skip]
pub(super) const FIGURES: [Row; 63] = [
    ("root on 1, new chord", 47.2, (34.2, 59.6), Measure::Note(|n| of(n.beat == 0 && n.new, n.degree() == 0))),
    ("root on 1, held", 37.1, (13.2, 44.1), Measure::Note(|n| of(n.beat == 0 && !n.new, n.degree() == 0))),
    ("root on 3, new", 37.4, (24.1, 56.5), Measure::Note(|n| of(n.beat == 2 && n.new, n.degree() == 0))),
    ("root on 3, held", 11.9, (8.2, 19.0), Measure::Note(|n| of(n.beat == 2 && !n.new, n.degree() == 0))),
    ("root at chord onset", 44.1, (32.6, 56.9), Measure::Note(|n| of(n.new, n.degree() == 0))),
    ("4>1 step", 65.5, (58.1, 76.0), Move(|a, b| of(b.beat == 0, matches!(size(a, b), 1 | 2)))),
    ("4>1 semitone", 43.0, (35.1, 55.1), Move(|a, b| of(b.beat == 0, size(a, b) == 1))),
    ("4>1 repeat", 2.5, (1.2, 4.6), Move(|a, b| of(b.beat == 0, size(a, b) == 0))),
    ("4>1 P4", 12.2, (5.0, 18.1), Move(|a, b| of(b.beat == 0, size(a, b) == 5))),
    ("4>1 P5", 5.0, (2.2, 9.8), Move(|a, b| of(b.beat == 0, size(a, b) == 7))),
    ("root change: step into 1", 72.2, (66.4, 79.8), Move(|a, b| of(changes(a, b), matches!(size(a, b), 1 | 2)))),
    ("root change: root on 1", 47.3, (34.0, 59.6), Move(|a, b| of(changes(a, b), b.degree() == 0))),
    ("root change: V on 4", 14.3, (9.3, 19.0), Move(|a, b| of(changes(a, b), a.over(&b.chord) == 7))),
    ("root change: next root on 4", 2.1, (0.7, 4.4), Move(|a, b| of(changes(a, b), a.over(&b.chord) == 0))),
    ("root change: own root on 4", 20.7, (14.5, 28.3), Move(|a, b| of(changes(a, b), a.degree() == 0))),
    ("repeat", 5.5, (3.1, 9.4), Move(|a, b| Some(size(a, b) == 0))),
    ("repeat 1>2", 8.7, (4.5, 17.7), Move(|a, b| of(a.beat == 0, size(a, b) == 0))),
    ("repeat 2>3", 3.9, (1.7, 7.3), Move(|a, b| of(a.beat == 1, size(a, b) == 0))),
    ("repeat 3>4", 6.7, (3.5, 10.5), Move(|a, b| of(a.beat == 2, size(a, b) == 0))),
    ("semitone", 31.1, (27.1, 35.1), Move(|a, b| Some(size(a, b) == 1))),
    ("tone", 25.1, (20.0, 28.1), Move(|a, b| Some(size(a, b) == 2))),
    ("third", 15.3, (12.4, 18.6), Move(|a, b| Some(matches!(size(a, b), 3 | 4)))),
    ("P4", 9.7, (7.8, 10.9), Move(|a, b| Some(size(a, b) == 5))),
    ("tritone", 1.6, (0.9, 2.9), Move(|a, b| Some(size(a, b) == 6))),
    ("P5", 4.9, (3.0, 7.6), Move(|a, b| Some(size(a, b) == 7))),
    ("m6-M7", 4.1, (2.6, 5.3), Move(|a, b| Some(matches!(size(a, b), 8..=11)))),
    ("octave", 1.5, (0.7, 2.8), Move(|a, b| Some(size(a, b) == 12))),
    (">octave", 1.1, (0.2, 1.8), Move(|a, b| Some(size(a, b) > 12))),
    ("semitone 1>2", 17.5, (11.3, 22.7), Move(|a, b| of(a.beat == 0, size(a, b) == 1))),
    ("semitone 2>3", 39.1, (29.4, 46.2), Move(|a, b| of(a.beat == 1, size(a, b) == 1))),
    ("semitone 3>4", 25.8, (20.7, 30.3), Move(|a, b| of(a.beat == 2, size(a, b) == 1))),
    ("up", 43.3, (41.2, 46.5), Move(|a, b| Some(a.midi < b.midi))),
    ("down", 51.1, (45.1, 54.9), Move(|a, b| Some(a.midi > b.midi))),
    ("same direction", 56.4, (47.2, 63.4), Turn(|a, b| a != 0 && a.signum() == b.signum())),
    ("straight back (aba)", 7.2, (5.4, 8.5), Turn(|a, b| a != 0 && a == -b)),
    ("two semitones same way", 8.7, (6.2, 11.2), Turn(|a, b| a.abs() == 1 && a == b)),
    // A note that is repeated after the leap waits: that is not counted against it.
    ("leap>5th not recovered", 3.8, (1.9, 5.3), Turn(|a, b| a.abs() > 7 && (a * b > 0 || b.abs() > 4))),
    ("beat 3 = pc of beat 1", 6.7, (3.5, 10.5), Measure::Bar(|bar| bar[0].midi % 12 == bar[2].midi % 12)),
    ("bar of <=2 notes", 7.6, (4.7, 11.9), Measure::Bar(|bar| different(bar) <= 2)),
    ("bar of 3 notes", 29.7, (24.9, 34.9), Measure::Bar(|bar| different(bar) == 3)),
    ("bar span (semit.)", 6.58, (6.05, 7.06), Span),
    ("same beat-1 note, 1 bar on", 9.0, (4.8, 12.3), Apart(1, |a, b| Some(a[0].midi == b[0].midi))),
    ("same cell, 1 bar on", 1.5, (0.2, 3.9), Apart(1, |a, b| Some(a.map(|n| n.degree()) == b.map(|n| n.degree())))),
    ("same bar, 1 on, chord held", 1.3, (0.0, 10.3), Apart(1, |a, b| of(a[0].chord == b[0].chord, same(a, b)))),
    ("same bar, 2 on", 1.9, (0.0, 3.8), Apart(2, |a, b| Some(same(a, b)))),
    ("same bar, 4 on", 1.6, (0.4, 2.7), Apart(4, |a, b| Some(same(a, b)))),
    ("|centre move| 1 bar", 3.85, (3.04, 4.54), Centre(1)),
    ("|centre move| 4 bars", 5.21, (4.18, 5.92), Centre(4)),
    ("other on 1", 15.6, (7.8, 30.8), Measure::Note(|n| of(n.beat == 0, is_other(n)))),
    ("other on 2", 24.1, (17.7, 35.0), Measure::Note(|n| of(n.beat == 1, is_other(n)))),
    ("other on 3", 15.6, (10.5, 22.2), Measure::Note(|n| of(n.beat == 2, is_other(n)))),
    ("other on 4", 29.2, (24.2, 36.6), Measure::Note(|n| of(n.beat == 3, is_other(n)))),
    ("third on 3", 22.1, (13.1, 28.9), Measure::Note(|n| of(n.beat == 2, n.chord.third() == Some(n.degree())))),
    ("9th on 2", 16.6, (10.2, 21.1), Measure::Note(|n| of(n.beat == 1, n.degree() == 2))),
    ("4th on 2", 10.8, (6.0, 14.5), Measure::Note(|n| of(n.beat == 1, n.degree() == 5))),
    ("pitch p1", 31.0, (29.0, 33.0), Percentile(1.0)),
    ("pitch p5", 33.0, (33.0, 35.0), Percentile(5.0)),
    ("pitch p25", 38.0, (37.0, 40.0), Percentile(25.0)),
    ("pitch p50", 43.0, (41.0, 43.0), Percentile(50.0)),
    ("pitch p75", 46.0, (45.0, 48.0), Percentile(75.0)),
    ("pitch p95", 52.0, (51.0, 53.0), Percentile(95.0)),
    ("pitch p99", 55.0, (54.0, 58.0), Percentile(99.0)),
    ("pitch sd within excerpt", 5.17, (4.39, 5.78), Spread),
];

impl Measure {
    /// Its values in a run, one for each thing that the figure speaks of: a share's are 0 or 100.
    /// The figure is their mean, that of [`Spread`] its root.
    pub(super) fn values(&self, run: &Run) -> Vec<f64> {
        let (notes, bars) = (run.notes(), &run.bars);
        let share = |is: bool| if is { 100.0 } else { 0.0 };
        let apart = |on: &usize| bars.iter().zip(bars.iter().skip(*on));
        match self {
            Measure::Note(test) => notes.iter().filter_map(test).map(share).collect(),
            Move(test) => {
                let pairs = notes.windows(2).filter_map(|n| test(&n[0], &n[1]));
                pairs.map(share).collect()
            }
            Turn(test) => {
                let turn = |n: &[Note]| share(test(into(&n[0], &n[1]), into(&n[1], &n[2])));
                notes.windows(3).map(turn).collect()
            }
            Measure::Bar(test) => bars.iter().map(|bar| share(test(bar))).collect(),
            Apart(on, test) => {
                let tested = apart(on).filter_map(|(a, b)| test(a, b));
                tested.map(share).collect()
            }
            Span => bars.iter().map(span).collect(),
            Centre(on) => {
                let moved = |(a, b): (&Bar, &Bar)| (mean(a) - mean(b)).abs();
                apart(on).map(moved).collect()
            }
            Spread => {
                let centre = mean(notes);
                let from_mean = |n: &Note| (f64::from(n.midi) - centre).powi(2);
                notes.iter().map(from_mean).collect()
            }
            Percentile(_) => Vec::new(),
        }
    }

    /// How many decimals of it are told: one of a share.
    pub(super) fn decimals(&self) -> usize {
        match self {
            Span | Centre(_) | Percentile(_) | Spread => 2,
            _ => 1,
        }
    }
}

/// Whether something `is` so, where the figure speaks `of` it.
fn of(of: bool, is: bool) -> Option<bool> {
    of.then_some(is)
}

/// A move in semitones.
pub(super) fn into(a: &Note, b: &Note) -> i32 {
    i32::from(b.midi) - i32::from(a.midi)
}

/// The size of a move in semitones.
fn size(a: &Note, b: &Note) -> u8 {
    a.midi.abs_diff(b.midi)
}

/// Whether a move goes over a bar line at which the root of the chord changes.
fn changes(a: &Note, b: &Note) -> bool {
    b.beat == 0 && a.chord.root.class() != b.chord.root.class()
}

/// How many different notes a bar has.
fn different(bar: &Bar) -> usize {
    let mut heights = bar.map(|n| n.midi);
    heights.sort_unstable();
    heights.chunk_by(u8::eq).count()
}

fn same(a: &Bar, b: &Bar) -> bool {
    a.map(|n| n.midi) == b.map(|n| n.midi)
}

/// Whether a note is neither root, third, fifth, seventh nor 9, 6, 4 of its chord.
fn is_other(note: &Note) -> bool {
    let (chord, degree) = (&note.chord, note.degree());
    let tones = [chord.third(), chord.fifth(), chord.seventh()];
    !matches!(degree, 0 | 2 | 5 | 9) && !tones.contains(&Some(degree))
}

fn mean(notes: &[Note]) -> f64 {
    let sum: u64 = notes.iter().map(|n| u64::from(n.midi)).sum();
    sum as f64 / notes.len() as f64
}

fn span(bar: &Bar) -> f64 {
    let end = |pick: fn(u8, u8) -> u8| bar.iter().fold(bar[0].midi, |end, n| pick(end, n.midi));
    f64::from(end(u8::max) - end(u8::min))
}
