//! What was read otherwise than written: counted by kind, told once.

use std::collections::BTreeMap;

use linewright_diagnostic::{Diagnostics, Place, clean::shown};

/// A kind of thing that a score cannot hold as the file has it.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Kind {
    NoDivisions,
    NoTime,
    OddTime,
    CompositeTime,
    OddKey,
    OddMode,
    LateSignature,
    Grace,
    Cue,
    ChordNotes,
    Unpitched,
    Slash,
    Parentheses,
    OddPitch,
    NoLength,
    Rounded,
    TooLong,
    BackTooFar,
    OtherStaff,
    OtherVoice,
    Overlap,
    TieNowhere,
    Underfull,
    Halves,
    Overfull,
    MeasureRepeat,
    MidTempo,
    RoundTempo,
    LateToCoda,
    EndingNumber,
    MidRepeat,
    UnreadHarmony,
    StackedHarmony,
    Inversion,
    SpreadHarmony,
}

impl Kind {
    /// What it is, for one and for many, what is said of each, and what to write instead.
    fn words(self) -> (&'static str, &'static str, &'static str, &'static str) {
        match self {
            Kind::NoDivisions => (
                "length",
                "lengths",
                "is given before any number of divisions; one division was taken as a quarter note",
                "give divisions in the first measure",
            ),
            Kind::NoTime => (
                "measure",
                "measures",
                "has no time signature before it; 4/4 was taken",
                "give the time signature in the first measure",
            ),
            Kind::OddTime => (
                "time signature",
                "time signatures",
                "could not be read and was left out",
                "use whole numbers: beats up to 255, over 1, 2, 4, 8, 16, 32 or 64",
            ),
            Kind::CompositeTime => (
                "time signature made of several",
                "time signatures made of several",
                "was read as their sum",
                "give one number of beats if the grouping is not meant",
            ),
            Kind::OddKey => (
                "key signature",
                "key signatures",
                "could not be read and was left out",
                "use -7 to 7 fifths",
            ),
            Kind::OddMode => (
                "key that is neither major nor minor",
                "keys that are neither major nor minor",
                "was read as the major or minor key with its signature",
                "give the mode as major or minor",
            ),
            Kind::LateSignature => (
                "key or time signature inside a measure",
                "key or time signatures inside measures",
                "was moved to the beginning of the measure",
                "change key and time at bar lines",
            ),
            Kind::Grace => (
                "grace note",
                "grace notes",
                "was left out",
                "write it as a note with a length of its own if it matters",
            ),
            Kind::Cue => (
                "cue note",
                "cue notes",
                "was left out",
                "write it as a plain note if it is part of the line",
            ),
            Kind::ChordNotes => (
                "note of a chord",
                "notes of chords",
                "was left out; the lowest note stays",
                "write one note at a time",
            ),
            Kind::Unpitched => (
                "note without pitch",
                "notes without pitch",
                "was read as a rest",
                "give ghost notes a pitch and the notehead x",
            ),
            Kind::Slash => (
                "slash",
                "slashes",
                "was read as a rest",
                "write notes where the part has any",
            ),
            Kind::Parentheses => (
                "note in parentheses",
                "notes in parentheses",
                "was read as a ghost note",
                "use the notehead x for ghost notes",
            ),
            Kind::OddPitch => (
                "pitch",
                "pitches",
                "could not be read as written: quarter tones are rounded, others are rests",
                "use letters with at most two accidentals in octaves 0 to 9",
            ),
            Kind::NoLength => (
                "note without duration",
                "notes without duration",
                "was given the length of its note value, or none",
                "give every note a duration",
            ),
            Kind::Rounded => (
                "length",
                "lengths",
                "was rounded to 1/6720 of a quarter note",
                "use divisions that divide 6720",
            ),
            Kind::TooLong => (
                "length",
                "lengths",
                "was cut off, as its measure is longer than 1024 quarter notes",
                "divide the piece into measures",
            ),
            Kind::BackTooFar => (
                "step back in time",
                "steps back in time",
                "led to before its measure and was stopped there",
                "step back at most to the bar line",
            ),
            Kind::OtherStaff => (
                "note on another staff",
                "notes on other staves",
                "was left out; the lowest staff with notes was read",
                "put the bass on a staff of its own",
            ),
            Kind::OtherVoice => (
                "note in another voice",
                "notes in other voices",
                "was left out; the lowest voice of each measure was read",
                "write the bass in one voice",
            ),
            Kind::Overlap => (
                "note",
                "notes",
                "was cut where the next begins in the same voice",
                "write one note at a time",
            ),
            Kind::TieNowhere => (
                "tie",
                "ties",
                "leads to no note of the same pitch and was left out",
                "tie notes that follow each other",
            ),
            Kind::Underfull => (
                "measure",
                "measures",
                "is shorter than the time signature says; the rest of it was taken as silent",
                "fill measures with rests, or mark short ones as implicit",
            ),
            Kind::Halves => (
                "measure",
                "measures",
                "is shorter than the time signature says, and made whole by the next",
                "mark both as implicit, or join them",
            ),
            Kind::Overfull => (
                "measure",
                "measures",
                "is longer than the time signature says, and was kept so",
                "make the measure as long as its time signature",
            ),
            Kind::MeasureRepeat => (
                "sign that repeats a measure",
                "signs that repeat measures",
                "was not carried out",
                "write the notes out",
            ),
            Kind::MidTempo => (
                "change of tempo inside a measure",
                "changes of tempo inside measures",
                "was moved to the beginning of the measure",
                "change the tempo at bar lines",
            ),
            Kind::RoundTempo => (
                "tempo",
                "tempos",
                "was rounded to a whole number of quarter notes a minute",
                "use whole numbers from 1 to 65535",
            ),
            Kind::LateToCoda => (
                "jump to the coda at the beginning of a measure",
                "jumps to the coda at the beginning of measures",
                "was read as after the measure before",
                "put it at the end of the measure after which to jump",
            ),
            Kind::EndingNumber => (
                "ending",
                "endings",
                "has no number that could be read and was left out",
                "number endings as in 1 or 1, 2",
            ),
            Kind::MidRepeat => (
                "repeat sign inside a measure",
                "repeat signs inside measures",
                "was left out",
                "put repeat signs at bar lines",
            ),
            Kind::UnreadHarmony => (
                "chord symbol",
                "chord symbols",
                "could not be read and was kept as text",
                "use a root and a kind of MusicXML 4.0 with degrees that make one chord",
            ),
            Kind::StackedHarmony => (
                "chord symbol of several chords at once",
                "chord symbols of several chords at once",
                "was read as the first of them",
                "write one chord, with a bass note if need be",
            ),
            Kind::Inversion => (
                "inversion of a chord symbol",
                "inversions of chord symbols",
                "was left out, as no bass note is given",
                "give the bass note",
            ),
            Kind::SpreadHarmony => (
                "chord symbol",
                "chord symbols",
                "stands in the same place as another and was moved, so that they share the time",
                "give each chord symbol an offset",
            ),
        }
    }
}

