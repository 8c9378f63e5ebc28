//! From the measures of a tune to a score: ties checked, signs sorted out, lengths compared.

use linewright_diagnostic::Diagnostics;

use super::bars::Done;
use super::music::Music;
use super::report::{Kind, Reports};
use crate::written::is_held;
use crate::{BarLine, QUARTER, Score, Ticks, TimeSignature};

/// The score, with its reports.
///
/// # Errors
/// When there is no music.
pub(super) fn score(music: Music) -> Result<(Score, Diagnostics), Diagnostics> {
    let mut reports = music.reports;
    let mut done = music.bars.done;
    if done.is_empty() {
        reports.add(
            music.place,
            "this tune has no music",
            "write notes after its `K:` line, such as `F,2 A,2 |`",
        );
        return Err(reports.into_problems());
    }
    ties(&mut done, &mut reports);
    codas(&mut done);
    if done[0].measure.time.is_none() {
        guess(&mut done, &mut reports);
    }
    once(&mut done);
    pickup(&mut done);
    lengths(&done, &mut reports);
    let mut score = Score {
        title: music.title,
        composer: music.composer,
        feel: music.feel,
        about: music.about,
        measures: done.into_iter().map(|done| done.measure).collect(),
        ..Score::default()
    };
    score.take_credits();
    Ok((score, reports.into_problems()))
}

/// Drops ties that lead to another pitch or to none.
fn ties(done: &mut [Done], reports: &mut Reports) {
    let mut open: Option<(usize, usize)> = None;
    let mut loose = Vec::new();
    for index in 0..done.len() {
        let mut now = 0;
        for at in 0..done[index].measure.events.len() {
            let event = &done[index].measure.events[at];
            if let Some((bar, place)) = open.take() {
                let from = &done[bar].measure.events[place];
                let leads =
                    event.at == now && is_held((from.note, from.ghost), (event.note, event.ghost));
                if !leads {
                    loose.push((bar, place));
                }
            }
            now = event.at + event.ticks;
            open = event.tied.then_some((index, at));
        }
        if let Some((bar, place)) = open
            && now != done[index].measure.ticks
        {
            loose.push((bar, place));
            open = None;
        }
    }
    for (bar, place) in loose.into_iter().chain(open) {
        reports.once(
            Kind::Tie,
            done[bar].place,
            "a tie leads to no note of the same pitch and is left out",
            "write `-` before a note of the same pitch only, and a slur as `( )`",
        );
        done[bar].measure.events[place].tied = false;
    }
}

/// The first of two codas, where no sign tells the way to it, is that sign.
fn codas(done: &mut [Done]) {
    let codas: Vec<usize> = (0..done.len())
        .filter(|&index| done[index].measure.coda)
        .collect();
    let told = done.iter().any(|done| done.measure.to_coda);
    if let ([first, _, ..], false) = (codas.as_slice(), told)
        && *first > 0
    {
        done[*first].measure.coda = false;
        done[first - 1].measure.to_coda = true;
    }
}

/// Finds a time signature for a tune that begins without one: the length that most measures have.
fn guess(done: &mut [Done], reports: &mut Reports) {
    let mut lengths: Vec<Ticks> = done.iter().map(|done| done.measure.ticks).collect();
    lengths.sort_unstable();
    let most = lengths
        .chunk_by(|a, b| a == b)
        .max_by_key(|alike| alike.len())
        .map_or(0, |alike| alike[0]);
    let time = [4, 8, 16]
        .into_iter()
        .find_map(|unit: u8| {
            let beat = 4 * QUARTER / Ticks::from(unit);
            let beats = u8::try_from(most / beat).ok().filter(|beats| *beats < 33)?;
            (beats > 0 && most.is_multiple_of(beat)).then_some(TimeSignature { beats, unit })
        })
        .unwrap_or(TimeSignature { beats: 4, unit: 4 });
    reports.add(
        done[0].place,
        format!(
            "the tune begins without a metre; it is read in {}/{}, and each measure keeps its length",
            time.beats, time.unit
        ),
        "tell its metre in the header, as in `M:4/4`",
    );
    done[0].measure.time = Some(time);
    done[0].full = None;
}

/// Keeps time signatures, keys and tempos only where they are new.
fn once(done: &mut [Done]) {
    let (mut time, mut key, mut tempo) = (None, None, None);
    for measure in done.iter_mut().map(|done| &mut done.measure) {
        measure.time = measure.time.filter(|new| time != Some(*new));
        time = measure.time.or(time);
        measure.key = measure.key.filter(|new| key != Some(*new));
        key = measure.key.or(key);
        measure.tempo = measure.tempo.filter(|new| tempo != Some(*new));
        tempo = measure.tempo.or(tempo);
    }
}

fn pickup(done: &mut [Done]) {
    let first = &mut done[0].measure;
    first.pickup = first.time.is_some_and(|time| first.ticks < time.ticks());
}

/// Reports measures that are neither full nor one of two that make up a full one.
fn lengths(done: &[Done], reports: &mut Reports) {
    let missing = |done: &Done| {
        done.full
            .and_then(|full| full.checked_sub(done.measure.ticks))
    };
    let short = |done: &&Done| missing(done).is_some_and(|missing| missing > 0);
    // Short measures that begin or end a stretch, by their length.
    let begins = |index: usize| {
        index == 0
            || done[index].measure.opens_repeat
            || !done[index].measure.ending.is_empty()
            || done[index].measure.section.is_some()
            || done[index - 1].measure.right != BarLine::Single
    };
    let ends = |index: usize| {
        index + 1 == done.len() || done[index].measure.right != BarLine::Single || begins(index + 1)
    };
    let lengths = |which: &dyn Fn(usize) -> bool| {
        let chosen = (0..done.len()).filter(|&index| which(index));
        let mut lengths: Vec<Ticks> = chosen
            .map(|index| &done[index])
            .filter(short)
            .map(|done| done.measure.ticks)
            .collect();
        lengths.sort_unstable();
        lengths
    };
    let (heads, tails) = (lengths(&begins), lengths(&ends));
    for (index, bar) in done.iter().enumerate() {
        let Some(full) = bar.full.filter(|full| *full != bar.measure.ticks) else {
            continue;
        };
        let rest = missing(bar);
        let has = |others: &[Ticks]| rest.is_some_and(|rest| others.binary_search(&rest).is_ok());
        if bar.measure.pickup || (begins(index) && has(&tails)) || (ends(index) && has(&heads)) {
            continue;
        }
        length(index + 1, bar, full, reports);
    }
}

fn length(number: usize, bar: &Done, full: Ticks, reports: &mut Reports) {
    let (found, wanted) = (fraction(bar.measure.ticks), fraction(full));
    let (what, hint) = if bar.measure.ticks > full {
        (
            "too long",
            "write a bar line where the measure is full, or shorter notes",
        )
    } else {
        (
            "too short",
            "fill it with a rest, or tell a new metre with `[M:…]` before it",
        )
    };
    reports.add(
        bar.place,
        format!("measure {number} is {what}: it holds {found} and the metre wants {wanted}"),
        hint,
    );
}

/// A length as a fraction of a whole note.
fn fraction(ticks: Ticks) -> String {
    let whole = 4 * QUARTER;
    let mut under = 4;
    while under < 64 && !ticks.is_multiple_of(whole / under) {
        under *= 2;
    }
    if ticks.is_multiple_of(whole / under) {
        format!("{}/{under}", ticks / (whole / under))
    } else {
        format!("about {}/64", ticks / (whole / 64))
    }
}
