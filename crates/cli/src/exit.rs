//! How the program ends: exit codes, and errors told to people.

use std::fmt::Display;
use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser as _;
use clap::builder::StyledStr;
use clap::error::{ContextKind, ContextValue, ErrorKind};
use linewright::TuneError;
use linewright::diagnostic::clean::{tame, tame_lines};
use linewright::diagnostic::nearest;

use crate::args::Arguments;

/// What the help says of exit codes.
pub const CODES: &str = "\
Exit codes:
  0  all is well (also when whoever reads the output stops reading)
  1  no line is possible within the style's limits
  2  the command was not understood, or asks for more than fits into memory
  3  something is wrong in the chart
  4  something is wrong in the style
  5  something cannot be read
  6  something cannot be written, or would be overwritten
  7  something is wrong in a given line
  128 and more: stopped by a signal (130 by Ctrl-C); files that are done stay, whole";

/// Why the program stops.
#[derive(Debug)]
pub struct Failure {
    code: u8,
    message: String,
    /// The reader of our output is gone; there is nobody to tell.
    quiet: bool,
}

impl Failure {
    fn new(code: u8, message: impl Display) -> Self {
        Self {
            code,
            message: message.to_string(),
            quiet: false,
        }
    }

    /// No line is possible.
    pub fn no_line(message: impl Display) -> Self {
        Self::new(1, message)
    }

    /// The command was not understood.
    pub fn usage(message: impl Display) -> Self {
        Self::new(2, message)
    }

    /// Something is wrong in the chart.
    pub fn chart(message: impl Display) -> Self {
        Self::new(3, message)
    }

    /// Something is wrong in the style.
    pub fn style(message: impl Display) -> Self {
        Self::new(4, message)
    }

    /// A chart cannot be played as was asked for.
    pub fn tune(error: TuneError) -> Self {
        match error {
            TuneError::Chart(faults) => Self::usage(faults),
            TuneError::Style(fault) => Self::style(fault),
        }
    }

    /// Something cannot be read.
    pub fn read(message: impl Display) -> Self {
        Self::new(5, message)
    }

    /// Something is wrong in a given line.
    pub fn line(message: impl Display) -> Self {
        Self::new(7, message)
    }

    /// Something cannot be written.
    pub fn write(message: impl Display) -> Self {
        Self::new(6, message)
    }

    /// The output cannot be written; quiet where its reader has just stopped reading.
    pub fn output(error: &io::Error) -> Self {
        if error.kind() == io::ErrorKind::BrokenPipe {
            return Self {
                code: 0,
                message: String::new(),
                quiet: true,
            };
        }
        Self::write(format!("the output cannot be written: {error}"))
    }

    /// Whether the reader of our output is gone.
    pub fn is_quiet(&self) -> bool {
        self.quiet
    }

    /// What is wrong, without the hint.
    pub fn in_short(&self) -> &str {
        self.message.lines().next().unwrap_or_default()
    }

    /// Tells the user, and gives the exit code.
    pub fn report(&self) -> ExitCode {
        if !self.quiet {
            // When even this cannot be said, the exit code still says it.
            let _ = writeln!(io::stderr(), "linewright: {}", tame_lines(&self.message));
        }
        ExitCode::from(self.code)
    }
}

/// The arguments, or what the parser has to say: help and version, or what is wrong, told without
/// anything that disturbs a terminal.
pub fn arguments() -> Result<Arguments, ExitCode> {
    Arguments::try_parse().map_err(|error| {
        if !error.use_stderr() {
            return match error.print().and_then(|()| io::stdout().flush()) {
                Ok(()) => ExitCode::SUCCESS,
                Err(error) => Failure::output(&error).report(),
            };
        }
        // The error quotes what was typed, in many places: so the same is asked once more of what
        // was typed made safe.
        let safe = std::env::args_os().map(|typed| tame(&typed.to_string_lossy()));
        // Nobody to tell if this fails; the exit code still says it.
        let _ = match Arguments::try_parse_from(safe) {
            Err(mut safe) if safe.kind() == error.kind() => {
                improve(&mut safe);
                safe.print()
            }
            _ => write!(io::stderr(), "{}", tame_lines(&error.to_string())),
        };
        ExitCode::from(2)
    })
}

/// Words that people type for commands, and what they are after.
const OTHER_WORDS: [(&[&str], &str); 4] = [
    (
        &["play", "listen", "hear", "sound"],
        "to hear a line, write it: `linewright compose blues.chart -o line.mid`, or -o line.html for a page that plays",
    ),
    (
        &["generate", "create", "make", "write", "new"],
        "to make a line: `linewright compose blues.chart`",
    ),
    (
        &["analyse", "analyze", "analysis", "check", "read"],
        "to take a line apart: `linewright explain blues.chart line.txt`; to check a chart: `linewright chart blues.chart`",
    ),
    (
        &["permute", "permutations", "shuffle", "reorder"],
        "for every order of some notes: `linewright orders 1-3-5-6`; for other ways through some bars: `linewright vary`",
    ),
];

/// Gives an unknown command or option a tip that helps, or none.
fn improve(error: &mut clap::Error) {
    match error.kind() {
        ErrorKind::InvalidSubcommand => {
            let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidSubcommand)
            else {
                return;
            };
            let typed = typed.to_lowercase();
            let meant = OTHER_WORDS
                .iter()
                .find(|(words, _)| words.contains(&&typed[..]));
            if let Some((_, tip)) = meant {
                error.remove(ContextKind::SuggestedSubcommand);
                let tips = vec![StyledStr::from(*tip)];
                error.insert(ContextKind::Suggested, ContextValue::StyledStrs(tips));
            }
        }
        ErrorKind::UnknownArgument => {
            // That an unknown option could be the name of a file helps nobody.
            error.remove(ContextKind::Suggested);
            let Some(ContextValue::String(near)) = error.get(ContextKind::SuggestedArg) else {
                return;
            };
            let Some(ContextValue::String(typed)) = error.get(ContextKind::InvalidArg) else {
                return;
            };
            let name = |text: &str| text.trim_start_matches('-').to_owned();
            if nearest(&name(typed), [&name(near)[..]]).is_none() {
                error.remove(ContextKind::SuggestedArg);
            }
        }
        _ => {}
    }
}
