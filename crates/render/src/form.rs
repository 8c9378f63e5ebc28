//! A part that is played by the form of its chart, written with the signs of that form.

use linewright_chart::{RoadSigns, Timeline, TimelineBar};
use linewright_notation::{BarLine, Event, Measure, Score};
use linewright_theory::Note;

use crate::score::Writer;

/// Most choruses that a repeat sign counts.
const MOST_CHORUSES: u8 = 99;

/// A part over a timeline as the page of the chart has it, with all its repeats, endings and
/// jumps, where the part allows that: each time a bar of the page is played it sounds alike and
/// has the same under its notes. Several choruses are a repeat of the whole form where it has no
/// repeats and jumps itself.
///
/// `None` where a bar is played otherwise, where a form with signs is played in several choruses
/// (repeats do not nest), and where nothing is played twice. Such a part stays as it is played.
pub(crate) fn as_on_the_page(score: &Score, timeline: &Timeline) -> Option<Score> {
    let turns = timeline.page.iter().any(RoadSigns::turns);
    let choruses = u8::try_from(timeline.choruses).ok()?;
    if turns == (choruses > 1) || choruses > MOST_CHORUSES {
        return None;
    }
    let mut measures = folded(&score.measures, timeline)?;
    for (measure, signs) in measures.iter_mut().zip(&timeline.page) {
        signs.put_on(measure);
    }
    for at in 1..measures.len() {
        if measures[at].section.is_some() && measures[at - 1].right == BarLine::Single {
            measures[at - 1].right = BarLine::Double;
        }
    }
    if choruses > 1 {
        measures.get_mut(timeline.pickups())?.opens_repeat = true;
        measures.last_mut()?.right = BarLine::Repeat(choruses);
    } else if timeline.pickups() > 0 {
        sign_first_repeat(&mut measures);
    }
    if let Some(last) = measures.last_mut()
        && !matches!(last.right, BarLine::Repeat(_))
    {
        last.right = BarLine::Final;
    }
    Some(Score {
        measures,
        ..score.clone()
    })
}

/// Writes the sign before a first repeat that has none and so begins with the first full
/// measure: where that is not the first of the page, players go back too far.
pub(crate) fn sign_first_repeat(measures: &mut [Measure]) {
    let is_sign = |measure: &&Measure| {
        let closes = matches!(measure.right, BarLine::Repeat(_));
        measure.opens_repeat || !measure.ending.is_empty() || closes
    };
    let is_signed = measures.iter().find(is_sign).is_none_or(|m| m.opens_repeat);
    if !is_signed && let Some(first) = measures.iter_mut().find(|measure| !measure.pickup) {
        first.opens_repeat = true;
    }
}

/// The measures of a part over a timeline, each bar of the page once, if it is played alike each
/// time. What is told where it is new is so both from bar to bar of the page and as it is played.
fn folded(played: &[Measure], timeline: &Timeline) -> Option<Vec<Measure>> {
    let place = |bar: &TimelineBar| (bar.written + timeline.pickups()).wrapping_sub(1);
    let mut bars = vec![None; timeline.page.len()];
    for bar in &timeline.bars {
        *bars.get_mut(place(bar))? = Some(bar);
    }
    let mut writer = Writer::default();
    let mut page = Vec::with_capacity(bars.len());
    for (bar, signs) in bars.into_iter().zip(&timeline.page) {
        // An ending tells its chord anew, since it comes after other bars than those before it.
        if !signs.ending.is_empty() {
            writer.forget_harmony();
        }
        page.push(writer.measure(bar?));
    }
    let mut seen = vec![None; page.len()];
    // The bar before, if its last note is held over the bar line.
    let mut held_from = None;
    for (measure, bar) in played.iter().zip(&timeline.bars) {
        let at = place(bar);
        // On a page a note is held only into the next measure.
        if held_from.is_some_and(|from| from + 1 != at) {
            return None;
        }
        let is_held = held_from.is_some();
        if seen[at].is_none() {
            page[at].events.clone_from(&measure.events);
        } else if seen[at] != Some(is_held) || !are_alike(&page[at], measure) {
            return None;
        }
        seen[at] = Some(is_held);
        tell(&mut page[at], measure);
        let ties = measure.events.last().is_some_and(|event| event.tied);
        held_from = ties.then_some(at);
    }
    Some(page)
}

