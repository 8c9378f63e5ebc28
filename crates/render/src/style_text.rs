//! A complete style as the text of a style file.

use std::fmt::Write as _;

use linewright_rulebook::style::{Criterion, DevicesOver, Feel, Marks, Style, Weight};

use linewright_study::learn::Learned;
use linewright_theory::note_name;

use crate::wording::study::count;

/// A complete style as TOML: everything it inherits is said out. Reading the text gives
/// the same style again.
pub fn style_text(style: &Style) -> String {
    with_remarks(style, &|_| None)
}

/// A learned style as TOML, in the same way: each weight that was learned has its standard error
/// and how often the lines have it beside it, as a comment.
pub fn learned_text(learned: &Learned) -> String {
    with_remarks(&learned.style, &|rule| {
        let mut weights = learned.weights.iter();
        let weight = weights.find(|weight| weight.rule.name == rule)?;
        let times = count(weight.count, "time");
        let softened = match weight.base {
            Weight::Never => "; never in the base",
            Weight::Milli(_) => "",
        };
        Some(format!("± {:.2}, {times}{softened}", weight.error))
    })
}

/// A style as TOML with a remark beside each weight that has one.
fn with_remarks(style: &Style, remark: &dyn Fn(&str) -> Option<String>) -> String {
    let mut text = String::new();
    // Writing to a text does not fail.
    let _ = write(&mut text, style, remark);
    text
}

fn write(
    text: &mut String,
    style: &Style,
    remark: &dyn Fn(&str) -> Option<String>,
) -> std::fmt::Result {
    let feel = match style.feel {
        Feel::Walking => "walking",
        Feel::InTwo => "in two",
    };
    writeln!(text, "name = {}", quoted(&style.name))?;
    writeln!(text, "description = {}", quoted(&style.description))?;
    writeln!(text, "feel = {}", quoted(feel))?;
    writeln!(text, "temperature = {}", decimal(style.temperature))?;

    writeln!(text, "\n[range]")?;
    for (key, pitch) in [
        ("low", style.range.low),
        ("high", style.range.high),
        ("heart-low", style.range.heart_low),
        ("heart-high", style.range.heart_high),
    ] {
        writeln!(text, "{key} = {}", quoted(&note_name(pitch)))?;
    }

    writeln!(text, "\n[instrument]")?;
    writeln!(text, "name = {}", quoted(&style.instrument.name))?;
    writeln!(text, "program = {}", style.instrument.program)?;

    writeln!(text, "\n[limits]")?;
    writeln!(text, "largest-leap = {}", style.largest_leap)?;
    writeln!(text, "largest-shift = {}", style.largest_shift)?;

    writeln!(text, "\n[weights]")?;
    for (rule, weight) in &style.weights {
        match weight {
            Weight::Never => write!(text, "{rule} = \"never\"")?,
            Weight::Milli(milli) => {
                let sign = if *milli < 0 { "-" } else { "" };
                write!(text, "{rule} = {sign}{}", decimal(milli.unsigned_abs()))?;
            }
        }
        match remark(rule) {
            Some(remark) => writeln!(text, " # {remark}")?,
            None => writeln!(text)?,
        }
    }

    let plan = &style.plan;
    let tension: Vec<String> = plan.tension.0.iter().map(|&t| decimal(t.into())).collect();
    writeln!(text, "\n[plan]")?;
    writeln!(text, "phrase-bars = {}", plan.phrase_bars)?;
    writeln!(
        text,
        "cadences = {{ beat-one = {}, own-root = {}, next-root = {} }}",
        decimal(plan.cadences.beat_one),
        decimal(plan.cadences.own_root),
        decimal(plan.cadences.next_root)
    )?;
    writeln!(text, "end-cadence = {}", decimal(plan.end_cadence.into()))?;
    writeln!(
        text,
        "middle-cadence = {}",
        decimal(plan.middle_cadence.into())
    )?;
    writeln!(text, "tension = [{}]", tension.join(", "))?;
    writeln!(text, "ambiguous = {}", decimal(plan.ambiguous.into()))?;
    writeln!(text, "figures = {}", decimal(plan.figures.into()))?;
    writeln!(text, "register-span = {}", plan.register_span)?;
    writeln!(
        text,
        "register-shift = {}",
        decimal(plan.register_shift.into())
    )?;
    writeln!(text, "pick-up = {}", decimal(plan.pick_up.into()))?;

    writeln!(text, "\n[sound]")?;
    writeln!(text, "velocity = {}", style.sound.velocity)?;
    writeln!(text, "accent = {}", style.sound.accent)?;
    writeln!(text, "length = {}", decimal(style.sound.length.into()))?;
    marks(text, &style.marks)
}

fn marks(text: &mut String, marks: &Marks) -> std::fmt::Result {
    writeln!(text, "\n[marks]")?;
    writeln!(text, "pass = {}", marks.pass)?;
    let criteria = Criterion::ALL.iter().zip(marks.totals);
    let criteria: Vec<String> = criteria
        .map(|(criterion, total)| format!("{} = {total}", criterion.name()))
        .collect();
    writeln!(text, "criteria = {{ {} }}", criteria.join(", "))?;
    let devices: Vec<String> = marks.devices.iter().map(|rule| quoted(rule)).collect();
    writeln!(text, "devices = [{}]", devices.join(", "))?;
    let over = match marks.devices_over {
        DevicesOver::AnyHarmony => "any harmony",
        DevicesOver::OneChord => "one chord",
    };
    writeln!(text, "devices-over = {}", quoted(over))?;
    for (key, shares) in [("faults", &marks.faults), ("expected", &marks.expected)] {
        writeln!(text, "\n[marks.{key}]")?;
        for (rule, share) in shares {
            writeln!(text, "{rule} = {}", decimal(u32::from(*share)))?;
        }
    }
    Ok(())
}

/// Thousandths as a TOML number that is not taken for a whole one.
fn decimal(thousandths: u32) -> String {
    let text = linewright_compose::thousandths::decimal(thousandths.into());
    if text.contains('.') {
        text
    } else {
        format!("{text}.0")
    }
}

/// A TOML basic string.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(c);
            }
            c if c.is_control() => {
                let _ = write!(quoted, "\\u{:04X}", u32::from(c));
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;
    use linewright_rulebook::style::{Library, resolve};

    #[test]
    fn every_shipped_style_is_the_same_after_writing_and_reading() {
        let library = Library::builtin();
        for name in Library::builtin_names() {
            let style = library.style(name).unwrap();
            let text = style_text(&style);
            let again = resolve(&Library::default(), "again", &text);
            assert_eq!(
                again.unwrap_or_else(|fault| panic!("{fault}\n{text}")),
                style
            );
        }
    }

    #[test]
    fn awkward_names_survive_quoting() {
        let mut style = Library::builtin().style("plain").unwrap();
        style.instrument.name = "my \"old\" bass\\\u{7}\n".to_owned();
        let again = resolve(&Library::default(), "again", &style_text(&style)).unwrap();
        assert_eq!(again, style);
    }
}
