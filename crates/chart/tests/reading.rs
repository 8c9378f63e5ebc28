//! Text in, tidy text out: what a chart reads as.

use linewright_chart::{BarLine, Chart, Content, Harmony, Metre};

fn chart(text: &str) -> Chart {
    Chart::parse("test", text.as_bytes()).unwrap_or_else(|faults| panic!("{faults}"))
}

/// The spans of each bar as played, such as `F7:4` or `C7:2 F7:2`.
fn spans(text: &str) -> Vec<String> {
    let timeline = chart(text).unroll().unwrap();
    let bar = |bar: &linewright_chart::TimelineBar| {
        let spans = bar.spans.iter();
        let spans = spans.map(|span| format!("{}:{}", span.harmony, span.beats));
        spans.collect::<Vec<_>>().join(" ")
    };
    timeline.bars.iter().map(bar).collect()
}

#[test]
fn a_whole_chart_prints_in_its_tidy_form() {
    let typed = "\
# a remark
  TITLE:   Backyard   blues   # mine
Composer: Ada	Lind # hers
key: F major
tempo: 140 bpm
feel:swing

[A]
|: F7 | Bb7|F7 |Cm7 F7 | %
Bo7 / / F7 |1. C7 :|2. F7 |] (fine)
";
    let tidy = "\
title: Backyard blues
composer: Ada Lind
key: F
time: 4/4
tempo: 140
feel: swing

[A]
|: F7 | Bb7 | F7 | Cm7 F7 |
| % | Bdim7 / / F7 |1. C7 :|2. F7 (fine) |]
";
    assert_eq!(chart(typed).to_string(), tidy);
    let moved = chart(typed).transposed_by(2);
    assert_eq!(moved.composer(), Some("Ada Lind"));
    let played = moved.unroll().unwrap();
    assert_eq!(played.composer.as_deref(), Some("Ada Lind"));
}

#[test]
fn every_sign_of_the_road_map_survives_printing() {
    let text = "\
title: Signs
key: Ebm
time: 3/4
tempo: 90
pickup: 1

[Verse]
| Bb7 |
|: (segno) Ebm | Abm Bb7 | % |1,3. Ebm :|
|2. Cb :| (key: Gb) (tempo: 120) Gb (to coda) || (time: 5/4) Db7 Gb |

[Bridge]
|: Cb N.C. :|x3 / / Cb / Db (D.S. al coda) || (coda) (time: 3/4) Ebm |]
";
    assert_eq!(chart(text).to_string(), text);
}

#[test]
fn a_repeat_that_begins_inside_a_printed_line_keeps_the_bar_line_before_it() {
    let text = "\
title: Lines
key: C
time: 4/4

| C |: F :| |: G :|x3 |: C :|
| C || |: F :| G |]
";
    assert_eq!(chart(text).to_string(), text);
}

#[test]
fn chords_without_slashes_share_the_bar() {
    assert_eq!(
        spans("C|C F|C F G C"),
        ["C:4", "C:2 F:2", "C:1 F:1 G:1 C:1"]
    );
    assert_eq!(
        spans("time: 3/4\nC | C F | C F G"),
        ["C:3", "C:2 F:1", "C:1 F:1 G:1"]
    );
    assert_eq!(spans("time: 5/4\nC | C F"), ["C:5", "C:3 F:2"]);
    assert_eq!(spans("time: 6/4\nC F | C F G"), ["C:3 F:3", "C:2 F:2 G:2"]);
    assert_eq!(spans("time: 7/4\nC F |"), ["C:4 F:3"]);
    assert_eq!(spans("time: 2/4\nC F |"), ["C:1 F:1"]);
}

#[test]
fn with_slashes_every_sign_is_a_beat_and_a_leading_one_holds_over() {
    assert_eq!(
        spans("C / / F | / G // | //// | N.C. / C /"),
        ["C:3 F:1", "F:1 G:3", "G:4", "N.C.:2 C:2"]
    );
    assert_eq!(spans("time: 5/4\nC / F / /"), ["C:2 F:3"]);
}

#[test]
fn a_per_cent_sign_repeats_the_bar_before_and_chains() {
    assert_eq!(
        spans("C F | % | % | G"),
        ["C:2 F:2", "C:2 F:2", "C:2 F:2", "G:4"]
    );
    // A bar that is repeated keeps what `/` held in it.
    assert_eq!(spans("C | / / F / | %"), ["C:4", "C:2 F:2", "C:2 F:2"]);
}

#[test]
fn the_same_chord_written_twice_sounds_as_one_span() {
    assert_eq!(spans("C C F F | C / C F"), ["C:2 F:2", "C:3 F:1"]);
}

