//! MusicXML as other people's programs find it: valid by the schema, and with the same notes,
//! chord symbols, time signatures and form in three readers; one of them engraves it.

#[path = "support/page_scores.rs"]
mod page_scores;

use std::sync::OnceLock;

use linewright_checkers::python;
use linewright_notation::musicxml::{Options, read, write};
use linewright_notation::{Event, Score, Symbol};
use linewright_theory::{Chord, Mode, Note};
use serde_json::{Value, json};

/// The answers of a script about these texts.
fn asked(script: &str, texts: &[String]) -> Vec<Value> {
    let lines: String = texts
        .iter()
        .map(|text| format!("{}\n", json!({ "text": text })))
        .collect();
    let answers: Vec<Value> = python()
        .and_then(|python| python.run(script, lines.as_bytes()))
        .unwrap_or_else(|e| panic!("{e}"))
        .lines()
        .map(|line| serde_json::from_str(line).expect("one JSON object a line"))
        .collect();
    assert_eq!(answers.len(), texts.len());
    answers
}

type Told = Vec<(Score, Value)>;

fn music21() -> &'static Told {
    static TOLD: OnceLock<Told> = OnceLock::new();
    TOLD.get_or_init(|| told("musicxml_music21.py"))
}

fn verovio() -> &'static Told {
    static TOLD: OnceLock<Told> = OnceLock::new();
    TOLD.get_or_init(|| told("musicxml_verovio.py"))
}

/// All scores, and what a script tells about the file of each.
fn told(script: &str) -> Told {
    let scores = page_scores::all();
    let texts: Vec<String> = scores
        .iter()
        .map(|score| write(score, &Options { under: true }))
        .collect();
    let answers = asked(script, &texts);
    scores.into_iter().zip(answers).collect()
}

fn title(score: &Score) -> &str {
    score.title.as_deref().expect("a title")
}

/// Where each measure begins, and where the last ends.
fn starts(score: &Score) -> Vec<u32> {
    let mut now = 0;
    let mut starts = vec![0];
    for measure in &score.measures {
        now += measure.ticks;
        starts.push(now);
    }
    starts
}

/// The number that each measure shows.
fn numbers(score: &Score) -> Vec<usize> {
    let pickup = score.measures[0].pickup;
    (0..score.measures.len())
        .map(|place| place + usize::from(!pickup))
        .collect()
}

/// A sounding note from its beginning to the end of its last tie.
struct Sounding {
    at: u32,
    ticks: u32,
    note: Note,
    ghost: bool,
}

fn sounding(score: &Score) -> Vec<Sounding> {
    let mut list: Vec<Sounding> = Vec::new();
    let mut tied = false;
    for (measure, start) in score.measures.iter().zip(starts(score)) {
        for &Event {
            at,
            ticks,
            note,
            tied: holds,
            ghost,
            ..
        } in &measure.events
        {
            let Some(note) = note else { continue };
            match list.last_mut().filter(|_| tied) {
                Some(last) => last.ticks += ticks,
                None => list.push(Sounding {
                    at: start + at,
                    ticks,
                    note,
                    ghost,
                }),
            }
            tied = holds;
        }
    }
    list
}

/// The chord symbols with their places.
fn symbols(score: &Score) -> Vec<(u32, Symbol)> {
    let measures = score.measures.iter().zip(starts(score));
    measures
        .flat_map(|(measure, start)| {
            let symbols = measure.symbols.iter();
            symbols.map(move |symbol| (start + symbol.at, symbol.symbol.clone()))
        })
        .collect()
}

/// For every measure that has one, where it begins and what it has.
fn changes<T>(
    score: &Score,
    of: impl Fn(&linewright_notation::Measure) -> Option<T>,
) -> Vec<(u32, T)> {
    let measures = score.measures.iter().zip(starts(score));
    measures
        .filter_map(|(measure, start)| Some((start, of(measure)?)))
        .collect()
}

fn times(score: &Score) -> Value {
    let mut times = changes(score, |measure| measure.time);
    if times.is_empty() {
        times.push((0, linewright_notation::TimeSignature { beats: 4, unit: 4 }));
    }
    times
        .iter()
        .map(|(at, time)| json!([at, time.beats, time.unit]))
        .collect()
}

