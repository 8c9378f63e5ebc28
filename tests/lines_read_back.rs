//! Lines come back from every file that is written of them: from the page, from MIDI and from
//! plain text the same notes on the same beats, and what else each of them tells. Over every
//! shipped chart in every shipped style.

use std::num::NonZero;
use std::sync::{Arc, LazyLock};
use std::thread::available_parallelism;

use linewright::notation::midi;
use linewright::render::{playback, score};
use linewright::text::{Options, page};
use linewright::{Chart, Choice, Composer, Library, Line, Setting, Settings, exporter, read_lines};
use linewright_diagnostic::Diagnostics;
use linewright_notation::{BarLine, Measure, Score, line_text, musicxml};
use linewright_workshop::shipped::{charts, compose, composers, pairs};

/// A line in each style over each chart.
static LINES: LazyLock<Vec<Line>> = LazyLock::new(|| {
    let (charts, composers) = (charts(), composers());
    let wanted = pairs(&composers, &charts, 1, 1..=1);
    let threads = available_parallelism().map_or(1, NonZero::get);
    let lines = compose(&wanted, threads, <[Line]>::to_vec).concat();
    assert_eq!(lines.len(), charts.len() * composers.len());
    lines
});

/// What is read without any problem.
fn clean<T>(read: Result<(T, Diagnostics), Diagnostics>, what: &str) -> T {
    let (found, problems) = read.unwrap_or_else(|e| panic!("{what}: {e}"));
    assert!(problems.is_empty(), "{what}: {problems}");
    found
}

/// The line's name in a message.
fn name(line: &Line) -> String {
    format!("{} in style {}", line.timeline.title, line.style.name)
}

/// The score with what a format does not tell taken away.
fn without(score: &Score, take: impl Fn(&mut Measure)) -> Score {
    let mut score = score.clone();
    score.measures.iter_mut().for_each(take);
    score
}

fn assert_same(found: &Score, wanted: &Score, what: &str) {
    assert_eq!(found.title, wanted.title, "{what}");
    assert_eq!(found.feel, wanted.feel, "{what}");
    assert_eq!(found.about, wanted.about, "{what}");
    assert_eq!(found.measures.len(), wanted.measures.len(), "{what}");
    for (nth, (found, wanted)) in found.measures.iter().zip(&wanted.measures).enumerate() {
        assert_eq!(found, wanted, "{what}, measure {}", nth + 1);
    }
}

/// What the page tells: metre by its beats, key and tempo once, no bar lines but the plain.
fn as_on_the_page(line: &Line) -> Score {
    let mut wanted = without(&score(line, &[]), |measure| {
        measure.right = BarLine::Single;
    });
    for measure in &mut wanted.measures[1..] {
        (measure.key, measure.tempo) = (None, None);
    }
    wanted.about.retain(|(name, _)| name != "score");
    wanted
}

#[test]
fn the_page_reads_back() {
    for line in &*LINES {
        let wanted = as_on_the_page(line);
        for (width, extras) in [(100, false), (46, true), (300, true)] {
            let options = Options {
                width,
                colour: extras,
                plan: extras,
                reasons: extras,
                ..Options::default()
            };
            let found = clean(
                line_text::read(page(line, &options).as_bytes()),
                &name(line),
            );
            assert_eq!(found.len(), 1);
            assert_same(&found[0], &wanted, &name(line));
        }
    }
}

#[test]
fn the_midi_file_reads_back() {
    for line in &*LINES {
        let bytes = midi::write(&playback::part(&[line], false)).unwrap();
        let found = clean(linewright_notation::midi::read(&bytes, None), &name(line));
        let mut wanted = without(&score(line, &[]), |measure| {
            measure.right = BarLine::Single;
        });
        wanted.feel = None;
        assert_same(&found, &wanted, &name(line));
    }
}

#[test]
fn the_plain_text_reads_back() {
    for line in &*LINES {
        let wanted = without(&score(line, &[]), |measure| measure.symbols.clear());
        let text = line_text::write(&wanted);
        let found = clean(line_text::read(text.as_bytes()), &name(line));
        assert_same(&found[0], &wanted, &name(line));
    }
}

/// What notation tells of a line: its notes and rests by the values that can be written, how they
/// are spelled and tied, its chords and sections, metre, key and tempo. Bar lines and what else a
/// line says of itself aside.
fn as_notation(score: &Score) -> Vec<Measure> {
    let plain = without(score, |measure| measure.right = BarLine::Single);
    musicxml::as_written(&plain).measures
}

