//! What holds of everything that was read, shared by the fuzz targets.

use linewright_chart::Chart;
use linewright_diagnostic::Diagnostics;
use linewright_notation::{Event, QUARTER, Score, abc, line_text, musicxml};
use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Most bytes that reading one input may hold at once.
const MOST_MEMORY: usize = 64 << 20;

/// Runs a reader and fails when it needs more memory than a small file is worth.
pub fn frugally<T>(read: impl FnOnce() -> T) -> T {
    let before = MEMORY.current_usage();
    MEMORY.reset_peak_usage();
    let result = read();
    let needed = MEMORY.peak_usage().saturating_sub(before);
    assert!(needed <= MOST_MEMORY, "{needed} bytes to read one input");
    result
}

/// A refusal or remark says what is wrong and what to do about it.
pub fn check_problems(problems: &Diagnostics) {
    for problem in problems.list() {
        assert!(!problem.message().is_empty(), "{problem:?}");
        assert!(!problem.hint().is_empty(), "{problem:?}");
    }
}

/// What is kept of a reader's answer, its words checked.
pub fn accepted<T>(answer: Result<(T, Diagnostics), Diagnostics>) -> Option<T> {
    match answer {
        Ok((read, problems)) => {
            check_problems(&problems);
            Some(read)
        }
        Err(problems) => {
            assert!(!problems.is_empty(), "refused without a word");
            check_problems(&problems);
            None
        }
    }
}

/// What the documentation of [`Score`] says of every score.
pub fn check_score(score: &Score) {
    let first = score.measures.first().expect("a measure");
    assert!(first.time.is_some(), "no time signature at the beginning");
    for measure in &score.measures {
        let mut now = 0;
        for event in &measure.events {
            assert!(event.at >= now, "{event:?} lies in the event before");
            assert!(event.ticks > 0, "{event:?} lasts no time");
            now = event.at + event.ticks;
        }
        assert!(now <= measure.ticks, "an event ends after its measure");
        assert!(measure.symbols.is_sorted_by_key(|symbol| symbol.at));
        let inside = |at| at < measure.ticks.max(1);
        assert!(measure.symbols.iter().all(|symbol| inside(symbol.at)));
        if let Some(time) = measure.time {
            assert!(time.beats > 0 && time.unit.is_power_of_two() && time.unit <= 64);
        }
    }
    for (name, value) in &score.about {
        assert!(!name.is_empty() && !value.contains('\n'), "{name}: {value}");
    }
}

/// A MusicXML file of a score is read back as the page shows it, without a remark.
pub fn check_musicxml(score: &Score) {
    let text = musicxml::write(score, &musicxml::Options { under: true });
    match musicxml::read(text.as_bytes(), None) {
        Ok((back, problems)) => {
            let page = musicxml::as_written(score);
            for (back, page) in back.measures.iter().zip(&page.measures) {
                assert_eq!(back, page, "{text}");
            }
            assert_eq!(back, page, "{text}");
            assert!(problems.is_empty(), "{problems}\n{text}");
        }
        // A measure of tens of thousands of notes is beyond what a reader of files takes.
        Err(problems)
            if problems
                .to_string()
                .contains("has more than 50000 elements") => {}
        Err(problems) => panic!("{problems}\n{text}"),
    }
}

/// The part that a text in ABC holds.
fn from_abc(text: &str) -> Score {
    match abc::read(text.as_bytes(), None) {
        Ok((score, _)) => score,
        Err(problems) => panic!("{problems}\n{text}"),
    }
}

/// A part that was read from ABC comes back equal, without what stands under its notes.
pub fn check_abc(score: &Score) {
    let text = abc::write(std::slice::from_ref(score));
    let back = from_abc(&text);
    for (back, given) in back.measures.iter().zip(&score.measures) {
        assert_eq!(back, given, "{text}");
    }
    assert_eq!(&back, score, "{text}");
}

/// A part of whatever origin can be written as ABC and read again; what was read comes back equal.
pub fn check_as_abc(score: &Score) {
    let back = from_abc(&abc::write(std::slice::from_ref(score)));
    check_score(&back);
    check_abc(&back);
}

/// A part can be written as the text of a line and read again; what was read comes back equal.
pub fn check_line_text(score: &Score) {
    // The reader takes no longer lines.
    let events = score.measures.iter().map(|measure| measure.events.len());
    let beats = score
        .measures
        .iter()
        .map(|m| m.ticks as usize / QUARTER as usize);
    if beats.map(|beats| 1 + beats / 8).sum::<usize>() > line_text::MAX_BARS
        || events.sum::<usize>() > 10_000
    {
        return;
    }
    let back = from_line_text(&line_text::write(score));
    let text = line_text::write(&back);
    assert_eq!(from_line_text(&text), back, "{text}");
}

/// The line that a text holds.
fn from_line_text(text: &str) -> Score {
    match line_text::read(text.as_bytes()) {
        Ok((mut lines, _)) => {
            assert_eq!(lines.len(), 1, "{text}");
            lines.remove(0)
        }
        Err(problems) => panic!("{problems}\n{text}"),
    }
}

/// The part without what stands under its notes.
pub fn without_rows(mut score: Score) -> Score {
    let events = score.measures.iter_mut().flat_map(|m| &mut m.events);
    events.for_each(|event: &mut Event| event.under.clear());
    score
}

/// A chart that was read can be printed and read again, and played.
pub fn check_chart(chart: &Chart) {
    let printed = chart.to_string();
    match Chart::parse("printed", printed.as_bytes()) {
        Ok(again) => assert_eq!(&again, chart, "{printed}"),
        Err(faults) => panic!("{faults}\n{printed}"),
    }
    let timeline = match chart.unroll() {
        Ok(timeline) => timeline,
        Err(faults) => panic!("{faults}\n{printed}"),
    };
    for bar in timeline.bars {
        let mut at = 0;
        for span in &bar.spans {
            assert_eq!(span.start, at);
            assert!(span.beats > 0);
            at = span.end();
        }
        assert_eq!(at, bar.beats);
        assert_eq!(bar.pickup, bar.written == 0);
        let alike = |pair: &[linewright_chart::Span]| pair[0].harmony == pair[1].harmony;
        assert!(!bar.spans.windows(2).any(alike));
    }
}