fn keys(score: &Score) -> Value {
    changes(score, |measure| measure.key)
        .iter()
        .map(|(at, key)| json!([at, key.fifths(), key.mode == Mode::Minor]))
        .collect()
}

#[test]
fn every_file_is_valid_by_the_schema_of_musicxml_4_0() {
    for (score, told) in &told("musicxml_schema.py") {
        assert_eq!(told["errors"], json!([]), "{}", title(score));
    }
}

#[test]
fn the_schema_check_finds_what_is_wrong() {
    let text = write(&page_scores::all()[0], &Options::default());
    let wrong = [
        text.replace("<voice>1</voice>", ""),
        text.replace("<duration>1</duration>", "<duration>x</duration>"),
        text.replace("<sign>F</sign>", "<sign>H</sign>"),
        text.replace("<work-title>", "<title>")
            .replace("</work-title>", "</title>"),
    ];
    let told = asked("musicxml_schema.py", &wrong);
    // A voice may be missing; the others may not be.
    let errors: Vec<bool> = told
        .iter()
        .map(|told| told["errors"] != json!([]))
        .collect();
    assert_eq!(errors, [false, true, true, true]);
}

#[test]
fn music21_finds_the_same_notes_symbols_and_signs() {
    for (score, told) in music21() {
        let title = title(score);
        assert_eq!(told["title"], json!(title));
        let instrument = score.about.iter().find(|(name, _)| name == "instrument");
        let part = instrument.map_or("Bass", |(_, value)| value);
        assert_eq!(told["part"], json!(part), "{title}");
        let notes: Value = sounding(score)
            .iter()
            .map(|n| {
                json!([
                    n.at,
                    n.ticks,
                    n.note.name.to_string(),
                    n.note.octave,
                    n.ghost
                ])
            })
            .collect();
        assert_eq!(told["notes"], notes, "{title}");
        let measures: Value = score
            .measures
            .iter()
            .zip(numbers(score))
            .map(|(measure, number)| json!([number, measure.ticks]))
            .collect();
        assert_eq!(told["measures"], measures, "{title}");
        let symbols: Value = symbols(score)
            .iter()
            .map(|(at, symbol)| json!([at, harmony(symbol)]))
            .collect();
        assert_eq!(told["symbols"], symbols, "{title}");
        assert_eq!(told["times"], times(score), "{title}");
        assert_eq!(told["keys"], keys(score), "{title}");
        let tempos: Value = changes(score, |measure| measure.tempo)
            .iter()
            .map(|(at, tempo)| json!([at, tempo]))
            .collect();
        assert_eq!(told["tempos"], tempos, "{title}");
    }
}

/// A symbol as music21 keeps it: kind, root, bass and degrees, the latter in order.
fn harmony(symbol: &Symbol) -> Value {
    match symbol {
        Symbol::Chord(chord) => {
            let harmony = chord.musicxml_kind();
            let mut degrees: Vec<_> = harmony
                .degrees
                .iter()
                .map(|d| (d.value, d.alter, d.kind.name()))
                .collect();
            degrees.sort_unstable();
            let bass = chord.bass.map(|bass| bass.to_string());
            json!([harmony.kind, chord.root.to_string(), bass, degrees])
        }
        _ => json!(["none", null, null, []]),
    }
}

#[test]
fn music21_plays_repeats_endings_and_jumps_in_the_order_that_is_meant() {
    let orders = [
        ("Endings", vec![0, 1, 2, 3, 4, 1, 2, 5, 6, 7, 6, 7, 6, 7]),
        ("Dal segno", vec![1, 2, 3, 4, 5, 2, 3, 6]),
        ("Da capo", vec![1, 2, 3, 4, 1, 2]),
    ];
    for (wanted, order) in orders {
        let of = |(score, _): &&(Score, Value)| title(score) == wanted;
        let (score, told) = music21().iter().find(of).expect("the score");
        // Written pitches, an octave above the sound; flats are hyphens.
        let bars: Vec<String> = score
            .measures
            .iter()
            .map(|measure| {
                let notes = measure.events.iter().filter_map(|event| event.note);
                let names = notes.map(|note| {
                    format!(
                        "{}{}",
                        note.name.to_string().replace('b', "-"),
                        note.octave + 1
                    )
                });
                names.collect::<Vec<_>>().join(" ")
            })
            .collect();
        let first = numbers(score)[0];
        let played: Vec<&String> = order.iter().map(|number| &bars[number - first]).collect();
        assert_eq!(told["played"], json!(played), "{wanted}");
    }
}

