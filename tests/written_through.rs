//! What somebody wrote is what comes out: eighths, triplets, ties over bar lines, notes that begin
//! off the beat and rests go through `explain` into every format and back.
//!
//! Three hundred lines that are made here by chance, over shipped charts.

use std::path::Path;

use linewright::compose::{Role, Sound, Written};
use linewright::notation::musicxml::as_written;
use linewright::notation::{Event, Score, Ticks};
use linewright::render::score;
use linewright::study::Study;
use linewright::text::Details;
use linewright::{Chart, Explained, Given, Reading, Settings, exporter, read_lines};

/// Charts in four and in three, with two chords a bar, slash chords and a bar without a chord.
const CHARTS: [&str; 5] = [
    "blues-in-f",
    "two-chords-a-bar",
    "slash-chords",
    "waltz",
    "breaks",
];

/// How a beat may be written; `n` stands for a note.
const BEATS: [&str; 22] = [
    "n",
    "n",
    "n",
    "n",
    "n",
    "n",
    "n",
    ".",
    ".",
    "r",
    "(n n)",
    "(n n)",
    "(. n)",
    "(r n)",
    "(n r)",
    "(n . n)",
    "(n n n)",
    "(. n n)",
    "(r n n)",
    "xn",
    "(n xn)",
    "(n n n n)",
];

/// Numbers by chance: splitmix64 (Steele, Lea, Flood 2014).
struct Chance(u64);

impl Chance {
    fn below(&mut self, count: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % count as u64) as usize
    }
}

fn chart(name: &str) -> Chart {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples");
    let bytes = std::fs::read(folder.join(format!("{name}.chart"))).expect("a chart");
    Chart::parse(name, &bytes).expect("no faults")
}

/// A line of as many bars as the chart has when it is played once.
fn text(chart: &Chart, chance: &mut Chance) -> String {
    let names = [
        "E1", "F1", "G1", "A1", "Bb1", "B1", "C2", "D2", "Eb2", "F#2", "A2", "C3",
    ];
    let timeline = chart.unroll().expect("a form");
    let first = &timeline.bars[0];
    let mut text = format!("time: {}\n", first.metre);
    if first.pickup {
        text.push_str(&format!("pickup: {}\n", first.beats));
    }
    let mut begun = false;
    for bar in &timeline.bars {
        text.push_str("\n|");
        for _ in 0..bar.beats {
            let mut beat = BEATS[chance.below(BEATS.len())];
            if !begun && beat.contains('.') {
                beat = "n";
            }
            begun = true;
            let word: String = beat
                .chars()
                .map(|sign| match sign {
                    'n' => names[chance.below(names.len())].to_owned(),
                    sign => sign.to_string(),
                })
                .collect();
            text.push_str(&format!(" {word}"));
        }
        text.push_str(" |");
    }
    text + "\n"
}

fn given(name: &str, bytes: &[u8], what: &str) -> Given {
    let (mut lines, problems) =
        read_lines(name, bytes, None).unwrap_or_else(|e| panic!("{what} as {name}: {e}"));
    assert!(problems.is_empty(), "{what} as {name}: {problems}");
    assert_eq!(lines.len(), 1, "{what} as {name}");
    lines.remove(0)
}

fn study(given: &Given, chart: &Chart, what: &str) -> Study {
    let (_, study) = given
        .study(chart, &Reading::default())
        .unwrap_or_else(|e| panic!("{what}: {e}"));
    study
}

fn events(study: &Study) -> Vec<Vec<&Event>> {
    let bars = study.line.written.iter();
    bars.map(|row| row.iter().map(|written| &written.event).collect())
        .collect()
}

/// The notes as heads on the page: lengths that no head has are tied.
fn heads(study: &Study) -> Vec<Vec<Event>> {
    let score = as_written(&score(&study.line, &[]));
    score
        .measures
        .into_iter()
        .map(|measure| measure.events)
        .collect()
}

/// Place, length and pitch of what sounds, and how it is spelled.
fn sounding(study: &Study) -> Vec<(usize, Ticks, Ticks, u8)> {
    let told = |sound: &Sound| (sound.bar, sound.at, sound.ticks, sound.pitch.midi());
    study.line.sounds().iter().map(told).collect()
}