/// Whether two measures sound alike, with the same under their notes; how notes are spelled may
/// hang on what comes after them.
fn are_alike(one: &Measure, other: &Measure) -> bool {
    let is_like = |(one, other): (&Event, &Event)| {
        let pitch = |event: &Event| event.note.map(Note::pitch);
        let spelled = Event {
            note: one.note,
            ..other.clone()
        };
        pitch(one) == pitch(other) && *one == spelled
    };
    let mut events = one.events.iter().zip(&other.events);
    one.events.len() == other.events.len() && events.all(is_like)
}

/// Tells in a measure of the page also what a measure tells that is played from it: what changes
/// back on the way.
fn tell(page: &mut Measure, played: &Measure) {
    page.time = page.time.or(played.time);
    page.key = page.key.or(played.key);
    page.tempo = page.tempo.or(played.tempo);
    if page.symbols.len() < played.symbols.len() {
        page.symbols.clone_from(&played.symbols);
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use linewright_chart::Chart;
    use linewright_notation::{QUARTER, musicxml};

    use super::*;
    use crate::score;
    use crate::test_forms;
    use crate::test_lines::line;

    /// A part over a chart, with the same notes each time a bar is played, but for the bars
    /// of these numbers, which end otherwise the last time.
    fn part(timeline: &Timeline, mut score: Score, otherwise: &[usize]) -> Score {
        let mut first = BTreeMap::new();
        for (at, bar) in timeline.bars.iter().enumerate() {
            let events = first.entry(bar.written);
            let events = events.or_insert_with(|| score.measures[at].events.clone());
            score.measures[at].events = events.clone();
        }
        for &number in otherwise {
            let last = timeline.bars.iter().rposition(|bar| bar.written == number);
            let measure = &mut score.measures[last.expect("a bar")];
            let note = measure.events.pop().expect("a note");
            measure.events.push(Event::rest(note.at, note.ticks));
        }
        score
    }

    /// The page in short: signs, and bars by their number.
    fn page(chart: &str, choruses: usize, otherwise: &[usize]) -> Option<String> {
        let line = line(chart, "plain", 1);
        let timeline = line.timeline.choruses(choruses).unwrap();
        let mut score = score(&line, &[]);
        let pickups = timeline.pickups();
        for _ in 1..choruses {
            score
                .measures
                .extend_from_within(pickups..line.timeline.bars.len());
        }
        let page = as_on_the_page(&part(&timeline, score, otherwise), &timeline)?;
        let numbers = 1 - pickups..;
        Some(
            numbers
                .zip(&page.measures)
                .map(in_short)
                .collect::<Vec<_>>()
                .join(" "),
        )
    }

    fn in_short((number, measure): (usize, &Measure)) -> String {
        let ending: String = measure.ending.iter().map(|n| format!("[{n}")).collect();
        let mut text = String::new();
        for (stands, sign) in [
            (measure.opens_repeat, "|:"),
            (!measure.ending.is_empty(), &ending),
            (measure.segno, "S"),
            (measure.coda, "C"),
            (true, &number.to_string()),
            (measure.to_coda, "tC"),
            (measure.fine, "F"),
        ] {
            if stands {
                text += sign;
            }
        }
        text += &measure
            .jump
            .map_or(String::new(), |jump| format!("({jump})"));
        text + &match measure.right {
            BarLine::Repeat(passes) => format!(":|{passes}"),
            BarLine::Double => "||".to_owned(),
            BarLine::Final => "|]".to_owned(),
            BarLine::Single => String::new(),
        }
    }

    #[test]
    fn a_line_that_is_alike_in_each_pass_has_the_signs_of_its_chart() {
        for (chart, wanted) in [
            ("|: C | F :| G", "|:1 2:|2 3|]"),
            ("C | F :| G", "1 2:|2 3|]"),
            ("C |: F | G :|x3 C", "1 |:2 3:|3 4|]"),
            ("pickup: 1\nG7 | C :| F |: G | C :|", "0 |:1:|2 2 |:3 4:|2"),
            ("|: C | F |1. G :|2. Am | Dm", "|:1 2 [13:|2 [24 5|]"),
            (
                "|: C |1. F :|2. G :|3. A7 || C",
                "|:1 [12:|2 [23:|2 [34|| 5|]",
            ),
            ("|: C |1,2. F :|3. G", "|:1 [1[22:|2 [33|]"),
            ("C | F (fine) || G (D.C.)", "1 2F|| 3(D.C.)|]"),
            ("|: C :| (segno) F | G (D.S.)", "|:1:|2 S2 3(D.S.)|]"),
            (
                "C | (segno) F (to coda) | G (D.S. al coda) || (coda) Am",
                "1 S2tC 3(D.S. al Coda)|| C4|]",
            ),
        ] {
            assert_eq!(page(chart, 1, &[]).as_deref(), Some(wanted), "{chart}");
        }
    }

    #[test]
    fn choruses_of_a_form_without_signs_are_a_repeat_of_the_form() {
        assert_eq!(page("C | F", 2, &[]).as_deref(), Some("|:1 2:|2"));
        let wanted = Some("0 |:1 2 3:|3");
        assert_eq!(page("pickup: 1\nG7 | C | F | G", 3, &[]).as_deref(), wanted);
        assert_eq!(page("C | F", 2, &[2]), None);
        assert_eq!(page("C | F", 100, &[]), None, "more than a repeat counts");
        assert_eq!(page("|: C :| F", 2, &[]), None, "repeats do not nest");
    }

    #[test]
    fn what_is_played_otherwise_or_once_stays_as_it_is_played() {
        assert_eq!(page("|: C | F :| G", 1, &[2]), None);
        assert_eq!(page("C | F (fine) | G (D.C. al fine)", 1, &[1]), None);
        assert_eq!(page("C | F | G", 1, &[]), None);
    }

    #[test]
    fn a_note_that_is_held_over_a_repeat_sign_or_not_each_time_keeps_the_part_as_it_is_played() {
        let timeline = Chart::parse("test", b"|: C | F :| G")
            .unwrap()
            .unroll()
            .unwrap();
        let held = |ties: &[usize]| {
            let mut score = Score::default();
            for at in 0..timeline.bars.len() {
                let mut measure = Measure::new(4 * QUARTER);
                let mut event = Event::note(0, 4 * QUARTER, "C2".parse().unwrap());
                event.tied = ties.contains(&at);
                measure.events.push(event);
                score.measures.push(measure);
            }
            as_on_the_page(&score, &timeline).is_some()
        };
        assert!(held(&[]));
        assert!(held(&[0, 2]), "from bar 1 into bar 2, both times");
        assert!(!held(&[0]), "the second bar 1 is another one");
        assert!(!held(&[1, 3]), "bar 2 is held back into bar 1");
        assert!(!held(&[1]), "bar 2 is held into bar 1 and not into bar 3");
    }

    #[test]
    fn the_page_of_any_form_is_read_as_a_chart_with_the_same_play_order() {
        let mut turning = 0;
        for seed in 0..400 {
            let text = test_forms::form(seed);
            let chart = Chart::parse("form", text.as_bytes());
            let chart = chart.unwrap_or_else(|e| panic!("{text}\n{e}"));
            let line = line(&text, "plain", seed);
            let score = part(&line.timeline, score(&line, &[]), &[]);
            let Some(page) = as_on_the_page(&score, &line.timeline) else {
                assert_eq!(line.timeline.bars.len(), chart.bars().len(), "{text}");
                continue;
            };
            turning += 1;
            assert_eq!(page.measures.len(), chart.bars().len(), "{text}");
            let file = musicxml::write(&page, &musicxml::Options::default());
            let (read, _) = musicxml::read(file.as_bytes(), None).unwrap();
            let (again, _) = Chart::from_score(&read).unwrap_or_else(|e| panic!("{text}\n{e}"));
            let played = |timeline: &Timeline| -> Vec<_> {
                let bars = timeline.bars.iter();
                bars.map(|bar| (bar.written, bar.spans.clone(), bar.key, bar.metre))
                    .collect()
            };
            let again = again.unroll().unwrap();
            assert_eq!(played(&again), played(&line.timeline), "{text}\n{file}");
        }
        assert!(turning > 200, "{turning}");
    }
}
