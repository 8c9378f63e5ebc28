//! What holds for every practice page.

use linewright_compose::Line;

use crate::export::{Piece, Settings, exporter};
use crate::fingers::Fingers;
use crate::score::{Under, score};
use crate::test_lines::{BLUES, CHANGING, line};

fn page_of(piece: &dyn Piece, under: &[Under]) -> String {
    let settings = Settings {
        under: under.to_vec(),
        ..Settings::default()
    };
    let exporter = exporter("html", &settings).unwrap();
    String::from_utf8(exporter.bytes(piece).unwrap()).unwrap()
}

fn data_of(page: &str) -> serde_json::Value {
    let (_, rest) = page
        .split_once("<script type=\"application/json\" id=\"line\">")
        .unwrap();
    serde_json::from_str(rest.split_once("</script>").unwrap().0).unwrap()
}

/// Thirty-two bars, a chord in each and two in some.
fn long() -> Line {
    let bars = "| Dm7 | G7 | Cmaj7 | A7b9 Ebdim7 | Fm7 | Bb7 | Em7b5 A7 | D7#9 |\n";
    let chart = format!(
        "title: Long way round\nkey: C\ntempo: 150\n{}",
        bars.repeat(4)
    );
    line(&chart, "plain", 3)
}

#[test]
fn nothing_is_loaded_from_anywhere() {
    let page = page_of(&line(BLUES, "plain", 1), &[Under::Degrees]);
    let policy = "content=\"default-src 'none'; script-src 'unsafe-inline'; style-src \
        'unsafe-inline'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'\"";
    assert!(page.contains(policy));
    // The name of the SVG namespace is no address.
    let page = page.replace("http://www.w3.org/2000/svg", "");
    // The font stands in the page.
    let (before, rest) = page.split_once("src:url(data:font/ttf;base64,").unwrap();
    let (font, after) = rest.split_once(')').unwrap();
    assert!(font.len() > 4000 && font.len() < 16_000, "{}", font.len());
    let page = [before, after].concat();
    for address in ["http:", "https:", "ws:", "wss:", "//", "@import", "url("] {
        let mut found = page.match_indices(address);
        let comment = |at: usize| page[..at].ends_with(['\n', ' ']) && address == "//";
        assert!(found.all(|(at, _)| comment(at)), "{address}");
    }
    for reaching in [
        "fetch",
        "XMLHttpRequest",
        "WebSocket",
        "sendBeacon",
        "import(",
        "src=",
        "eval(",
    ] {
        assert!(!page.contains(reaching), "{reaching}");
    }
    for (at, _) in page.match_indices("href=\"") {
        let target = &page[at + 6..];
        assert!(
            target.starts_with('#') || target.starts_with("data:,"),
            "{}",
            &target[..20]
        );
    }
}

#[test]
fn a_title_of_markup_stays_a_title() {
    let chart = BLUES.replace(
        "Backyard blues",
        "</script><img onerror=x> & {{script}} '\"",
    );
    let page = page_of(&line(&chart, "plain", 1), &[]);
    assert!(page.contains(
        "<title>&lt;/script&gt;&lt;img onerror=x&gt; &amp; {{script}} &#39;&quot;</title>"
    ));
    assert!(!page.contains("<img"));
    assert_eq!(page.matches("</script>").count(), 2);
    data_of(&page);
}

#[test]
fn the_words_of_a_chart_cannot_leave_the_data() {
    let chart = BLUES.replace("[A]", "[</script><script>alert(1)</script>]");
    let page = page_of(&line(&chart, "plain", 1), &[]);
    assert_eq!(page.matches("<script").count(), 2);
    assert_eq!(page.matches("</script>").count(), 2);
}

#[test]
fn a_line_of_thirty_two_bars_takes_less_than_200_kilobytes() {
    let line = long();
    assert_eq!(line.timeline.bars.len(), 32);
    let plain = page_of(&line, &[]).len();
    let degrees = page_of(&line, &[Under::Degrees]).len();
    assert!(plain < 180_000 && degrees < 200_000, "{plain} {degrees}");
}

#[test]
fn the_same_line_gives_the_same_bytes() {
    let under = [Under::Functions, Under::Fingering(Fingers::default())];
    let pages = [1, 2].map(|_| page_of(&line(BLUES, "plain", 5), &under));
    assert_eq!(pages[0], pages[1]);
    assert_ne!(pages[0], page_of(&line(BLUES, "plain", 6), &under));
}

