//! The line as JSON: everything that is known of it, for other programs.
//!
//! One line is one object; several lines are an array of them. Keys always stand in the
//! same order.
//!
//! ```json
//! {
//!   "format": "linewright line",
//!   "version": 2,
//!   "made_by": {
//!     "program": "0.1.0", "style": "plain", "style_hash": "0123456789abcdef",
//!     "seed": 1, "line": 1,
//!     "choice": "sampled", "temperature_millipoints": 700, "place": null
//!   },
//!   "title": "Backyard blues", "composer": null, "student": null,
//!   "key": "F major", "tempo_bpm": 140, "choruses": 1,
//!   "instrument": { "name": "double bass", "program": 33 },
//!   "range": { "low": "E1", "high": "G3" },
//!   "score_millipoints": 105300,
//!   "bars": [ {
//!     "number": 1, "written": 1, "section": "A", "metre": "4/4", "beats": 4,
//!     "key": "F major", "tempo_bpm": 140,
//!     "chords": [ { "beat": 1, "beats": 4, "symbol": "F7" } ],
//!     "plan": {
//!       "phrase": 1, "place": 1, "role": "statement", "tension_thousandths": 150,
//!       "clarity": "clear", "cadence": null, "centre_midi": 41, "shift": false
//!     },
//!     "heard": {
//!       "degrees": ["1", "3", "5", "#11"], "clarity_millinats": 2310,
//!       "tension_thousandths": 130, "cadence": null
//!     }
//!   } ],
//!   "notes": [ {
//!     "bar": 1, "beat": 1, "beats": 1, "midi": 29, "name": "F1", "degree": "1",
//!     "functions": [ { "name": "chord tone", "from": null } ],
//!     "millipoints": 2800
//!   } ],
//!   "written": [ {
//!     "bar": 1, "at_ticks": 0, "length_ticks": 6720, "name": "F1", "midi": 29,
//!     "tied": false, "ghost": false, "role": "walk", "note": 1, "between": null
//!   } ],
//!   "findings": [ {
//!     "rule": "root-arrival", "bar": 1, "beat": 1, "strength_thousandths": 1000,
//!     "millipoints": 2200
//!   } ]
//! }
//! ```
//!
//! Points are whole thousandths (`millipoints`), and those of all findings add up to
//! `score_millipoints`; a finding that the style forbids has `null`. Bars are numbered as played, from 1 (a pick-up bar is 0);
//! `written` is the bar's number on the page. Beats count from 1; a finding about a whole
//! bar has `"beat": null`. `line`, `phrase` and `place` count from 1 too. `program` of the
//! instrument is General MIDI, 1 to 128. `midi` and `centre_midi` are MIDI key numbers as they
//! sound, 60 for middle C. `from` is `"below"`, `"above"` or `null`. `choice` is `"best"`,
//! `"sampled"` (with `temperature_millipoints`), or `"ranked"` (with its `place` among the
//! best lines under its plan, from 1), or `"given"` for a line that somebody else wrote (`seed`
//! and `line` then say nothing); what does not belong to the choice is `null`. `heard` is `null` in a bar
//! without notes.
//!
//! `notes` are the walk: the notes on the beats, which are judged. `written` is everything that
//! stands on the page, rests too, bar by bar as played, in ticks of which a quarter note has
//! 6720. `role` is `"walk"` (with the number of its `note`, from 1), `"pushed"` (the next beat's
//! note, early), `"held"` (tied from the note before), `"between"` (with the name of what it
//! does `between` the beats), `"no chord"` or `"rest"`; `tied` tells that it is held on.
//!
//! With the chart and the style, an object holds all that is needed to make its line again:
//! `made_by`, the `key` that the chart was moved to, how many `choruses`, the `instrument`,
//! the `range`, and the `tempo_bpm` at the beginning, which was set for the whole piece where
//! all bars have it. `style_hash` is that of the style with this instrument and range.
//!
//! [`json_schema`] says all this, and the same of every other text, as a JSON Schema.
//!
//! [`read`] takes a line back: `bars`, `written` (or `notes`, where there is no `written`) and
//! what it was made from. Where the `midi` of a note is not that of its `name`, the name counts.
//!
//! A later version may add keys; it counts `version` up when it changes the name or the meaning
//! of a key. Version 2 put the units into the names: `tempo_bpm` was `tempo`,
//! `tension_thousandths` was `tension`, `strength_thousandths` was `strength`, `centre_midi` was
//! `centre`, `length_ticks` was `ticks`, and in variations `least_distance_notes` was
//! `least_distance`; marks have their `line`, and a line tells its `composer` and `student`.
//! Version 1 is read as well.

mod at_most;
mod class;
mod explained;
mod from_line;
mod learned;
mod line;
mod made_by;
mod marked;
mod profiled;
mod read;
mod schema;
#[cfg(test)]
mod tests;
mod varied;

use linewright_compose::Line;
use serde::Serialize;

use line::LineText;

pub use class::class;
pub use explained::explained;
pub use learned::learned;
pub use marked::marked;
pub(crate) use profiled::{Plain, millibits, name as measure_name, plain};
pub use profiled::{compared, profiled};
pub use read::{MAX_BYTES, read};
pub use schema::json_schema;
pub use varied::{ordered, varied};

/// What the key `format` says.
pub const FORMAT: &str = "linewright line";

/// What the key `version` says.
pub const VERSION: u32 = 2;

/// The JSON text of some lines: an object for one line, an array for any other number.
/// Ends with a line break.
pub fn text(lines: &[Line]) -> String {
    let objects: Vec<LineText> = lines.iter().map(LineText::of).collect();
    match objects.as_slice() {
        [one] => pretty(one),
        many => pretty(many),
    }
}

fn pretty<T: Serialize + ?Sized>(value: &T) -> String {
    // Numbers, texts and lists in structs: there is nothing here that JSON cannot hold.
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
