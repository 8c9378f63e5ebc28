//! Lines come back from what was written, and damaged ones harm nothing.

use linewright_compose::{Choice, Provenance};
use linewright_notation::{Event, QUARTER, Score, TimeSignature};

use crate::json::{FORMAT, read, text};
use crate::score;
use crate::test_lines::{BLUES, CHANGING, line};
use proptest::prelude::*;

/// The notes of a part, each with its measure.
fn notes(score: &Score) -> Vec<(usize, Event)> {
    let measures = score.measures.iter().enumerate();
    measures
        .flat_map(|(at, m)| m.events.iter().map(move |event| (at, event.clone())))
        .filter(|(_, event)| event.note.is_some())
        .collect()
}

#[test]
fn what_was_written_comes_back_note_for_note() {
    for (chart, style) in [(BLUES, "plain"), (CHANGING, "plain"), (BLUES, "two-feel")] {
        let line = line(chart, style, 3);
        let (scores, problems) = read(text(std::slice::from_ref(&line)).as_bytes()).unwrap();
        assert!(problems.is_empty(), "{problems}");
        assert_eq!(notes(&scores[0]), notes(&score(&line, &[])));
    }
}

#[test]
fn several_lines_come_back_in_order() {
    let lines = [line(BLUES, "plain", 1), line(BLUES, "plain", 2)];
    let (scores, _) = read(text(&lines).as_bytes()).unwrap();
    let seeds: Vec<&str> = scores
        .iter()
        .map(|score| score.about[3].1.as_str())
        .collect();
    assert_eq!(seeds, ["1", "2"]);
}

#[test]
fn other_json_and_no_json_are_refused_with_a_hint() {
    for bytes in [&b"{"[..], b"[]", b"{\"format\": 3}", b"\xff\xfe", b""] {
        let told = read(bytes).unwrap_err().to_string();
        assert!(told.contains("hint"), "{told}");
    }
}

#[test]
fn lines_that_are_too_long_are_refused_and_not_held() {
    let refusal = |text: &str| read(text.as_bytes()).unwrap_err().to_string();
    let mut value: serde_json::Value =
        serde_json::from_str(&text(&[line(BLUES, "plain", 1)])).unwrap();
    let list = |value: &serde_json::Value, key: &str, count: usize| {
        let one = value[key][0].clone();
        serde_json::Value::Array(vec![one; count])
    };
    let (bars, notes) = (value["bars"].clone(), value["notes"].clone());
    value["bars"] = list(&value, "bars", 4096);
    assert!(read(value.to_string().as_bytes()).is_ok());
    value["bars"] = list(&value, "bars", 5000);
    assert!(refusal(&value.to_string()).contains("more than 4096 bars"));
    value["bars"] = bars;
    value["notes"] = list(&value, "notes", 200_001);
    assert!(refusal(&value.to_string()).contains("200000 notes"));
    value["notes"] = notes;
    assert!(read(value.to_string().as_bytes()).is_ok());
    let blanks = " ".repeat(crate::json::MAX_BYTES);
    assert!(refusal(&format!("{{{blanks}")).contains("bytes"));
    assert!(refusal(&format!("[{}", &blanks[..16 << 20])).contains("bytes"));
}

#[test]
fn what_no_bar_can_have_is_told_and_left_out() {
    let bar = r#"{"number":0,"section":"A\nB","metre":"0/4","beats":0,"key":"H","tempo":0,
        "chords":[{"beat":9,"symbol":"F7"},{"beat":1,"symbol":"x\ny"}]}"#;
    let text = |bars: &str| {
        format!(
            r#"{{"format":"{FORMAT}","made_by":{{"style":"a\nb","style_hash":"0","seed":1,
            "line":1,"choice":"best"}},"title":"","key":"C","tempo":0,"choruses":1,
            "instrument":{{"name":"","program":1}},"range":{{"low":"","high":""}},
            "bars":[{bars}],"notes":[]}}"#
        )
    };
    assert!(read(text("").as_bytes()).is_err());
    let (scores, problems) = read(text(&format!("{bar},{bar}")).as_bytes()).unwrap();
    let [first, second] = &scores[0].measures[..] else {
        panic!("two bars: {scores:?}");
    };
    assert_eq!(first.time, Some(TimeSignature { beats: 1, unit: 4 }));
    assert_eq!((first.ticks, first.tempo), (QUARTER, None));
    assert_eq!(first.section.as_deref(), Some("A B"));
    assert_eq!(first.symbols.len(), 1);
    assert!(first.pickup && !second.pickup);
    assert_eq!(scores[0].about[0].1, "a b");
    let told = problems.to_string();
    for words in [
        "a bar of 0 beats",
        "the metre \"0/4\"",
        "the chord on beat 9",
    ] {
        assert!(told.contains(words), "{told}");
    }
}

