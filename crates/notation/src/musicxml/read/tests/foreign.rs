//! Files as other programs write them.

use linewright_diagnostic::{Diagnostic, Diagnostics, Place};
use linewright_theory::Chord;

use crate::musicxml::read;
use crate::{BarLine, Event, Jump, Measure, QUARTER, Score, Symbol, TimeSignature, Until};

/// A partwise file of one part with these measures; the first has divisions and 4/4.
fn file(measures: &[&str]) -> String {
    let attributes = "<attributes><divisions>2</divisions><key><fifths>-1</fifths></key>\
                      <time><beats>4</beats><beat-type>4</beat-type></time></attributes>";
    let mut text = String::from(
        "<?xml version='1.0'?><score-partwise><part-list><score-part id='P1'>\
         <part-name>Bass</part-name></score-part></part-list><part id='P1'>",
    );
    for (place, measure) in measures.iter().enumerate() {
        let attributes = if place == 0 { attributes } else { "" };
        text += &format!(
            "<measure number='{}'>{attributes}{measure}</measure>",
            place + 1
        );
    }
    text + "</part></score-partwise>"
}

fn scored(text: &str) -> (Score, Diagnostics) {
    read(text.as_bytes(), None).unwrap_or_else(|e| panic!("{e}"))
}

/// A note element: a pitch such as `F2`, a length in eighths, and more.
fn note(pitch: &str, eighths: u32, more: &str) -> String {
    let (step, octave) = pitch.split_at(1);
    format!(
        "<note>{more}<pitch><step>{step}</step><octave>{octave}</octave></pitch>\
         <duration>{eighths}</duration><voice>1</voice></note>"
    )
}

/// The notes of a measure, with lengths in eighths: `F2:2`.
fn shown(measure: &Measure) -> String {
    let words = measure.events.iter().map(|event: &Event| {
        let name = event.note.map_or("r".to_owned(), |note| note.to_string());
        let tie = if event.tied { "~" } else { "" };
        let ghost = if event.ghost { "x" } else { "" };
        format!("{name}{tie}{ghost}:{}", event.ticks * 2 / QUARTER)
    });
    words.collect::<Vec<_>>().join(" ")
}

fn symbols(measure: &Measure) -> String {
    let words = measure
        .symbols
        .iter()
        .map(|at| format!("{}@{}", at.symbol, at.at * 2 / QUARTER));
    words.collect::<Vec<_>>().join(" ")
}

fn messages(problems: &Diagnostics) -> Vec<&str> {
    problems.list().iter().map(Diagnostic::message).collect()
}

#[track_caller]
fn assert_told(problems: &Diagnostics, wanted: &[&str]) {
    let told = messages(problems);
    assert_eq!(told.len(), wanted.len(), "{told:#?}");
    for (told, wanted) in told.iter().zip(wanted) {
        assert!(told.contains(wanted), "{told:?}, not {wanted:?}");
    }
}

const WHOLE: &str = "<note><rest measure='yes'/><duration>8</duration></note>";

#[test]
fn chords_keep_their_lowest_note_and_grace_notes_go() {
    let third = |pitch| note(pitch, 2, "<chord/>");
    let grace = "<note><grace/><pitch><step>C</step><octave>3</octave></pitch></note>";
    let bar = [
        note("A2", 2, ""),
        third("F2"),
        third("C3"),
        grace.to_owned(),
        note("G2", 6, ""),
    ];
    let (score, problems) = scored(&file(&[&bar.concat()]));
    assert_eq!(shown(&score.measures[0]), "F2:2 G2:6");
    assert_told(
        &problems,
        &["a grace note was left out", "2 notes of chords"],
    );
}

#[test]
fn of_several_voices_the_lowest_is_read_and_of_several_staves_the_last_with_notes() {
    let voice = |pitch, voice, staff| {
        note(pitch, 8, "").replace(
            "<voice>1</voice>",
            &format!("<voice>{voice}</voice><staff>{staff}</staff>"),
        )
    };
    let back = "<backup><duration>8</duration></backup>";
    let first = [voice("C4", 1, 1), back.to_owned(), voice("F2", 2, 1)].concat();
    let (score, problems) = scored(&file(&[&first]));
    assert_eq!(shown(&score.measures[0]), "F2:8");
    assert_told(&problems, &["a note in another voice"]);

    let second = [voice("C2", 1, 1), back.to_owned(), voice("F2", 5, 2)].concat();
    let (score, problems) = scored(&file(&[&second]));
    assert_eq!(shown(&score.measures[0]), "F2:8");
    assert_told(&problems, &["a note on another staff"]);
}

