//! Our tunes as music21 and abcjs find them.

use linewright_notation::{QUARTER, Score, Symbol, Ticks, abc};
use serde_json::{Value, json};

use super::lines::{changing, in_all_keys, repeated};
use super::{answers, notes, told_notes, whole};

fn ask(script: &str, scores: &[Score]) -> Vec<Value> {
    let asked: Vec<Value> = scores
        .iter()
        .map(|score| json!({ "text": abc::write(std::slice::from_ref(score)), "ticks": QUARTER }))
        .collect();
    let told = answers(script, &asked);
    assert_eq!(told.len(), scores.len());
    told
}

/// The chord symbols of a score with their times.
fn symbols(score: &Score) -> Vec<(Ticks, &Symbol)> {
    let mut found = Vec::new();
    let mut bar = 0;
    for measure in &score.measures {
        found.extend(measure.symbols.iter().map(|s| (bar + s.at, &s.symbol)));
        bar += measure.ticks;
    }
    found
}

fn title(score: &Score) -> &str {
    score.title.as_deref().unwrap_or("")
}

/// music21 does not know the `-8` of a clef: every note lies an octave above what sounds.
#[test]
fn music21_finds_the_same_notes_an_octave_high_and_the_same_chords() {
    let mut scores = in_all_keys();
    scores.push(changing());
    for (score, told) in scores.iter().zip(ask("abc_music21.py", &scores)) {
        let title = title(score);
        assert_eq!(told["title"], json!(title));
        let written: Vec<_> = notes(score)
            .into_iter()
            .map(|(at, ticks, pitch)| Some((at, ticks, pitch + 12)))
            .collect();
        assert_eq!(told_notes(&told), written, "{title}");
        let roots: Vec<Value> = symbols(score)
            .into_iter()
            .map(|(at, symbol)| match symbol {
                Symbol::Chord(chord) => json!([at, chord.root.class().get()]),
                other => panic!("{other}"),
            })
            .collect();
        assert_eq!(told["roots"], json!(roots), "{title}");
        let (mut metres, mut keys, mut tempos) = (Vec::new(), Vec::new(), Vec::new());
        let mut bar = 0;
        for measure in &score.measures {
            metres.extend(measure.time.map(|time| json!([bar, time.beats, time.unit])));
            keys.extend(measure.key.map(|key| {
                json!([
                    bar,
                    key.fifths(),
                    key.mode == linewright_theory::Mode::Minor
                ])
            }));
            tempos.extend(measure.tempo.map(|tempo| json!([bar, tempo])));
            bar += measure.ticks;
        }
        assert_eq!(told["metres"], json!(metres), "{title}");
        assert_eq!(told["keys"], json!(keys), "{title}");
        assert_eq!(told["tempos"], json!(tempos), "{title}");
    }
}

/// abcjs sounds the `-8` of the clef: the pitches are ours. It counts in floating point, so times
/// may be a tick or two off.
#[test]
fn abcjs_plays_the_same_notes_and_shows_the_same_chords() {
    let scores = in_all_keys();
    for (score, told) in scores.iter().zip(ask("abc_abcjs.py", &scores)) {
        let title = title(score);
        assert_eq!(told["title"], json!(title));
        assert_eq!(told["warnings"], json!([]), "{title}");
        let (ours, theirs) = (notes(score), told_notes(&told));
        assert_eq!(ours.len(), theirs.len(), "{title}");
        for (ours, theirs) in ours.iter().zip(theirs) {
            let theirs = theirs.expect("whole ticks");
            let near = |a: Ticks, b: Ticks| a.abs_diff(b) <= 3;
            assert!(
                ours.2 == theirs.2 && near(ours.0, theirs.0) && near(ours.1, theirs.1),
                "{title}: {ours:?}, abcjs {theirs:?}"
            );
        }
        let shown = told["symbols"].as_array().expect("symbols");
        let ours = symbols(score);
        assert_eq!(ours.len(), shown.len(), "{title}");
        for ((at, symbol), shown) in ours.into_iter().zip(shown) {
            let name = shown[1].as_str().expect("a name");
            let plain = name.replace('♭', "b").replace('♯', "#");
            assert_eq!(plain, symbol.to_string(), "{title}");
            let place = whole(&shown[0]).expect("whole ticks");
            assert!(
                place.abs_diff(at) <= 3,
                "{title}: {name} at {place}, not {at}"
            );
        }
    }
}

#[test]
fn abcjs_finds_repeats_endings_and_signs_where_they_are_written() {
    let told = ask("abc_abcjs.py", &[repeated()]).remove(0);
    assert_eq!(told["warnings"], json!([]));
    let bars: Vec<(&str, &str)> = told["bars"]
        .as_array()
        .expect("bar lines")
        .iter()
        .map(|bar| (bar[0].as_str().unwrap_or(""), bar[1].as_str().unwrap_or("")))
        .collect();
    let thin = ("bar_thin", "");
    assert_eq!(
        bars,
        [
            ("bar_left_repeat", ""),
            thin,
            thin,
            ("bar_thin", "1"),
            // The second ending begins a line.
            ("bar_right_repeat", ""),
            ("bar_invisible", "2"),
            ("bar_thin_thin", ""),
            thin,
            ("bar_left_repeat", ""),
            thin,
            ("bar_right_repeat", ""),
            thin,
            ("bar_thin_thin", ""),
            thin,
            ("bar_thin_thick", ""),
        ]
    );
    assert_eq!(told["decorations"], json!(["segno", "fine", "coda"]));
    let words: Vec<&str> = told["symbols"]
        .as_array()
        .expect("symbols")
        .iter()
        .filter(|symbol| symbol[2] == "above")
        .filter_map(|symbol| symbol[1].as_str())
        .collect();
    assert_eq!(words, ["To Coda", "D.S. al Coda"]);
}