#[test]
fn partitura_finds_the_same_notes_symbols_and_signs() {
    for (score, told) in &told("musicxml_partitura.py") {
        let title = title(score);
        let notes: Value = sounding(score)
            .iter()
            .map(|n| json!([n.at, n.ticks, n.note.name.to_string(), n.note.octave + 1]))
            .collect();
        assert_eq!(told["notes"], notes, "{title}");
        let starts = starts(score);
        let measures: Value = starts.windows(2).map(|pair| json!(pair)).collect();
        assert_eq!(told["measures"], measures, "{title}");
        assert_eq!(told["times"], times(score), "{title}");
        assert_eq!(told["keys"], keys(score), "{title}");
        // It has no offsets: symbols stand where the notes before which they are written do.
        if title != "Rhythms" {
            let wanted = symbols(score);
            let told = told["symbols"].as_array().expect("a list");
            assert_eq!(told.len(), wanted.len(), "{title}");
            for (told, (at, symbol)) in told.iter().zip(&wanted) {
                assert_eq!(told[0], json!(at), "{title}");
                if let Symbol::Chord(chord) = symbol {
                    assert_eq!(told[1], json!(chord.root.to_string()), "{title}");
                }
            }
        }
        if title == "Endings" {
            let bar = |number: usize| starts[number];
            assert_eq!(told["repeats"], json!([[bar(1), bar(5)], [bar(6), bar(8)]]));
            assert_eq!(
                told["endings"],
                json!([[bar(3), bar(5), "1"], [bar(5), bar(6), "2"]])
            );
            assert_eq!(told["tempos"], json!([[0, 120.0]]));
        }
    }
}

#[test]
fn verovio_engraves_every_file_without_a_warning() {
    for (score, told) in verovio() {
        assert_eq!(told["warnings"], json!(""), "{}", title(score));
        assert_eq!(told["svg"], json!(true), "{}", title(score));
    }
}

#[test]
fn verovio_shows_the_same_notes_and_a_player_reads_every_accidental_as_meant() {
    for (score, told) in verovio() {
        let title = title(score);
        let told_notes = told["notes"].as_array().expect("a list");
        let mut notes: Vec<(u64, u64, Value)> = Vec::new();
        for told in told_notes {
            let number = |place: usize| told[place].as_u64().expect("a time");
            assert_eq!(
                told[4], told[5],
                "{title}: read otherwise than meant: {told}"
            );
            let head = json!([told[2], told[3], told[4], told[7]]);
            match notes.last_mut().filter(|_| told[6] == json!(true)) {
                // Tied: it goes on where the last ended.
                Some(last) => {
                    assert_eq!((last.1, &last.2), (number(0), &head), "{title}");
                    last.1 = number(1);
                }
                None => notes.push((number(0), number(1), head)),
            }
        }
        let wanted: Vec<(u64, u64, Value)> = sounding(score)
            .iter()
            .map(|n| {
                let Note { name, octave } = n.note;
                let head = json!([name.letter.to_string(), octave + 1, name.alter, n.ghost]);
                (u64::from(n.at), u64::from(n.at + n.ticks), head)
            })
            .collect();
        assert_eq!(notes, wanted, "{title}");
        let times: Vec<Value> = changes(score, |measure| measure.time)
            .iter()
            .map(|(_, time)| json!([time.beats, time.unit]))
            .collect();
        let times = if times.is_empty() {
            vec![json!([4, 4])]
        } else {
            times
        };
        assert_eq!(told["times"], json!(times), "{title}");
        let measures: Value = numbers(score)
            .iter()
            .zip(starts(score))
            .map(|(number, start)| json!([number.to_string(), start]))
            .collect();
        assert_eq!(told["measures"], measures, "{title}");
    }
}