#[test]
fn divisions_may_change_and_forward_leaves_a_gap() {
    let finer = "<attributes><divisions>3</divisions></attributes>";
    let triplet = note("G2", 1, "");
    let forward = "<forward><duration>3</duration></forward>";
    let bar = [
        note("F2", 2, ""),
        finer.to_owned(),
        triplet.repeat(3),
        forward.to_owned(),
        note("A2", 3, ""),
    ];
    let (score, problems) = scored(&file(&[&bar.concat()]));
    let places: Vec<(u32, u32)> = score.measures[0]
        .events
        .iter()
        .map(|e| (e.at, e.ticks))
        .collect();
    let third = QUARTER / 3;
    assert_eq!(
        places,
        [
            (0, QUARTER),
            (QUARTER, third),
            (QUARTER + third, third),
            (QUARTER + 2 * third, third),
            (3 * QUARTER, QUARTER)
        ]
    );
    assert!(problems.is_empty(), "{problems}");
}

#[test]
fn divisions_that_fit_no_tick_are_rounded_and_told() {
    let finer = "<attributes><divisions>11</divisions></attributes>";
    let bar = [finer.to_owned(), note("F2", 3, ""), note("G2", 41, "")].concat();
    let (score, problems) = scored(&file(&[&bar]));
    let ends: Vec<u32> = score.measures[0]
        .events
        .iter()
        .map(|e| e.at + e.ticks)
        .collect();
    assert_eq!(ends, [1833, 4 * QUARTER]);
    assert_told(&problems, &["rounded to 1/6720"]);
}

#[test]
fn a_transposing_part_sounds_as_its_transposition_says() {
    // Written in D for an instrument in B flat, an octave lower besides.
    let transpose = "<attributes><key><fifths>2</fifths></key><transpose><diatonic>-1</diatonic>\
                     <chromatic>-2</chromatic><octave-change>-1</octave-change></transpose></attributes>";
    let harmony = "<harmony><root><root-step>D</root-step></root><kind>major-seventh</kind>\
                   <bass><bass-step>F</bass-step><bass-alter>1</bass-alter></bass></harmony>";
    let bar = [transpose, harmony, &note("D4", 8, "")].concat();
    let (score, problems) = scored(&file(&[&bar]));
    assert_eq!(shown(&score.measures[0]), "C3:8");
    assert_eq!(symbols(&score.measures[0]), "Cmaj7/E@0");
    assert_eq!(score.measures[0].key, "C".parse().ok());
    assert!(problems.is_empty(), "{problems}");
}

#[test]
fn a_clef_an_octave_down_says_nothing_of_the_sound_and_a_transposition_does() {
    let clef = "<attributes><clef><sign>F</sign><line>4</line>\
                <clef-octave-change>-1</clef-octave-change></clef></attributes>";
    let (score, _) = scored(&file(&[&[clef, &note("F1", 8, "")].concat()]));
    assert_eq!(shown(&score.measures[0]), "F1:8");
    let both = clef.replace(
        "</attributes>",
        "<transpose><chromatic>-12</chromatic></transpose></attributes>",
    );
    let (score, _) = scored(&file(&[&[&*both, &note("F2", 8, "")].concat()]));
    assert_eq!(shown(&score.measures[0]), "F1:8");
}

fn harmony(root: &str, kind: &str, more: &str) -> String {
    format!("<harmony><root><root-step>{root}</root-step></root>{kind}{more}</harmony>")
}

#[test]
fn harmonies_stand_where_their_offsets_say_or_share_the_time_to_the_next_note() {
    let dominant = "<kind text='7'>dominant</kind>";
    let offset = [
        harmony("F", dominant, ""),
        harmony("B", dominant, "<offset>4</offset>"),
        note("F2", 8, ""),
    ];
    let shared = [
        harmony("F", dominant, ""),
        harmony("B", dominant, ""),
        note("F2", 8, ""),
    ];
    let between = [
        note("F2", 4, ""),
        harmony("C", dominant, ""),
        note("G2", 4, ""),
    ];
    let bars = [offset.concat(), shared.concat(), between.concat()];
    let (score, problems) = scored(&file(&[&bars[0], &bars[1], &bars[2]]));
    let found: Vec<String> = score.measures.iter().map(symbols).collect();
    assert_eq!(found, ["F7@0 B7@4", "F7@0 B7@4", "C7@4"]);
    assert_told(&problems, &["a chord symbol stands in the same place"]);
}