#[test]
fn every_format_of_notation_reads_back() {
    for format in ["musicxml", "mxl", "abc"] {
        // A line that is the same each time would be written with its repeats.
        let unrolled = Settings {
            unrolled: true,
            ..Settings::default()
        };
        let exporter = exporter(format, &unrolled).expect("a format");
        for line in &*LINES {
            let what = format!("{} as .{format}", name(line));
            let bytes = exporter
                .bytes(line)
                .unwrap_or_else(|e| panic!("{what}: {e}"));
            let (given, problems) = read_lines(&format!("line.{format}"), &bytes, None)
                .unwrap_or_else(|e| panic!("{what}: {e}"));
            assert!(problems.is_empty(), "{what}: {problems}");
            let [given] = given.as_slice() else {
                panic!("{what}: {} lines", given.len());
            };
            let (found, wanted) = (as_notation(&given.score), as_notation(&score(line, &[])));
            assert_eq!(found.len(), wanted.len(), "{what}");
            for (nth, (found, wanted)) in found.iter().zip(&wanted).enumerate() {
                assert_eq!(found, wanted, "{what}, measure {}", nth + 1);
            }
            assert_eq!(
                given.score.title,
                Some(line.timeline.title.clone()),
                "{what}"
            );
        }
    }
}

/// Lines over a chart in a style.
fn lines(chart: &str, style: &str, choruses: usize, count: u64) -> Vec<Line> {
    let chart = Chart::parse("test", chart.as_bytes()).unwrap();
    let setting = Setting {
        choruses,
        ..Setting::default()
    };
    let timeline = Arc::new(setting.timeline(&chart).unwrap());
    let composer = Composer::new(Library::builtin().style(style).unwrap()).unwrap();
    let choice = Choice::Sampled { temperature: 650 };
    let line = |number| composer.compose(&timeline, 5, number, choice).unwrap();
    (0..count).map(line).collect()
}

const PICKUP: &str = "title: Two | by two\nkey: F\ntempo: 96\nfeel: in two\npickup: 1\n\
    | C7 | [A] F6 | N.C. | Gm7 C7 | % | [F] (key: Bb) (tempo: 120) Bb6 | C | [G] C | F |\n";

#[test]
fn several_lines_and_choruses_on_one_page_come_back_as_several() {
    let lines = lines(PICKUP, "two-feel", 3, 4);
    let pages: Vec<String> = lines
        .iter()
        .map(|line| page(line, &Options::default()))
        .collect();
    let found = clean(line_text::read(pages.join("\n").as_bytes()), "four lines");
    assert_eq!(found.len(), 4);
    for (found, line) in found.iter().zip(&lines) {
        assert_same(found, &as_on_the_page(line), "one of four");
    }
}

#[test]
fn some_bars_of_a_page_come_back_as_these_bars() {
    let line = &lines(PICKUP, "two-feel", 2, 1)[0];
    let whole = as_on_the_page(line);
    for (first, last) in [(0, 0), (0, 3), (3, 7), (10, 16)] {
        let options = Options {
            bars: Some(first..=last),
            ..Options::default()
        };
        let found = clean(line_text::read(page(line, &options).as_bytes()), "bars");
        let events = |measures: &[Measure]| -> Vec<_> {
            measures.iter().map(|m| m.events.clone()).collect()
        };
        assert_eq!(
            events(&found[0].measures),
            events(&whole.measures[first..=last])
        );
    }
}

#[test]
fn sections_named_like_chords_stay_sections_in_midi() {
    let line = &lines(PICKUP, "plain", 2, 1)[0];
    let bytes = midi::write(&playback::part(&[line], false)).unwrap();
    let found = clean(linewright_notation::midi::read(&bytes, None), "sections");
    let mut wanted = without(&score(line, &[]), |m| m.right = BarLine::Single);
    wanted.feel = None;
    assert_same(&found, &wanted, "sections");
    let sections = found.measures.iter().filter(|m| m.section.is_some());
    assert_eq!(sections.count(), 6);
}

#[test]
fn lines_one_after_the_other_in_one_midi_file_are_one_part() {
    let lines = lines(PICKUP, "plain", 1, 2);
    let bytes = midi::write(&playback::part(&lines.iter().collect::<Vec<_>>(), false)).unwrap();
    let found = clean(linewright_notation::midi::read(&bytes, None), "two lines");
    assert_eq!(found.measures.len(), 2 * lines[0].timeline.bars.len());
    assert_eq!(found.measures[0].section.as_deref(), Some("line 1"));
    let notes = |measures: &[Measure]| -> Vec<_> {
        let events = measures.iter().flat_map(|m| &m.events);
        events.map(|event| (event.ticks, event.note)).collect()
    };
    let both: Vec<Measure> = lines
        .iter()
        .flat_map(|line| score(line, &[]).measures)
        .collect();
    assert_eq!(notes(&found.measures), notes(&both));
}