#[test]
fn no_chord_is_read_in_every_usual_writing() {
    for word in ["N.C.", "NC", "n.c.", "nc", "N.C"] {
        assert_eq!(spans(&format!("C {word} |")), ["C:2 N.C.:2"], "{word}");
    }
}

#[test]
fn line_ends_tabs_marks_and_hard_blanks_make_no_difference() {
    let plain = chart("key: F\n| F7 | Bb7 |\n| C7 | F7 |]\n");
    for text in [
        "\u{FEFF}key: F\r\n| F7 | Bb7 |\r\n| C7 | F7 |]\r\n",
        "key: F\r| F7 | Bb7 |\r| C7 | F7 |]",
        "key:\tF\n|\tF7\t|\tBb7\n\n\nC7\u{A0}|\u{A0}F7\u{2003}|]",
        "key: F # told\n# all\nF7|Bb7|C7|F7|] # end",
        "key: F\n| F7 | Bb7 | C7 | F7 |\n|]",
    ] {
        assert_eq!(chart(text), plain, "{text:?}");
    }
}

#[test]
fn header_values_are_told() {
    let chart = chart("title: C# or not\nkey: C# minor\ntime: 7/4\ntempo: 61\nfeel: in two\nC#m");
    assert_eq!(chart.title(), "C# or not");
    assert_eq!(chart.key().to_string(), "C# minor");
    assert!(chart.tells_key());
    assert_eq!(chart.metre(), Metre { beats: 7, unit: 4 });
    assert_eq!(chart.tempo(), Some(61));
    assert_eq!(chart.feel(), Some("in two"));
    assert_eq!(chart.pickup(), None);
}

#[test]
fn without_header_lines_a_chart_is_untitled_in_common_time() {
    let chart = chart("C");
    assert_eq!(chart.title(), "Untitled");
    assert_eq!(chart.metre(), Metre::FOUR_FOUR);
    assert_eq!(
        (chart.tempo(), chart.feel(), chart.tells_key()),
        (None, None, false)
    );
}

#[test]
fn a_pick_up_bar_is_short_and_has_number_0() {
    let chart = chart("pickup: 1\nG7 | C | F G |");
    assert_eq!(chart.pickup(), Some(1));
    let bars: Vec<_> = chart
        .bars()
        .iter()
        .map(|bar| (bar.number, bar.beats))
        .collect();
    assert_eq!(bars, [(0, 1), (1, 4), (2, 4)]);
}

#[test]
fn changes_hold_from_their_bar_on_and_the_timeline_tells_what_is_in_force() {
    let text = "key: C\ntempo: 100\nC | (key: Eb) (time: 3/4) Eb | Ab | (tempo: 120)\nBb | Eb";
    let timeline = chart(text).unroll().unwrap();
    let told: Vec<String> = timeline
        .bars
        .iter()
        .map(|bar| format!("{} {} {}", bar.key, bar.metre, bar.tempo.unwrap()))
        .collect();
    assert_eq!(
        told,
        [
            "C major 4/4 100",
            "Eb major 3/4 100",
            "Eb major 3/4 100",
            "Eb major 3/4 120",
            "Eb major 3/4 120",
        ]
    );
}

#[test]
fn a_change_at_the_first_bar_is_how_the_chart_begins() {
    let changed = chart("(time: 3/4) (key: Bb) (tempo: 90) Bb | F7");
    assert_eq!(changed, chart("time: 3/4\nkey: Bb\ntempo: 90\nBb | F7"));
}

#[test]
fn sections_and_bar_lines_stay_with_their_bars() {
    let chart = chart("[A]\n| C | F ||\n[B] | G |\n| C |]");
    let sections: Vec<_> = chart
        .bars()
        .iter()
        .map(|bar| bar.section.as_deref())
        .collect();
    assert_eq!(sections, [Some("A"), None, Some("B"), None]);
    let lines: Vec<_> = chart.bars().iter().map(|bar| bar.right).collect();
    use BarLine::{Double, Final, Single};
    assert_eq!(lines, [Single, Double, Single, Final]);
}

#[test]
fn chords_with_slashes_and_brackets_of_their_own_are_single_signs() {
    let chart = chart("C/E F6/9 G7(b9,#11) Am7/G |");
    let Content::Chords(spans) = &chart.bars()[0].content else {
        panic!("chords");
    };
    let written: Vec<_> = spans.iter().map(|span| span.harmony.unwrap()).collect();
    assert_eq!(written.len(), 4);
    let bass = |at: usize| match written[at] {
        Harmony::Chord(chord) => chord.bass.map(|bass| bass.to_string()),
        Harmony::NoChord => None,
    };
    assert_eq!(bass(0).as_deref(), Some("E"));
    assert_eq!(bass(1), None);
    assert_eq!(bass(3).as_deref(), Some("G"));
}