#[test]
fn a_chart_without_notes_keeps_its_chords_and_full_measures() {
    let minor = "<kind>minor-seventh</kind>";
    let bars = [
        harmony("D", minor, ""),
        harmony("G", "<kind>dominant</kind>", ""),
    ];
    let (score, problems) = scored(&file(&[&bars[0], &bars[1]]));
    assert!(
        score
            .measures
            .iter()
            .all(|m| m.ticks == 4 * QUARTER && !m.pickup)
    );
    assert_eq!(symbols(&score.measures[0]), "Dm7@0");
    assert!(problems.is_empty(), "{problems}");
}

#[test]
fn kinds_without_tones_are_read_by_their_text_or_kept_as_text() {
    let symbol = |text: &str| {
        let bar = [text, &note("F2", 8, "")].concat();
        let (score, problems) = scored(&file(&[&bar]));
        let found = score.measures[0].symbols.first().map(|s| s.symbol.clone());
        (found, problems)
    };
    let chord = |text: &str| Some(Symbol::Chord(Chord::parse(text).unwrap()));
    let other = harmony("C", "<kind text='7alt'>other</kind>", "");
    assert_eq!(symbol(&other).0, chord("C7alt"));
    let bare = harmony("C", "<kind>Tristan</kind>", "");
    let (found, problems) = symbol(&bare);
    assert_eq!(found, Some(Symbol::Unread("CTristan".to_owned())));
    assert_told(
        &problems,
        &["a chord symbol \"CTristan\" could not be read"],
    );
    let none = harmony("C", "<kind text='tacet'>none</kind>", "");
    assert_eq!(symbol(&none).0, Some(Symbol::NoChord));
    let inverted = harmony("C", "<kind>major</kind>", "<inversion>1</inversion>");
    let (found, problems) = symbol(&inverted);
    assert_eq!(found, chord("C"));
    assert_told(&problems, &["an inversion"]);
    let numeral = "<harmony><function>V</function><kind text='7'>dominant</kind></harmony>";
    assert_eq!(symbol(numeral).0, Some(Symbol::Unread("V7".to_owned())));
}

#[test]
fn ghosts_slashes_and_notes_without_pitch() {
    let head = |head: &str| note("F2", 2, "").replace("</voice>", &format!("</voice>{head}"));
    let unpitched = "<note><unpitched><display-step>E</display-step>\
                     <display-octave>4</display-octave></unpitched><duration>2</duration></note>";
    let bar = [
        head("<notehead>x</notehead>"),
        head("<notehead parentheses='yes'>normal</notehead>"),
        head("<notehead>slash</notehead>"),
        unpitched.to_owned(),
    ];
    let (score, problems) = scored(&file(&[&bar.concat()]));
    assert_eq!(shown(&score.measures[0]), "F2x:2 F2x:2 r:2 r:2");
    assert_told(
        &problems,
        &["without pitch", "a slash was read", "in parentheses"],
    );
}

#[test]
fn short_and_long_measures_are_told_and_a_pick_up_is_not() {
    let bars = [
        note("C2", 2, ""),
        note("F2", 8, ""),
        note("F2", 6, ""),
        note("G2", 10, ""),
        note("A2", 2, ""),
        note("B2", 6, ""),
        note("F2", 6, ""),
    ];
    let bars: Vec<&str> = bars.iter().map(String::as_str).collect();
    let (score, problems) = scored(&file(&bars));
    let lengths: Vec<u32> = score
        .measures
        .iter()
        .map(|m| m.ticks * 2 / QUARTER)
        .collect();
    assert_eq!(lengths, [2, 8, 8, 10, 2, 6, 6]);
    assert!(score.measures[0].pickup && !score.measures[6].pickup);
    assert_told(
        &problems,
        &[
            "is shorter than the time signature says; the rest",
            "is longer",
            "made whole by the next",
        ],
    );
    assert_eq!(problems.list()[0].place(), Place::Measure(3));
}