fn article(word: &str) -> &'static str {
    if word.starts_with(['a', 'e', 'i', 'o']) {
        "an"
    } else {
        "a"
    }
}

/// Counts by kind, with the first measure and perhaps an example of each.
#[derive(Clone, Debug, Default)]
pub(super) struct Tally {
    seen: BTreeMap<Kind, Seen>,
}

#[derive(Clone, Debug)]
struct Seen {
    measure: usize,
    count: usize,
    example: Option<String>,
}

impl Tally {
    /// Notes one more, in a measure counted from 0.
    pub(super) fn add(&mut self, kind: Kind, measure: usize) {
        self.add_like(kind, measure, None);
    }

    /// Notes one more, with an example.
    pub(super) fn add_like(&mut self, kind: Kind, measure: usize, example: Option<&str>) {
        let seen = self.seen.entry(kind).or_insert_with(|| Seen {
            measure,
            count: 0,
            example: example.map(shown),
        });
        seen.count += 1;
    }

    /// Tells everything, by measure.
    pub(super) fn tell(&self, problems: &mut Diagnostics) {
        let mut all: Vec<(&Kind, &Seen)> = self.seen.iter().collect();
        all.sort_by_key(|(kind, seen)| (seen.measure, **kind));
        for (kind, seen) in all {
            let (one, many, what, hint) = kind.words();
            let place = Place::Measure(seen.measure + 1);
            let example = seen
                .example
                .as_ref()
                .map(|text| format!(" {text:?}"))
                .unwrap_or_default();
            let message = if seen.count == 1 {
                format!("{} {one}{example} {what}", article(one))
            } else {
                let first = if example.is_empty() { "" } else { " such as" };
                format!(
                    "{} {many}{first}{example} from here on: each {what}",
                    seen.count
                )
            };
            problems.remark(place, message, hint);
        }
    }
}
