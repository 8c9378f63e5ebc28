//! The elements that are read; all others are passed over.

/// Their names, in order.
const NAMES: [&str; 100] = [
    "actual-notes",
    "alter",
    "attributes",
    "backup",
    "bar-style",
    "barline",
    "bass",
    "bass-alter",
    "bass-step",
    "beat-type",
    "beat-unit",
    "beat-unit-dot",
    "beats",
    "chord",
    "chromatic",
    "coda",
    "container",
    "credit",
    "credit-type",
    "credit-words",
    "cue",
    "degree",
    "degree-alter",
    "degree-type",
    "degree-value",
    "diatonic",
    "direction",
    "direction-type",
    "divisions",
    "dot",
    "double",
    "duration",
    "elision",
    "ending",
    "fifths",
    "forward",
    "function",
    "grace",
    "harmony",
    "identification",
    "instrument-name",
    "instrument-sound",
    "inversion",
    "key",
    "kind",
    "lyric",
    "measure",
    "measure-repeat",
    "measure-style",
    "metronome",
    "midi-instrument",
    "midi-program",
    "miscellaneous",
    "miscellaneous-field",
    "mode",
    "movement-title",
    "normal-notes",
    "notations",
    "note",
    "notehead",
    "numeral",
    "numeral-root",
    "octave",
    "octave-change",
    "offset",
    "part",
    "part-abbreviation",
    "part-list",
    "part-name",
    "per-minute",
    "pitch",
    "rehearsal",
    "repeat",
    "root",
    "root-alter",
    "root-step",
    "rootfile",
    "rootfiles",
    "score-instrument",
    "score-part",
    "score-partwise",
    "score-timewise",
    "segno",
    "senza-misura",
    "sound",
    "staff",
    "step",
    "syllabic",
    "text",
    "tie",
    "tied",
    "time",
    "time-modification",
    "transpose",
    "type",
    "unpitched",
    "voice",
    "words",
    "work",
    "work-title",
];

/// The name, if it is that of an element that is read.
pub(super) fn known(name: &str) -> Option<&'static str> {
    NAMES.binary_search(&name).ok().map(|place| NAMES[place])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_is_found_and_no_other() {
        for name in NAMES {
            assert_eq!(known(name), Some(name));
        }
        assert_eq!(known("print"), None);
        assert_eq!(known(""), None);
    }
}