#[test]
fn every_note_of_the_data_stands_on_both_staves_and_sounds_as_in_the_midi_file() {
    for lines in [
        vec![line(BLUES, "plain", 1)],
        vec![line(CHANGING, "plain", 2)],
        vec![line(BLUES, "two-feel", 3), line(CHANGING, "plain", 4)],
    ] {
        let page = page_of(&lines, &[]);
        let data = data_of(&page);
        let refs: Vec<&Line> = lines.iter().collect();
        let part = crate::playback::part(&refs, false);
        let notes = data["notes"].as_array().unwrap();
        assert_eq!(notes.len(), part.notes.len());
        for (note, sound) in notes.iter().zip(&part.notes) {
            let group = format!(
                "<g class=\"note\" data-measure=\"{}\" data-tick=\"{}\">",
                note["bar"], note["tick"]
            );
            assert_eq!(page.matches(&group).count(), 2, "{group}");
            let told = [
                &note["at"],
                &note["length"],
                &note["midi"],
                &note["velocity"],
            ];
            let sounding = [
                sound.start,
                sound.length,
                sound.pitch.into(),
                sound.velocity.into(),
            ];
            assert_eq!(told.map(|n| n.as_u64().unwrap()), sounding.map(u64::from));
            let bar = &data["bars"][note["bar"].as_u64().unwrap() as usize];
            let within = note["at"].as_u64().unwrap() - bar["at"].as_u64().unwrap();
            assert_eq!(within * 14, note["tick"].as_u64().unwrap());
        }
        assert_eq!(data["end"], part.end);
        let measures: usize = lines
            .iter()
            .map(|line| score(line, &[]).measures.len())
            .sum();
        assert_eq!(data["bars"].as_array().unwrap().len(), measures);
    }
}

#[test]
fn every_note_tells_its_reasons() {
    let line = line(BLUES, "plain", 1);
    let data = data_of(&page_of(&line, &[Under::Fingering(Fingers::default())]));
    let notes = data["notes"].as_array().unwrap();
    let reasons: usize = notes
        .iter()
        .map(|note| note["does"].as_array().unwrap().len())
        .sum();
    assert!(reasons > 0);
    for note in notes {
        assert!(!note["harmony"].as_str().unwrap().is_empty());
        let hand = note["hand"].as_str().unwrap();
        assert!(hand.contains("string"), "{hand}");
    }
    assert_eq!(notes.last().unwrap()["moves"], "ends the line");
}

#[test]
fn a_fingering_has_its_caution_and_so_has_every_page() {
    let line = line(BLUES, "plain", 1);
    let page = page_of(&line, &[Under::Fingering(Fingers::default())]);
    assert!(page.contains("Stop if a stretch hurts; ask a teacher or a doctor."));
    assert!(page_of(&line, &[]).contains("Begin with the volume low"));
}

#[test]
fn a_long_piece_is_printed_in_pages_and_a_short_one_as_it_is_seen() {
    let short = page_of(&line(BLUES, "plain", 1), &[]);
    assert!(short.contains("<html lang=\"en\" class=\"\">"));
    assert_eq!(short.matches("<svg").count(), 2);
    let chart = format!("title: On and on\n{}", "| C7 | F7 | C7 | G7 |\n".repeat(40));
    let long = page_of(&line(&chart, "plain", 1), &[]);
    assert!(long.contains("class=\"paged\""));
    assert!(long.matches("<svg").count() > 3);
}

#[test]
fn bars_are_called_as_they_are_counted_and_chords_stand_where_they_change() {
    let data = data_of(&page_of(&line(CHANGING, "plain", 2), &[]));
    let labels = data["bars"].as_array().unwrap().iter();
    let labels: Vec<&str> = labels.map(|bar| bar["label"].as_str().unwrap()).collect();
    assert_eq!(labels[..3], ["pick-up", "bar 1", "bar 2"]);
    let chords = data["chords"].as_array().unwrap().iter();
    let chords: Vec<(u64, &str)> = chords
        .map(|chord| {
            (
                chord["at"].as_u64().unwrap() / 480,
                chord["symbol"].as_str().unwrap(),
            )
        })
        .collect();
    assert_eq!(
        chords[..4],
        [(0, "A7"), (1, "Dm7"), (5, "N.C."), (9, "Em7b5")]
    );
    assert_eq!(data["bars"][0]["count"], 4);
    assert_eq!(data["bars"][4]["tempo"], 90);
}