#[test]
fn every_written_event_comes_back_from_every_format() {
    let mut chance = Chance(7);
    let (mut between, mut held, mut triplets) = (0, 0, 0);
    for nth in 0..300 {
        let name = CHARTS[nth % CHARTS.len()];
        let chart = chart(name);
        let text = text(&chart, &mut chance);
        let what = format!("line {nth} over {name}:\n{text}");
        let line = given("line.txt", text.as_bytes(), &what);
        let first = study(&line, &chart, &what);

        // Nothing is lost on the way in: the study has the events of the score.
        let written: Vec<Vec<&Event>> = line
            .score
            .measures
            .iter()
            .map(|measure| measure.events.iter().collect())
            .collect();
        assert_eq!(events(&first), written, "{what}");
        between += first.between();
        for Written { event, role } in first.line.written.iter().flatten() {
            held += usize::from(*role == Role::Held);
            triplets += usize::from(event.ticks == linewright::notation::QUARTER / 3);
        }

        let details = Details { notes: true };
        let piece = Explained {
            study: &first,
            details,
        };
        let bytes = |extension: &str| {
            let exporter = exporter(extension, &Settings::default()).expect("a format");
            let bytes = exporter.bytes(&piece);
            bytes.unwrap_or_else(|e| panic!("{extension}: {e}: {what}"))
        };
        for extension in ["txt", "json", "musicxml", "mxl", "abc"] {
            let back = given(&format!("back.{extension}"), &bytes(extension), &what);
            let back = study(&back, &chart, &what);
            if ["txt", "json"].contains(&extension) {
                assert_eq!(events(&back), events(&first), "{extension}: {what}");
            }
            assert_eq!(heads(&back), heads(&first), "{extension}: {what}");
        }
        let back = study(&given("back.mid", &bytes("mid"), &what), &chart, &what);
        assert_eq!(sounding(&back), sounding(&first), "mid: {what}");
    }
    assert!(
        between > 1000 && held > 300 && triplets > 1000,
        "{between} {held} {triplets}"
    );
}

/// Composer and student of a line that is explained, from every format that tells them.
#[test]
fn title_composer_and_student_come_back() {
    let form = "title: Walk\n| F7 | Bbmaj7 |";
    let text = "composer: Ada Lind\nstudent: Kim & \"Lee\" Oh\n\n| F1 A1 C2 E2 | D2 D2 F2 Ab2 |";
    for (form, composer) in [
        (form.to_owned(), "Ada Lind"),
        (format!("composer: J. <Roe>\n{form}"), "J. <Roe>"),
    ] {
        let chart = Chart::parse("two bars", form.as_bytes()).expect("a chart");
        let study = study(&given("a.txt", text.as_bytes(), text), &chart, text);
        let piece = Explained {
            study: &study,
            details: Details { notes: true },
        };
        let bytes = |extension| {
            let exporter = exporter(extension, &Settings::default()).expect("a format");
            exporter.bytes(&piece).unwrap_or_else(|e| panic!("{e}"))
        };
        for extension in ["txt", "musicxml", "mxl", "abc", "mid"] {
            let back = given(&format!("back.{extension}"), &bytes(extension), extension).score;
            assert_eq!(back.title.as_deref(), Some("Walk"), "{extension}");
            assert_eq!(back.composer.as_deref(), Some(composer), "{extension}");
            let student = Some("Kim & \"Lee\" Oh");
            assert_eq!(back.student.as_deref(), student, "{extension}");
            let facts = back.about.iter().map(|(name, _)| name.as_str());
            assert!(
                facts.into_iter().all(|name| name != "student"),
                "{extension}"
            );
        }
        for extension in ["svg", "html"] {
            let page = String::from_utf8(bytes(extension)).expect("text");
            let safe = composer.replace('<', "&lt;").replace('>', "&gt;");
            assert!(page.contains(&safe), "{extension}");
            assert!(page.contains("Kim &amp; &quot;Lee&quot; Oh"), "{extension}");
        }
    }
}

/// The example of what used to be lost: notes between beats, a swung pair.
#[test]
fn all_eleven_notes_of_two_bars_come_out() {
    let chart = Chart::parse("two bars", b"| F7 | Bbmaj7 |").expect("a chart");
    let text = "| F1 (A1 A1) (C2 D2) E2 | (F2 . A2) D2 F2 Ab2 |";
    let study = study(&given("a.txt", text.as_bytes(), text), &chart, text);
    let score: Score = score(&study.line, &[]);
    let notes = score.measures.iter().flat_map(|measure| &measure.events);
    assert_eq!(notes.filter(|event| event.note.is_some()).count(), 11);
}
