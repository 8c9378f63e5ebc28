//! A file says all that is needed to make its line again.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::run::Folder;

/// Everything that changes: a pick-up, metre and tempo.
const CHANGING: &str = "title: Loose ends\nkey: Dm\npickup: 1\nfeel: swing\n\
    | A7 | Dm7 | N.C. | (time: 3/4) Em7b5 A7b9 | (tempo: 90) Dm6 | (time: 4/4) Gm7 C7 | Fmaj7 |\n";

const WALTZ: &str =
    "title: In three\nkey: G\ntime: 3/4\n| G6 | Em7 | Am7 | D7 | Bm7 | E7b9 | Am7 D7 | G6 |\n";

const BALLAD: &str =
    "title: Slow two\nkey: Eb\ntempo: 72\nfeel: ballad in two\n| Ebmaj7 | Cm7 | Fm7 | Bb7 |\n";

/// What a line was made from, as a file says it.
#[derive(Debug, PartialEq)]
struct Told {
    style: String,
    hash: String,
    seed: String,
    line: String,
    /// The options of the choice, and the number that the file's name gets.
    choice: String,
    place: Option<u64>,
    key: String,
    /// The tempo, where it never changes.
    tempo: Option<String>,
    choruses: String,
    low: String,
    high: String,
    instrument: String,
    program: String,
}

impl Told {
    fn by_json(bytes: &[u8]) -> Self {
        let value: Value = serde_json::from_slice(bytes).unwrap();
        let text = |path: &str| match value.pointer(path) {
            Some(Value::String(text)) => text.clone(),
            Some(other) => other.to_string(),
            None => panic!("no {path}"),
        };
        let made = &value["made_by"];
        let place = made["place"].as_u64();
        let choice = match made["choice"].as_str().unwrap() {
            "best" => "--best".to_owned(),
            "ranked" => format!("--ranked --lines {}", place.unwrap()),
            "sampled" => {
                let milli = made["temperature_millipoints"].as_u64().unwrap();
                format!("--bold {}.{:03}", milli / 1000, milli % 1000)
            }
            other => panic!("{other}"),
        };
        let steady = value["bars"]
            .as_array()
            .unwrap()
            .iter()
            .all(|bar| bar["tempo_bpm"] == value["tempo_bpm"]);
        Self {
            style: text("/made_by/style"),
            hash: text("/made_by/style_hash"),
            seed: text("/made_by/seed"),
            line: text("/made_by/line"),
            choice,
            place,
            key: text("/key"),
            tempo: steady.then(|| text("/tempo_bpm")),
            choruses: text("/choruses"),
            low: text("/range/low"),
            high: text("/range/high"),
            instrument: text("/instrument/name"),
            program: text("/instrument/program"),
        }
    }

    fn by_midi(bytes: &[u8]) -> Self {
        // Text events at the very start: no delta, FF 01, a length of one byte, the text.
        let mut texts = BTreeMap::new();
        let mut rest = bytes;
        while let Some(at) = rest.windows(3).position(|window| window == [0, 0xFF, 1]) {
            let length = usize::from(rest[at + 3]);
            assert!(length < 128, "a short text");
            let text = std::str::from_utf8(&rest[at + 4..at + 4 + length]).unwrap();
            if let Some((name, value)) = text.split_once(": ") {
                assert_eq!(
                    texts.insert(name.to_owned(), value.to_owned()),
                    None,
                    "{name} twice"
                );
            }
            rest = &rest[at + 4 + length..];
        }
        let text = |name: &str| {
            texts
                .get(name)
                .unwrap_or_else(|| panic!("no {name} in {texts:?}"))
                .clone()
        };
        let told = text("choice");
        let place = told
            .strip_prefix("ranked number ")
            .map(|place| place.parse().unwrap());
        let choice = match (told.strip_prefix("sampled at "), place) {
            (Some(rest), _) => {
                // Written out like the thousandths of the other file.
                let points = rest.strip_suffix(" points").unwrap();
                let (whole, decimals) = points.split_once('.').unwrap_or((points, ""));
                format!("--bold {whole}.{decimals:0<3}")
            }
            (None, Some(place)) => format!("--ranked --lines {place}"),
            (None, None) => format!("--{told}"),
        };
        Self {
            style: text("style"),
            hash: text("style hash"),
            seed: text("seed"),
            line: text("line"),
            choice,
            place,
            key: text("key"),
            tempo: Some(text("tempo")).filter(|tempo| tempo.parse::<u16>().is_ok()),
            choruses: text("choruses"),
            low: text("low"),
            high: text("high"),
            instrument: text("instrument"),
            program: text("program"),
        }
    }

    /// The arguments that make the line again.
    fn arguments(&self) -> Vec<String> {
        let mut arguments: Vec<String> = format!(
            "compose blues.chart --style {} --seed {} {}",
            self.style, self.seed, self.choice
        )
        .split(' ')
        .map(str::to_owned)
        .collect();
        let mut add =
            |name: &str, value: &str| arguments.extend([name.to_owned(), value.to_owned()]);
        if self.place.is_none() {
            add("--nth", &self.line);
        }
        if let Some(tempo) = &self.tempo {
            add("--tempo", tempo);
        }
        add("--key", &self.key);
        add("--choruses", &self.choruses);
        add("--low", &self.low);
        add("--high", &self.high);
        let instruments = [
            ("double bass", "33", "double-bass"),
            ("bass guitar", "34", "bass-guitar"),
        ];
        for (name, program, option) in instruments {
            if (self.instrument.as_str(), self.program.as_str()) == (name, program) {
                add("--instrument", option);
            }
        }
        arguments
    }
}