fn sound(attribute: &str, words: &str) -> String {
    format!(
        "<direction><direction-type><words>{words}</words></direction-type>\
         <sound {attribute}/></direction>"
    )
}

#[test]
fn jumps_are_read_from_sounds_and_from_words_alone() {
    let words = |text: &str| {
        format!("<direction><direction-type><words>{text}</words></direction-type></direction>")
    };
    let at_end = |text: &str| [WHOLE, text].concat();
    let coda = "<direction><direction-type><coda/></direction-type></direction>";
    let segno = "<direction><direction-type><segno/></direction-type></direction>";
    let bars = [
        [segno, WHOLE].concat(),
        at_end(&words("To Coda")),
        at_end(&words("D.S. al Coda")),
        [coda, WHOLE].concat(),
    ];
    let bars: Vec<&str> = bars.iter().map(String::as_str).collect();
    let (score, problems) = scored(&file(&bars));
    assert!(score.measures[0].segno && score.measures[1].to_coda && score.measures[3].coda);
    let jump = |to_segno, until| Some(Jump { to_segno, until });
    assert_eq!(score.measures[2].jump, jump(true, Until::Coda));
    assert!(problems.is_empty(), "{problems}");

    // A sound without words: it goes as far as the rest of the form says.
    let bars = [at_end(&words("Fine")), at_end("<sound dacapo='yes'/>")];
    let (score, _) = scored(&file(&[&bars[0], &bars[1]]));
    assert!(score.measures[0].fine);
    assert_eq!(score.measures[1].jump, jump(false, Until::Fine));
    let bars = [
        at_end(&sound("dalsegno='s'", "D.S. e poi la coda")),
        [WHOLE, coda].concat(),
        [coda, WHOLE].concat(),
    ];
    let (score, _) = scored(&file(&[&bars[0], &bars[1], &bars[2]]));
    assert_eq!(score.measures[0].jump, jump(true, Until::Coda));
    assert!(score.measures[1].to_coda && score.measures[2].coda);

    // At the beginning of a measure, the jump to the coda is after the one before.
    let bars = [
        WHOLE.to_owned(),
        [&*sound("tocoda='c'", "To Coda"), WHOLE].concat(),
    ];
    let (score, problems) = scored(&file(&[&bars[0], &bars[1]]));
    assert!(score.measures[0].to_coda && !score.measures[1].to_coda);
    assert_told(&problems, &["was read as after the measure before"]);
}

#[test]
fn repeats_endings_and_double_bars_are_read_from_either_side() {
    let left = |inside: &str| format!("<barline location='left'>{inside}</barline>{WHOLE}");
    let right = |inside: &str| format!("{WHOLE}<barline location='right'>{inside}</barline>");
    let bars = [
        right("<bar-style>light-light</bar-style>"),
        left("<repeat direction='forward'/>"),
        left("<ending number='1, 3' type='start'/>"),
        right("<repeat direction='backward' times='4'/>"),
        left("<ending number=' ' type='start'>2.</ending>"),
        right("<bar-style>light-heavy</bar-style>"),
    ];
    let bars: Vec<&str> = bars.iter().map(String::as_str).collect();
    let (score, problems) = scored(&file(&bars));
    let m = &score.measures;
    assert_eq!(m[0].right, BarLine::Double);
    assert!(m[1].opens_repeat);
    assert_eq!(
        (&m[2].ending[..], &m[4].ending[..]),
        (&[1, 3][..], &[2][..])
    );
    assert_eq!(
        (m[3].right, m[5].right),
        (BarLine::Repeat(4), BarLine::Final)
    );
    assert!(problems.is_empty(), "{problems}");
}

#[test]
fn tempos_count_quarter_notes_whatever_the_beat() {
    let mark = |unit: &str, number: &str| {
        format!(
            "<direction><direction-type><metronome>{unit}<per-minute>{number}</per-minute>\
             </metronome></direction-type></direction>{WHOLE}"
        )
    };
    let bars = [
        mark("<beat-unit>half</beat-unit>", "90"),
        mark("<beat-unit>quarter</beat-unit><beat-unit-dot/>", "c. 60"),
        format!("<sound tempo='132.5'/>{WHOLE}"),
    ];
    let (score, problems) = scored(&file(&[&bars[0], &bars[1], &bars[2]]));
    let tempos: Vec<Option<u16>> = score.measures.iter().map(|m| m.tempo).collect();
    assert_eq!(tempos, [Some(180), Some(90), Some(133)]);
    assert_told(&problems, &["a tempo was rounded"]);
}