proptest! {
    #[test]
    fn damaged_files_never_panic(at in 0_usize..20_000, byte in any::<u8>()) {
        let mut bytes = text(&[line(CHANGING, "plain", 5)]).into_bytes();
        let at = at % bytes.len();
        bytes[at] = byte;
        let _ = read(&bytes);
    }
}

/// Lines that version 1 wrote, without the white space: one that was composed, and one that
/// was given, with eighths and a ghost note, as it was explained.
const VERSION_1: [&str; 2] = [
    include_str!("version_1_line.json"),
    include_str!("version_1_explanation.json"),
];

#[test]
fn version_1_is_read_as_before() {
    let [composed, given] = VERSION_1.map(|text| {
        let (mut scores, problems) = read(text.as_bytes()).unwrap();
        assert!(problems.is_empty(), "{problems}");
        scores.remove(0)
    });
    let tempos = |score: &Score| -> Vec<_> { score.measures.iter().map(|m| m.tempo).collect() };
    assert_eq!(tempos(&composed), [Some(90), None, Some(100)]);
    assert_eq!(tempos(&given), [Some(90), Some(100)]);
    let told: Vec<&str> = composed.about.iter().map(|fact| &*fact.1).collect();
    assert_eq!(
        told,
        [
            "0.1.0",
            "two-feel",
            "09c3837d4ae265a1",
            "3",
            "2",
            "sampled at 0.75 points",
            "D minor",
            "90 at first, then as in the chart",
            "1",
            "E1",
            "G3",
            "double bass",
            "33",
            "42.781",
        ]
    );
    let made = Provenance::from_facts(&given.about).unwrap();
    assert_eq!(made.origin.choice, None);
    let events: Vec<_> = given.measures.iter().flat_map(|m| &m.events).collect();
    let eighth = QUARTER / 2;
    assert_eq!(
        events.iter().map(|event| event.ticks).collect::<Vec<_>>(),
        [
            3 * eighth,
            eighth,
            QUARTER,
            QUARTER,
            eighth,
            eighth,
            2 * QUARTER
        ]
    );
    assert!(events[2].note.is_none() && events[5].ghost);
}

#[test]
fn what_a_line_was_made_from_comes_back() {
    let mut line = line(CHANGING, "two-feel", 3);
    let choices = [
        None,
        Some(Choice::Best),
        Some(Choice::Ranked { place: 3 }),
        Some(Choice::Sampled { temperature: 1_250 }),
    ];
    for choice in choices {
        line.origin.choice = choice;
        line.credits.student = choice.is_none().then(|| "A. Pupil".to_owned());
        line.credits.composer = Some("Nobody".to_owned());
        let (scores, _) = read(text(std::slice::from_ref(&line)).as_bytes()).unwrap();
        assert_eq!(scores[0].about, Provenance::of(&line).facts());
        let credits = (&scores[0].composer, &scores[0].student);
        assert_eq!(credits, (&line.credits.composer, &line.credits.student));
    }
}

#[test]
fn a_name_and_a_midi_number_at_odds_are_told_and_the_name_counts() {
    let line = line(BLUES, "plain", 3);
    let whole = text(std::slice::from_ref(&line));
    let mut value: serde_json::Value = serde_json::from_str(&whole).unwrap();
    let name = value["written"][5]["name"].as_str().unwrap().to_owned();
    let wrong = value["written"][5]["midi"].as_u64().unwrap() + 1;
    value["written"][5]["midi"] = wrong.into();
    value["notes"][2]["midi"] = 0.into();
    let (scores, problems) = read(value.to_string().as_bytes()).unwrap();
    assert_eq!(notes(&scores[0]), notes(&score(&line, &[])));
    let told = problems.to_string();
    for words in [
        format!("measure 2: the note on beat 2 is {name} by its name and {wrong} by its midi"),
        "measure 1: in `notes`, the note on beat 3 is ".to_owned(),
    ] {
        assert!(told.contains(&words), "{words} in {told}");
    }
    value.as_object_mut().unwrap().remove("written");
    let told = read(value.to_string().as_bytes()).unwrap().1.to_string();
    assert!(told.contains("measure 1: the note on beat 3 is "), "{told}");
    assert_eq!(told.matches("by its midi").count(), 1, "{told}");
}