#[test]
fn verovio_shows_the_chord_symbols_in_their_places() {
    for (score, told) in verovio() {
        let title = title(score);
        let wanted = symbols(score);
        let told = told["symbols"].as_array().expect("a list");
        assert_eq!(told.len(), wanted.len(), "{title}");
        for (told, (at, symbol)) in told.iter().zip(&wanted) {
            assert_eq!(told[0], json!(at), "{title}: {symbol}");
            let shown = told[1].as_str().expect("a text");
            match symbol {
                Symbol::Chord(chord) => assert!(is_shown(chord, shown), "{symbol}: {shown}"),
                other => assert_eq!(shown, other.to_string()),
            }
        }
    }
}

/// Whether a text shows a chord and says nothing twice. It prints degrees in parentheses after the
/// text of the kind, even those that are not to be printed, so the kind says nothing of them; but
/// for alt, which they explain.
fn is_shown(chord: &Chord, shown: &str) -> bool {
    let shown = shown.replace('♭', "b").replace('♯', "#");
    let harmony = chord.musicxml_kind();
    if harmony.degrees.is_empty() {
        return shown == chord.to_string();
    }
    let bass = chord.bass.map_or(String::new(), |bass| format!("/{bass}"));
    let kind = match harmony.text.contains("alt") {
        true => format!("{}{}", chord.root, harmony.text),
        false => Chord::from_musicxml(chord.root, None, harmony.kind, &[])
            .map(|plain| plain.to_string())
            .unwrap_or_default(),
    };
    let inner = shown.strip_prefix(&kind).and_then(|rest| {
        rest.strip_suffix(&bass)?
            .strip_prefix('(')?
            .strip_suffix(')')
    });
    let mut figures: Vec<&str> = inner
        .unwrap_or_default()
        .split(|c: char| !c.is_ascii_digit())
        .filter(|figure| !figure.is_empty())
        .collect();
    let mut degrees: Vec<String> = harmony
        .degrees
        .iter()
        .map(|d| d.value.to_string())
        .collect();
    figures.sort_unstable();
    degrees.sort_unstable();
    figures == degrees
}

#[test]
fn verovio_prints_the_rows_under_the_notes() {
    let (_, rows) = verovio().last().expect("a score");
    // It prints none under rests.
    let lyrics = ["1", "<1>", "3", "<3>", "#4", "<#4>", "5", "<5>"];
    assert_eq!(rows["lyrics"], json!(lyrics));
}

#[test]
fn files_that_others_wrote_are_read_as_music21_reads_them() {
    let lines = python()
        .and_then(|python| python.run("musicxml_corpus.py", b"{\"every\": 12}\n"))
        .unwrap_or_else(|e| panic!("{e}"));
    let (mut files, mut all) = (0, 0);
    for line in lines.lines() {
        let told: Value = serde_json::from_str(line).expect("one JSON object a line");
        let name = &told["name"];
        let hex = told["bytes"].as_str().expect("digits");
        let bytes: Vec<u8> = (0..hex.len())
            .step_by(2)
            .map(|at| u8::from_str_radix(&hex[at..at + 2], 16).expect("two digits"))
            .collect();
        let part = told["part"].as_str().expect("an id");
        let (score, _) = read(&bytes, Some(part)).unwrap_or_else(|e| panic!("{name}: {e}"));
        let notes: Vec<Value> = (0..)
            .zip(&score.measures)
            .flat_map(|(place, measure)| {
                let notes = measure.events.iter().filter_map(move |event| {
                    let Note { name, octave } = event.note?;
                    let name = name.to_string();
                    Some(json!([place, event.at, event.ticks, name, octave]))
                });
                notes.collect::<Vec<Value>>()
            })
            .collect();
        assert_eq!(json!(notes), told["notes"], "{name}");
        (files, all) = (files + 1, all + notes.len());
    }
    assert!(files >= 25 && all >= 1500, "{files} files with {all} notes");
}
