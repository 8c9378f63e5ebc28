//! Printing: a chart as tidy chart text, which reads back as the same chart.

use std::fmt;

use linewright_theory::{Key, Mode};

use crate::written::{BarLine, Chart, Content, WrittenBar, WrittenSpan, is_even};

/// Bars on one printed line.
const BARS_A_LINE: usize = 4;

impl fmt::Display for Chart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(title) = &self.title {
            writeln!(f, "title: {title}")?;
        }
        if let Some(composer) = &self.composer {
            writeln!(f, "composer: {composer}")?;
        }
        if let Some(key) = self.told_key {
            writeln!(f, "key: {}", key_text(key))?;
        }
        writeln!(f, "time: {}", self.metre)?;
        if let Some(tempo) = self.tempo {
            writeln!(f, "tempo: {tempo}")?;
        }
        if let Some(feel) = &self.feel {
            writeln!(f, "feel: {feel}")?;
        }
        if let Some(beats) = self.pickup() {
            writeln!(f, "pickup: {beats}")?;
        }
        let mut on_line = 0;
        for (index, bar) in self.bars.iter().enumerate() {
            if let Some(section) = &bar.section {
                write!(f, "{}[{section}]", if index > 0 { "\n\n" } else { "\n" })?;
                on_line = BARS_A_LINE;
            }
            let new_line = index == 0 || on_line == BARS_A_LINE;
            if new_line {
                writeln!(f)?;
                on_line = 0;
            }
            on_line += 1;
            // Endings stand close to their bar line: `|1. C7 :|2. F7 |]`.
            let blank = if bar.ending.is_empty() { " " } else { "" };
            match (new_line, bar.opens_repeat) {
                (true, true) => write!(f, "|:{blank}")?,
                (false, true) => write!(f, " |:{blank}")?,
                (true, false) => write!(f, "|{blank}")?,
                (false, false) => f.write_str(blank)?,
            }
            write_bar(f, bar)?;
            if bar.pickup {
                on_line = BARS_A_LINE;
            }
            // A plain bar line is left to the `|:` that follows it.
            let next = self.bars.get(index + 1);
            let joins = on_line < BARS_A_LINE
                && next.is_some_and(|next| next.opens_repeat && next.section.is_none());
            if !(joins && bar.right == BarLine::Single) {
                write_right(f, bar.right)?;
            }
        }
        writeln!(f)
    }
}

fn write_bar(f: &mut fmt::Formatter<'_>, bar: &WrittenBar) -> fmt::Result {
    if !bar.ending.is_empty() {
        let passes: Vec<String> = bar.ending.iter().map(u8::to_string).collect();
        write!(f, "{}. ", passes.join(","))?;
    }
    if bar.segno {
        f.write_str("(segno) ")?;
    }
    if bar.coda {
        f.write_str("(coda) ")?;
    }
    if let Some(key) = bar.new_key {
        write!(f, "(key: {}) ", key_text(key))?;
    }
    if let Some(metre) = bar.new_metre {
        write!(f, "(time: {metre}) ")?;
    }
    if let Some(tempo) = bar.new_tempo {
        write!(f, "(tempo: {tempo}) ")?;
    }
    match &bar.content {
        Content::Same => f.write_str("%")?,
        Content::Chords(spans) => write_spans(f, spans, bar.beats)?,
    }
    if bar.to_coda {
        f.write_str(" (to coda)")?;
    }
    if bar.fine {
        f.write_str(" (fine)")?;
    }
    if let Some(jump) = bar.jump {
        // Chart text is written in small letters.
        let words = jump.to_string();
        write!(
            f,
            " ({})",
            words.replace("Fine", "fine").replace("Coda", "coda")
        )?;
    }
    Ok(())
}

fn write_spans(f: &mut fmt::Formatter<'_>, spans: &[WrittenSpan], beats: u8) -> fmt::Result {
    let even = is_even(spans, beats);
    for (index, span) in spans.iter().enumerate() {
        if index > 0 {
            f.write_str(" ")?;
        }
        match &span.harmony {
            Some(harmony) => write!(f, "{}", harmony)?,
            None => f.write_str("/")?,
        }
        if !even {
            for _ in 1..span.beats {
                f.write_str(" /")?;
            }
        }
    }
    Ok(())
}

/// The bar line after a bar.
fn write_right(f: &mut fmt::Formatter<'_>, right: BarLine) -> fmt::Result {
    match right {
        BarLine::Single => f.write_str(" |"),
        BarLine::Double => f.write_str(" ||"),
        BarLine::Final => f.write_str(" |]"),
        BarLine::Repeat(2) => f.write_str(" :|"),
        BarLine::Repeat(passes) => write!(f, " :|x{passes}"),
    }
}

/// A key as chart text writes it: `Bb`, `Bbm`.
fn key_text(key: Key) -> String {
    match key.mode {
        Mode::Major => key.tonic.to_string(),
        Mode::Minor => format!("{}m", key.tonic),
    }
}
