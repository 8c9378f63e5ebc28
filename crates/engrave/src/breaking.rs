//! Which measures go into which system.

use std::ops::Range;

use crate::context::Context;
use crate::plan::Plan;

/// How tightly notes may be set, in thousandths of their width at ease, before a system takes
/// fewer measures.
const TIGHT: i64 = 620;

/// Breaks a score into systems of a width. A section begins a system; a last measure alone joins
/// the system before it or takes a measure from it.
pub(crate) fn systems(context: &Context, width: i64) -> Vec<Plan> {
    let mut plans = Vec::new();
    for section in sections(context) {
        let mut spans: Vec<Range<usize>> = Vec::new();
        let mut first = section.start;
        while first < section.end {
            let last = first + count(context, first..section.end, width);
            spans.push(first..last);
            first = last;
        }
        join_last(context, &mut spans, width);
        plans.extend(spans.into_iter().map(|span| Plan::new(context, span)));
    }
    plans
}

/// The parts of a score that begin a new system: from one section to the next. A section of a
/// single measure, and one right after a pick-up, joins what stands before it.
fn sections(context: &Context) -> Vec<Range<usize>> {
    let measures = &context.score.measures;
    let mut starts = vec![0];
    for (at, measure) in measures.iter().enumerate().skip(1) {
        let begins = measure.section.is_some() || measure.coda;
        let from = starts.last().copied().unwrap_or(0);
        let counted = measures[from..at].iter().filter(|m| !m.pickup).count();
        if begins && counted >= 2 {
            starts.push(at);
        }
    }
    let ends = starts[1..].iter().copied().chain([measures.len()]);
    starts
        .iter()
        .zip(ends)
        .map(|(&start, end)| start..end)
        .filter(|span| !span.is_empty())
        .collect()
}

/// How many of these measures the next system takes.
fn count(context: &Context, measures: Range<usize>, width: i64) -> usize {
    let most = context.options.bars_per_system.max(1);
    let mut counted = 0;
    let mut wanted = 0;
    for measure in &context.score.measures[measures.clone()] {
        if counted == most {
            break;
        }
        counted += usize::from(!measure.pickup);
        wanted += 1;
    }
    let fits = |count: usize| fits(context, measures.start..measures.start + count, width);
    (1..=wanted).rev().find(|&n| n == 1 || fits(n)).unwrap_or(1)
}

fn fits(context: &Context, span: Range<usize>, width: i64) -> bool {
    let plan = Plan::new(context, span);
    plan.springs.width(TIGHT) + plan.tail() <= width
}

fn join_last(context: &Context, spans: &mut Vec<Range<usize>>, width: i64) {
    let [.., before, last] = &spans[..] else {
        return;
    };
    if last.len() > 1 || before.len() < 3 {
        return;
    }
    let (start, end, middle) = (before.start, last.end, last.start - 1);
    spans.truncate(spans.len() - 2);
    if fits(context, start..end, width) {
        spans.push(start..end);
    } else {
        spans.push(start..middle);
        spans.push(middle..end);
    }
}