#[test]
fn time_signatures_of_several_parts_are_their_sum() {
    let time = |inside: &str| format!("<attributes><time>{inside}</time></attributes>");
    let of = |inside: &str| {
        let rest = WHOLE.replace("8", "10");
        let (score, problems) = scored(&file(&[&[time(inside), rest].concat()]));
        (score.measures[0].time, problems)
    };
    let five = Some(TimeSignature { beats: 5, unit: 4 });
    let (time, problems) = of("<beats>3+2</beats><beat-type>4</beat-type>");
    assert_eq!(time, five);
    assert_told(&problems, &["was read as their sum"]);
    let (time, _) =
        of("<beats>2</beats><beat-type>4</beat-type><beats>6</beats><beat-type>8</beat-type>");
    assert_eq!(time, Some(TimeSignature { beats: 10, unit: 8 }));
    let (time, problems) = of("<beats>4</beats><beat-type>5</beat-type>");
    assert_eq!(time, Some(TimeSignature { beats: 4, unit: 4 }));
    assert!(
        messages(&problems)
            .iter()
            .any(|m| m.contains("could not be read"))
    );
}

/// A file of several parts, each a name and its measures.
fn parts(parts: &[(&str, &str)]) -> String {
    let attributes = "<attributes><divisions>2</divisions><time><beats>4</beats>\
                      <beat-type>4</beat-type></time></attributes>";
    let list: String = parts
        .iter()
        .enumerate()
        .map(|(at, (name, _))| {
            format!("<score-part id='p{at}'><part-name>{name}</part-name></score-part>")
        })
        .collect();
    let bodies: String = parts
        .iter()
        .enumerate()
        .map(|(at, (_, bar))| {
            format!("<part id='p{at}'><measure number='1'>{attributes}{bar}</measure></part>")
        })
        .collect();
    format!("<score-partwise><part-list>{list}</part-list>{bodies}</score-partwise>")
}

#[test]
fn the_part_is_the_one_that_is_named_or_the_bass_or_the_one_with_chords_or_the_lowest() {
    let chords = [harmony("F", "<kind>dominant</kind>", ""), note("A4", 8, "")].concat();
    let (low, high) = (note("F2", 8, ""), note("C5", 8, ""));
    let of = |list: &[(&str, &str)], part: Option<&str>| {
        read(parts(list).as_bytes(), part)
            .map(|(score, problems)| (shown(&score.measures[0]), problems))
    };
    let three = [
        ("Tune", &*chords),
        ("Double Bass", &*low),
        ("Bass Clarinet", &*high),
    ];
    let (notes, problems) = of(&three, None).unwrap();
    assert_eq!(notes, "F2:8");
    assert_told(
        &problems,
        &[
            "of 3 parts \"Double Bass\" was read, as it is a bass; left out: \"Tune\", \"Bass Clarinet\"",
            "the chord symbols were taken from the part \"Tune\"",
        ],
    );
    assert_eq!(of(&three, Some("TUNE")).unwrap().0, "A4:8");
    assert_eq!(of(&three, Some("p2")).unwrap().0, "C5:8");
    assert_eq!(of(&three, Some("clarinet")).unwrap().0, "C5:8");
    let error = of(&three, Some("Harp")).unwrap_err().to_string();
    assert!(error.contains("no part is called \"Harp\""), "{error}");
    assert!(
        error.contains("name one of \"Tune\", \"Double Bass\""),
        "{error}"
    );

    let two = [("Low", &*low), ("Tune", &*chords)];
    assert_eq!(of(&two, None).unwrap().0, "A4:8");
    let two = [("High", &*high), ("Low", &*low)];
    assert_eq!(of(&two, None).unwrap().0, "F2:8");
}