/// Makes a line, and makes it again from what each of its files says.
#[track_caller]
fn comes_again(chart: &str, arguments: &str, stem: &str) -> Told {
    let folder = Folder::new();
    folder.write("blues.chart", chart);
    let files = "-o line.json -o line.mid -o line.txt";
    folder
        .line(&format!("compose blues.chart {arguments} {files}"))
        .ok();
    let told = Told::by_json(&folder.read(&format!("{stem}.json")));
    assert_eq!(told, Told::by_midi(&folder.read(&format!("{stem}.mid"))));
    let mut again = told.arguments();
    again.extend(
        "-o again.json -o again.mid -o again.txt"
            .split(' ')
            .map(str::to_owned),
    );
    folder.run(&again).ok();
    let new = match told.place {
        Some(place) if place > 1 => format!("again-{place}"),
        _ => "again".to_owned(),
    };
    for extension in ["json", "mid", "txt"] {
        let [old, new] = [stem, &new].map(|stem| folder.read(&format!("{stem}.{extension}")));
        assert!(old == new, "{extension} differs after {again:?}");
    }
    // The page says the same to people.
    let page = String::from_utf8(folder.read(&format!("{stem}.txt"))).unwrap();
    let parts = |block: Option<&str>| -> Vec<String> {
        let parts = block.unwrap_or_default().split(['\n', '·']);
        parts.map(|part| part.trim().to_owned()).collect()
    };
    let head = parts(page.split("\n\n").next());
    let last = parts(page.trim_end().rsplit("\n\n").next());
    let chorus = if told.choruses == "1" {
        "chorus"
    } else {
        "choruses"
    };
    for said in [
        format!("style {}", told.style),
        told.key.clone(),
        format!("{}, {} to {}", told.instrument, told.low, told.high),
    ] {
        assert!(head.contains(&said), "{said} in {head:?}");
    }
    let made = [
        format!("made by linewright {}", env!("CARGO_PKG_VERSION")),
        format!("style hash {}", told.hash),
        format!("seed {}", told.seed),
        format!("line {}", told.line),
        format!("MIDI program {}", told.program),
    ];
    assert_eq!(last, made);
    assert!(
        head.iter()
            .any(|part| part.starts_with(&format!("{} {chorus}, ", told.choruses))),
        "{head:?}"
    );
    let speed = head.iter().find(|part| part.contains("beats a minute"));
    let steady = told
        .tempo
        .as_ref()
        .map(|tempo| format!("{tempo} beats a minute"));
    match steady {
        Some(steady) => assert_eq!(speed, Some(&steady)),
        None => assert!(
            speed.is_some_and(|speed| speed.ends_with(" at first")),
            "{head:?}"
        ),
    }
    told
}

#[test]
fn a_line_that_was_asked_for_plainly() {
    let told = comes_again(crate::run::BLUES, "", "line");
    assert_eq!(
        (told.style.as_str(), told.choruses.as_str()),
        ("plain", "1")
    );
}

#[test]
fn a_line_moved_sped_up_repeated_and_fitted() {
    let arguments = "--style chromatic --seed 99 --nth 7 --bold 1.25 --key Eb --tempo 203 \
        --choruses 3 --low G1 --high F#3 --instrument bass-guitar";
    let told = comes_again(crate::run::BLUES, arguments, "line");
    let said = [
        &told.key,
        &told.choruses,
        &told.low,
        &told.high,
        &told.program,
    ];
    assert_eq!(said, ["Eb major", "3", "G1", "F#3", "34"]);
    assert_eq!(told.tempo.as_deref(), Some("203"));
}

#[test]
fn the_best_line_in_a_key_of_many_flats() {
    let told = comes_again(
        crate::run::BLUES,
        "--best --key Gb --instrument double-bass --high C4",
        "line",
    );
    assert_eq!(
        (told.key.as_str(), told.choice.as_str()),
        ("Gb major", "--best")
    );
}

#[test]
fn ranked_lines_each_by_its_place() {
    for place in 1..=3 {
        let told = comes_again(
            crate::run::BLUES,
            "--ranked --lines 3 --key A --choruses 2 --seed 4",
            &format!("line-{place}"),
        );
        assert_eq!((told.place, told.line.as_str()), (Some(place), "1"));
    }
}

#[test]
fn a_piece_that_changes_its_tempo_keeps_its_changes() {
    let told = comes_again(CHANGING, "--choruses 2 --key F#m", "line");
    assert_eq!((told.tempo, told.key.as_str()), (None, "F# minor"));
    let told = comes_again(CHANGING, "--tempo 111", "line");
    assert_eq!(told.tempo.as_deref(), Some("111"));
}

#[test]
fn a_line_whose_style_the_chart_told() {
    assert_eq!(comes_again(WALTZ, "", "line").style, "waltz");
    assert_eq!(comes_again(BALLAD, "--seed 5", "line").style, "two-feel");
    let told = comes_again(BALLAD, "--style plain", "line");
    assert_eq!(told.style, "plain");
}
