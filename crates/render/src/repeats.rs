//! A part that is played with repeats, written with repeats.

use std::collections::BTreeMap;

use linewright_notation::{BarLine, Measure, Score};

/// The part with the repeats and endings of its page, where it allows that: each time a bar of
/// the page is played it has the same notes. `played` are the numbers on the page of its
/// measures as they are played, from 1, 0 for a pick-up. `None` where a bar is played otherwise,
/// where nothing is played twice, and where the form jumps otherwise than in repeats with two
/// endings at most.
pub(crate) fn with_repeats(score: &Score, played: &[usize]) -> Option<Score> {
    let signs = signs(played)?;
    let mut page: BTreeMap<usize, Measure> = BTreeMap::new();
    for (&number, measure) in played.iter().zip(&score.measures) {
        match page.get_mut(&number) {
            None => {
                page.insert(number, measure.clone());
            }
            Some(before) if before.events == measure.events => again(before, measure),
            Some(_) => return None,
        }
    }
    for (number, measure) in &mut page {
        let Some(sign) = signs.get(number) else {
            continue;
        };
        measure.opens_repeat = sign.opens;
        measure.ending.clone_from(&sign.ending);
        if sign.passes > 1 {
            measure.right = BarLine::Repeat(sign.passes);
        }
    }
    Some(Score {
        measures: page.into_values().collect(),
        ..score.clone()
    })
}

/// What stands at a bar of the page.
#[derive(Default)]
struct Signs {
    opens: bool,
    ending: Vec<u8>,
    /// How often the repeat that ends here is played.
    passes: u8,
}

/// The signs by which the bars of a page are played in this order.
fn signs(played: &[usize]) -> Option<BTreeMap<usize, Signs>> {
    let mut signs: BTreeMap<usize, Signs> = BTreeMap::new();
    // The end of the bars from `from` on that stand one after the other, up to `last`.
    let run = |from: usize, last: usize| {
        let mut at = from;
        while played[at] < last && played.get(at + 1) == Some(&(played[at] + 1)) {
            at += 1;
        }
        at
    };
    let pickups = usize::from(played.first() == Some(&0));
    let (mut at, mut next) = (pickups, 1);
    while at < played.len() {
        if played[at] != next {
            return None;
        }
        let end = run(at, usize::MAX);
        let last = played[end];
        let Some(&first) = played.get(end + 1) else {
            break;
        };
        if first > last || first < next {
            return None;
        }
        signs.entry(first).or_default().opens = true;
        let mut passes = 1;
        at = end + 1;
        loop {
            let end = run(at, last);
            passes += 1;
            at = end + 1;
            if played[end] < last {
                // The first ending is left out.
                if passes > 2 || played.get(at) != Some(&(last + 1)) {
                    return None;
                }
                signs.entry(played[end] + 1).or_default().ending = vec![1];
                signs.entry(last).or_default().passes = 2;
                signs.entry(last + 1).or_default().ending = vec![2];
                break;
            }
            if played.get(at) != Some(&first) {
                signs.entry(last).or_default().passes = passes;
                break;
            }
        }
        next = last + 1;
    }
    (!signs.is_empty()).then_some(signs)
}

/// A bar that is played again may say more than the first time: what changes back on the way.
fn again(before: &mut Measure, measure: &Measure) {
    before.time = before.time.or(measure.time);
    before.key = before.key.or(measure.key);
    before.tempo = before.tempo.or(measure.tempo);
    if before.section.is_none() {
        before.section.clone_from(&measure.section);
    }
    if before.symbols.len() < measure.symbols.len() {
        before.symbols.clone_from(&measure.symbols);
    }
    if measure.right == BarLine::Final {
        before.right = BarLine::Final;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_notation::{Event, QUARTER};

    /// A part over bars that are played in this order, with one note a bar: the pitch tells
    /// the bar, but for those that are said to sound otherwise when they come again.
    fn part(played: &[usize], otherwise: &[usize]) -> Score {
        let mut score = Score::default();
        let mut seen = Vec::new();
        for &number in played {
            let mut measure = Measure::new(4 * QUARTER);
            let octave = match seen.contains(&number) && otherwise.contains(&number) {
                true => 3,
                false => 2,
            };
            seen.push(number);
            let letter = char::from(b'A' + (number % 7) as u8);
            let note = format!("{letter}{octave}").parse().unwrap();
            measure.events = vec![Event::note(0, 4 * QUARTER, note)];
            measure.pickup = number == 0;
            score.measures.push(measure);
        }
        score
    }

    /// The page in short: repeat signs, endings, bars by their number.
    fn page(played: &[usize], otherwise: &[usize]) -> Option<String> {
        let score = with_repeats(&part(played, otherwise), played)?;
        let pickups = usize::from(score.measures[0].pickup);
        let bar = |(nth, measure): (usize, &Measure)| {
            let opens = if measure.opens_repeat { "|:" } else { "" };
            let ending: String = measure.ending.iter().map(|n| format!("[{n}")).collect();
            let ends = match measure.right {
                BarLine::Repeat(passes) => format!(":|{passes}"),
                _ => String::new(),
            };
            format!("{opens}{ending}{}{ends}", nth + 1 - pickups)
        };
        Some(
            score
                .measures
                .iter()
                .enumerate()
                .map(bar)
                .collect::<Vec<_>>()
                .join(" "),
        )
    }

    #[test]
    fn what_is_played_twice_alike_is_written_once() {
        for (played, wanted) in [
            (&[1, 2, 1, 2, 3][..], "|:1 2:|2 3"),
            (&[1, 2, 3, 2, 3, 2, 3], "1 |:2 3:|3"),
            (&[0, 1, 1, 2, 3, 2, 3], "0 |:1:|2 |:2 3:|2"),
            (&[1, 2, 3, 1, 2, 4, 5], "|:1 2 [13:|2 [24 5"),
            (&[1, 2, 3, 4, 2, 5, 6, 6], "1 |:2 [13 4:|2 [25 |:6:|2"),
            (&[1, 2, 3, 1, 2, 3], "|:1 2 3:|2"),
        ] {
            assert_eq!(page(played, &[]).as_deref(), Some(wanted), "{played:?}");
        }
    }

    #[test]
    fn what_is_played_otherwise_or_jumps_otherwise_stays_as_it_is_played() {
        for (played, otherwise) in [
            (&[1, 2, 1, 2, 3][..], &[2][..]),
            (&[1, 2, 3, 1, 2, 4], &[1]),
            (&[1, 2, 3], &[]),
            // Three endings, a jump back over a repeat that is over, and one to a coda.
            (&[1, 2, 1, 3, 1, 4], &[]),
            (&[1, 2, 2, 3, 1, 2], &[]),
            (&[1, 2, 3, 4, 1, 6, 7], &[]),
        ] {
            let page = page(played, otherwise);
            assert_eq!(page, None, "{played:?}");
        }
    }
}