#[test]
fn chord_symbols_and_marks_of_another_part_come_along() {
    let top = [
        "<direction><direction-type><rehearsal>A</rehearsal></direction-type></direction>",
        "<direction><direction-type><words>Slow four</words></direction-type><sound tempo='72'/></direction>",
        &harmony("F", "<kind>dominant</kind>", "<offset>2</offset>"),
        &note("A4", 8, ""),
    ]
    .concat();
    let low = note("F2", 8, "");
    let text = parts(&[("Tune", &top), ("Bass", &low)]);
    let (score, _) = read(text.as_bytes(), None).unwrap();
    assert_eq!(symbols(&score.measures[0]), "F7@2");
    assert_eq!(score.measures[0].section.as_deref(), Some("A"));
    assert_eq!(score.measures[0].tempo, Some(72));
    assert_eq!(score.feel.as_deref(), Some("Slow four"));
}

#[test]
fn timewise_files_and_utf_16_are_read_alike() {
    let bar = |pitch: &str| note(pitch, 8, "");
    let attributes = "<attributes><divisions>2</divisions><time><beats>4</beats>\
                      <beat-type>4</beat-type></time></attributes>";
    let list = "<part-list><score-part id='a'><part-name>Tune</part-name></score-part>\
                <score-part id='b'><part-name>Bass ♭</part-name></score-part></part-list>";
    let measure = |number, attributes: &str, a: &str, b: &str| {
        format!(
            "<measure number='{number}'><part id='a'>{attributes}{}</part>\
             <part id='b'>{attributes}{}</part></measure>",
            bar(a),
            bar(b)
        )
    };
    let text = format!(
        "<?xml version='1.0' encoding='UTF-16'?><score-timewise>{list}{}{}</score-timewise>",
        measure(1, attributes, "C4", "F2"),
        measure(2, "", "D4", "G2")
    );
    let plain = text.replace("UTF-16", "UTF-8");
    let (score, problems) = read(plain.as_bytes(), None).unwrap();
    let shown: Vec<String> = score.measures.iter().map(shown).collect();
    assert_eq!(shown, ["F2:8", "G2:8"]);
    assert_told(&problems, &["\"Bass ♭\" was read"]);
    let units: Vec<u16> = text.encode_utf16().collect();
    let little: Vec<u8> = units.iter().flat_map(|unit| unit.to_le_bytes()).collect();
    let big: Vec<u8> = units.iter().flat_map(|unit| unit.to_be_bytes()).collect();
    let marked = [&[0xFF, 0xFE][..], &little[..]].concat();
    for bytes in [little, big, marked] {
        assert_eq!(
            read(&bytes, None).unwrap(),
            (score.clone(), problems.clone())
        );
    }
}

#[test]
fn titles_and_facts_and_lyrics_are_read() {
    let text = file(&[&note("F2", 8, "").replace(
        "</voice>",
        "</voice><lyric number='2'><syllabic>begin</syllabic><text>wa</text></lyric>",
    )]);
    let text = text.replace(
        "<part-list>",
        "<movement-title> A &amp;\n B </movement-title><identification><creator type=\"lyricist\">No</creator>\
         <creator type=\"composer\">A. Lind</creator><creator type=\"composer\"> J. Roe </creator>\
         <miscellaneous>\
         <miscellaneous-field name='seed'>41</miscellaneous-field></miscellaneous>\
         </identification><part-list>",
    );
    let (score, _) = scored(&text);
    assert_eq!(score.title.as_deref(), Some("A &  B"));
    assert_eq!(score.composer.as_deref(), Some("A. Lind, J. Roe"));
    assert_eq!(score.about, [("seed".to_owned(), "41".to_owned())]);
    assert_eq!(score.measures[0].events[0].under, ["", "wa-"]);
}

#[test]
fn lengths_are_taken_from_note_values_where_durations_are_missing() {
    let bare =
        "<note><pitch><step>F</step><octave>2</octave></pitch><type>half</type><dot/></note>";
    let triplet = "<note><rest/><type>eighth</type><time-modification><actual-notes>3</actual-notes>\
                   <normal-notes>2</normal-notes></time-modification></note>";
    let (score, problems) = scored(&file(&[&[bare, &triplet.repeat(3)].concat()]));
    assert_eq!(score.measures[0].ticks, 4 * QUARTER);
    assert_eq!(score.measures[0].events.len(), 4);
    assert_told(&problems, &["4 notes without duration"]);
}
