//! What of the form of a part players play as it is meant.

use crate::musicxml::page::MOST_PASSES;
use crate::{BarLine, Jump, Measure, Until};

/// Whether the players that we know play the repeats, endings and jumps of a file as they are
/// meant: after a jump back no repeat is taken and the last ending is played, from the coda on
/// repeats count again, a jump is taken once, the last time that its measure is reached. Where
/// they do not, write the measures out in the order in which they are played.
///
/// verovio 6.4 plays every form that is asked for here. music21 10.5 is the one that sets the
/// limits: once it cuts a part at a jump it knows no endings; it has one jump in a part, and
/// knows a D.C. only as one to the very first measure, pick-up or not; a plain D.C. or D.S. goes
/// past a fine, and so does the way through the coda; the passes of endings have to come in
/// order; and a repeat that is cut by a jump or by the coda is another one.
pub fn is_played(measures: &[Measure]) -> bool {
    let ends_in_order = groups(measures).all(|passes| (1..).zip(&passes).all(|(n, &p)| n == p));
    let fits = |measure: &Measure| measure.ending.len() <= MOST_PASSES;
    let mut jumps = (0..)
        .zip(measures)
        .filter_map(|(at, m)| Some((at, m.jump?)));
    let jumps_well = match (jumps.next(), jumps.next()) {
        (None, _) => true,
        (Some((at, jump)), None) => is_jump_played(measures, at, jump),
        _ => false,
    };
    ends_in_order && measures.iter().all(fits) && jumps_well
}

/// Whether the only jump of a part, after this measure, is played as it is meant.
fn is_jump_played(measures: &[Measure], at: usize, jump: Jump) -> bool {
    let places = |has: fn(&Measure) -> bool| -> Vec<usize> {
        let all = measures.iter().enumerate();
        all.filter(|(_, m)| has(m)).map(|(at, _)| at).collect()
    };
    let (segnos, fines) = (places(|m| m.segno), places(|m| m.fine));
    let (to_codas, codas) = (places(|m| m.to_coda), places(|m| m.coda));
    let goal = if jump.to_segno {
        segnos.first()
    } else {
        Some(&0)
    };
    let is_until = match (jump.until, &fines[..], &to_codas[..], &codas[..]) {
        (Until::End, [], [], []) => true,
        (Until::Fine, [fine], [], []) => *fine < at,
        (Until::Coda, [], [to_coda], [coda]) => *to_coda <= at && at < *coda,
        _ => false,
    };
    let is_cut = |(first, last): (usize, usize)| {
        let begins_within = |coda: &usize| first < *coda && *coda <= last;
        (first <= at && at < last) || codas.iter().any(begins_within)
    };
    is_until
        && segnos.len() == usize::from(jump.to_segno)
        && goal.is_some_and(|&goal| goal <= at && !measures[goal].pickup)
        && measures.iter().all(|measure| measure.ending.is_empty())
        && !repeats(measures).any(is_cut)
}

/// The passes of the endings of each repeat that has some.
fn groups(measures: &[Measure]) -> impl Iterator<Item = Vec<u8>> {
    let mut groups: Vec<Vec<u8>> = Vec::new();
    for measure in measures.iter().filter(|measure| !measure.ending.is_empty()) {
        match groups.last_mut() {
            Some(group) if !measure.ending.contains(&1) => group.extend(&measure.ending),
            _ => groups.push(measure.ending.clone()),
        }
    }
    groups.into_iter()
}

/// The first and last measures of the repeats without endings.
fn repeats(measures: &[Measure]) -> impl Iterator<Item = (usize, usize)> {
    let mut first = usize::from(measures.first().is_some_and(|first| first.pickup));
    measures
        .iter()
        .enumerate()
        .filter_map(move |(at, measure)| {
            if measure.opens_repeat {
                first = at;
            }
            matches!(measure.right, BarLine::Repeat(_)).then_some((first, at))
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Six measures with a D.S. or D.C. after the fourth, changed.
    fn jumps(to_segno: bool, until: Until, change: impl FnOnce(&mut [Measure])) -> bool {
        let mut measures = vec![Measure::new(1); 6];
        measures[3].jump = Some(Jump { to_segno, until });
        measures[1].segno = to_segno;
        change(&mut measures);
        is_played(&measures)
    }

    #[test]
    fn one_jump_in_a_form_without_endings_is_played() {
        assert!(jumps(false, Until::End, |_| {}));
        assert!(jumps(true, Until::End, |_| {}));
        assert!(jumps(true, Until::Fine, |m| m[2].fine = true));
        assert!(jumps(true, Until::Coda, |m| (m[2].to_coda, m[4].coda) =
            (true, true)));
        assert!(jumps(false, Until::End, |m| m[3].right = BarLine::Repeat(3)));
    }

    #[test]
    fn what_a_player_does_otherwise_is_not_played() {
        assert!(!jumps(false, Until::End, |m| m[0].pickup = true));
        assert!(!jumps(false, Until::End, |m| m[2].fine = true));
        assert!(!jumps(false, Until::End, |m| m[5].jump = m[3].jump));
        assert!(
            !jumps(false, Until::End, |m| m[4].right = BarLine::Repeat(2)),
            "cut"
        );
        assert!(!jumps(true, Until::Coda, |m| {
            (m[0].to_coda, m[5].coda, m[5].right) = (true, true, BarLine::Repeat(2));
            m[4].opens_repeat = true;
        }));
        assert!(!jumps(false, Until::End, |m| {
            (m[1].ending, m[2].ending) = (vec![1], vec![2]);
            m[1].right = BarLine::Repeat(2);
        }));
    }

    #[test]
    fn endings_without_a_jump_are_played_in_order() {
        let plays = |endings: [&[u8]; 3]| {
            let mut measures = vec![Measure::new(1); 4];
            for (measure, passes) in measures[1..].iter_mut().zip(endings) {
                measure.ending = passes.to_vec();
            }
            is_played(&measures)
        };
        assert!(
            plays([&[1], &[2], &[3]]) && plays([&[1, 2], &[3], &[]]) && plays([&[1], &[2], &[1]])
        );
        assert!(!plays([&[1, 3], &[2], &[]]) && !plays([&[2], &[1], &[]]));
    }
}
