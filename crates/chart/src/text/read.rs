//! The whole text → a chart and what is to be said of it, or all its faults.

use linewright_diagnostic::{Diagnostics, Source};
use linewright_notation::header_line::uncommented;

use super::body::Body;
use super::header::{self, Header};
use crate::infer;
use crate::metre::Metre;
use crate::source;
use crate::walk;
use crate::written::{Chart, WrittenBar};

pub(crate) fn read(source_name: &str, bytes: &[u8]) -> Result<(Chart, Diagnostics), Diagnostics> {
    let text = source::text(bytes).map_err(|fault| fault.within(source_name))?;
    let source = Source::new(text);
    let mut faults = Diagnostics::default();
    let mut header = Header::default();
    let mut body: Option<Body<'_>> = None;
    let mut first = true;
    let grid = !source.lines().any(|(_, line)| has_bar_line(line));
    for (start, line) in source.lines() {
        let told = line.trim_start();
        if told.is_empty() || told.starts_with('#') {
            continue;
        }
        let header_line = header::split(line);
        let first = std::mem::take(&mut first);
        if first && header_line.is_none() && header.take_bare_title(start, line, &mut faults) {
            continue;
        }
        match (&mut body, header_line) {
            (None, Some(parts)) => header.take(start, &parts, &mut faults),
            (Some(_), Some(parts)) if header::is_known(&parts) => {
                let fault = parts.too_late("tune");
                faults.add(fault.at(start + parts.name_at));
            }
            (body, _) => {
                let metre = header.time.unwrap_or(Metre::FOUR_FOUR);
                body.get_or_insert_with(|| Body::new(metre, header.pickup, grid))
                    .line(start, line, &mut faults);
            }
        }
    }
    let mut body = body.unwrap_or_else(|| Body::new(Metre::FOUR_FOUR, header.pickup, grid));
    body.end(&mut faults);
    if body.bars.is_empty() && !faults.has_errors() {
        faults.error(
            source.end(),
            "the chart has no bars",
            "write chords between bar lines, for example `| F7 | Bb7 |`",
        );
    }
    let Body { bars, places, .. } = body;
    if !bars.is_empty()
        && let Err(troubles) = walk::order(&bars)
    {
        for trouble in troubles {
            let at = places[trouble.bar].of(trouble.sign);
            faults.add(trouble.what.at(at));
        }
    }
    let ((), remarks) = faults
        .judge(())
        .map_err(|faults| faults.located(source_name, &source))?;
    Ok((chart(header, bars), remarks.located(source_name, &source)))
}

/// Whether a bar line stands in a line of music.
fn has_bar_line(line: &str) -> bool {
    header::split(line).is_none() && uncommented(line).contains('|')
}

/// The chart of a faultless text.
fn chart(header: Header, mut bars: Vec<WrittenBar>) -> Chart {
    let metre = bars[0].metre;
    // What changes at the first bar is how the chart begins.
    let first = &mut bars[0];
    first.new_metre = None;
    let told_key = first.new_key.take().or(header.key);
    let tempo = first.new_tempo.take().or(header.tempo);
    let mut chart = Chart {
        title: header.title,
        composer: header.composer,
        told_key,
        key: told_key.unwrap_or_else(infer::c_major),
        metre,
        tempo,
        feel: header.feel,
        bars,
    };
    if told_key.is_none() {
        chart.key = infer::key(&chart.resolved());
    }
    chart
}
