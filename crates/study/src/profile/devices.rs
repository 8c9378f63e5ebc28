//! Devices of the trade, wherever the rulebook finds them.

use linewright_compose::Line;
use linewright_rulebook::rules::order::{CELL_AGAIN, THIN_BAR};
use linewright_rulebook::{Family, Label, Rule};

use super::{Measure, Profile, Value};

/// Order rules that find a lack, and no device.
static LACKS: [&Rule; 2] = [&THIN_BAR, &CELL_AGAIN];

/// Whether a rule finds a device: one that an approach or a move is named after, or a way to
/// order the notes of a bar. None of them asks what the plan wishes.
pub fn is_device(rule: &Rule) -> bool {
    match rule.family {
        Family::Approach | Family::Melody => rule.label != Label::None,
        Family::Order => !LACKS.contains(&rule),
        Family::Arrival | Family::Tone | Family::Cadence | Family::Register | Family::Clarity => {
            false
        }
    }
}

pub(super) fn count(profile: &mut Profile, line: &Line) {
    for finding in &line.reading.findings {
        if is_device(line.book.entry(finding.rule).rule) {
            profile.count(Measure::Devices, Value::Device(finding.rule));
        }
    }
}
