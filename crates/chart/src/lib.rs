//! Chart text → chart as written → form → unrolled timeline.

mod fault;
mod harmony;
mod infer;
mod metre;
mod print;
mod repeats;
mod source;
mod structure;
mod text;
mod timeline;
mod walk;
mod written;

pub use fault::{Fault, Faults};
pub use harmony::{Harmony, Span};
pub use metre::Metre;
pub use timeline::{Timeline, TimelineBar};
pub use written::{BarLine, Chart, Content, Jump, Until, WrittenBar, WrittenSpan};

/// Most bars of a chart, as written and as played.
pub const MAX_BARS: usize = 4096;

impl Chart {
    /// Reads chart text from the bytes of a file; `source_name` is what faults
    /// call it.
    ///
    /// # Errors
    /// All faults of the text, each with its place and a hint.
    pub fn parse(source_name: &str, bytes: &[u8]) -> Result<Chart, Faults> {
        text::read(source_name, bytes)
    }
}
