//! The arguments of the command.

mod common;
mod learn;
mod profile;
mod sheet;

use std::ops::RangeInclusive;
use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use linewright::study::vary::{STRATEGIES, Strategy};
use linewright::{Bass, Fit, Key, Pitch, Setting};

use crate::exit::Failure;
use crate::keys::AskedKey;
use crate::values::{self, Transposition};
use crate::{examples, exit};

pub use common::{ChartGiven, ChartPart, Colours, Files, Look, StyleChoice};
pub use learn::Learn;
pub use profile::Profile;
pub use sheet::{Sheet, SheetPaper, SheetTheme, UnderNotes, YesNo};

/// Composes walking bass lines over a chord chart, and says why every note is there.
#[derive(Debug, Parser)]
#[command(
    name = "linewright",
    version,
    max_term_width = 100,
    after_help = examples::PROGRAM,
    after_long_help = format!("{}\n\n{}", examples::PROGRAM, exit::CODES)
)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,

    /// Print nothing but errors.
    #[arg(long, short, global = true)]
    pub quiet: bool,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Compose lines over a chart: prints them, and writes them to files.
    Compose(Box<Compose>),
    /// Explain a line that somebody wrote: every note, every bar, where it cadences.
    Explain(Explain),
    /// Find other ways through a passage.
    Vary(Box<Vary>),
    /// List every order (permutation) of the notes of a cell, ranked.
    Orders(Orders),
    /// Mark a line that somebody wrote, or a folder of them.
    Mark(Box<Mark>),
    /// Count what lines are like: degrees, moves, cadences, range; and compare lines with others.
    Profile(Profile),
    /// Learn a style from lines that somebody played.
    Learn(Learn),
    /// List the rules that lines are chosen and explained by, or show one.
    Rules(Rules),
    /// List the styles that ship with the program, or show one in full.
    Styles(Styles),
    /// Check a chart, print it tidily, transpose it, or show the bars as played.
    Chart(Chart),
    /// Print the JSON Schema of the JSON texts that are written, or of a style file.
    #[command(after_help = examples::SCHEMA)]
    Schema {
        /// Of what.
        of: SchemaOf,
    },
    /// Print a script that completes commands and options in a shell.
    #[command(after_help = examples::COMPLETIONS)]
    Completions {
        /// The shell.
        shell: clap_complete::Shell,
    },
    /// Print the manual page of the program, or of one of its commands.
    #[command(after_help = examples::MAN)]
    Man {
        /// The command.
        command: Option<String>,
    },
}

/// What there is a schema of.
#[derive(Copy, Clone, Debug, clap::ValueEnum)]
pub enum SchemaOf {
    /// The texts that the commands write to .json files.
    Json,
    /// A style file, for editors that check TOML as it is typed.
    Style,
}

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::COMPOSE), after_long_help = examples::COMPOSE)]
pub struct Compose {
    #[command(flatten)]
    pub chart: ChartGiven,

    #[command(flatten)]
    pub style: StyleChoice,

    #[command(flatten)]
    pub files: Files,

    #[command(flatten, next_help_heading = "Which lines")]
    pub choice: ChoiceArguments,

    #[command(flatten, next_help_heading = "How it is played")]
    pub playing: Playing,

    #[command(flatten, next_help_heading = "What the page shows")]
    pub page: Page,

    /// How many threads compose; as many as there are processors when not given, and fewer
    /// for very long pieces. The lines do not depend on it.
    #[arg(long, value_name = "N", value_parser = values::number::<u16, 1, 256>, hide_short_help = true)]
    pub threads: Option<u16>,

    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, Args)]
pub struct ChoiceArguments {
    /// The seed: another one, another line.
    ///
    /// The same chart, style, options and seed always give the same lines.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = values::number::<u64, 0, { u64::MAX }>)]
    pub seed: u64,

    /// How many lines.
    #[arg(long, short = 'n', value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = values::number::<u16, 1, 1000>)]
    pub lines: u16,

    /// Begin with this line of the seed.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = values::number::<u64, 1, 1_000_000_000>, conflicts_with = "ranked", hide_short_help = true)]
    pub nth: u64,

    /// Take the best line under its plan, instead of drawing one.
    #[arg(long)]
    pub best: bool,

    /// Print the best lines under one plan, best first; as many as --lines says.
    #[arg(long, conflicts_with_all = ["best", "bold"], hide_short_help = true)]
    pub ranked: bool,

    /// How bold the lines are, in points: 0.3 is tame, 1 is wild.
    ///
    /// The `temperature` of the style when not given.
    #[arg(long, alias = "temperature", value_name = "POINTS", allow_negative_numbers = true, value_parser = values::temperature, conflicts_with = "best")]
    pub bold: Option<u32>,
}

#[derive(Debug, Args)]
pub struct Playing {
    /// How many times the form is played.
    #[arg(long, short, value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = values::number::<u16, 1, 4096>)]
    pub choruses: u16,

    /// Move the chart to a key.
    ///
    /// Major and minor stay as they are: a tonic alone will do.
    #[arg(long, short, value_name = "KEY", value_parser = AskedKey::read)]
    pub key: Option<AskedKey>,

    /// One tempo for the whole piece, in quarter notes a minute.
    #[arg(long, short, value_name = "BPM", allow_negative_numbers = true, value_parser = values::number::<u16, 20, 400>)]
    pub tempo: Option<u16>,

    /// The instrument: its sound, and no note beyond its reach.
    #[arg(long, short, hide_short_help = true)]
    pub instrument: Option<Instrument>,

    /// The lowest note as it sounds: E1 is the open E string.
    #[arg(long, value_name = "NOTE", value_parser = values::note, hide_short_help = true)]
    pub low: Option<Pitch>,

    /// The highest note as it sounds: G2 is the open G string.
    #[arg(long, value_name = "NOTE", value_parser = values::note, hide_short_help = true)]
    pub high: Option<Pitch>,
}

impl Playing {
    /// What to change of the style.
    pub fn fit(&self) -> Fit {
        Fit {
            bass: self.instrument.map(|instrument| instrument.bass()),
            low: self.low,
            high: self.high,
        }
    }

    /// How a chart is to be played.
    pub fn setting(&self, chart: &linewright::Chart) -> Result<Setting, Failure> {
        Ok(Setting {
            key: AskedKey::of_any(self.key, chart)?,
            tempo: self.tempo,
            choruses: self.choruses.into(),
        })
    }
}

#[derive(Debug, Args)]
pub struct Page {
    /// Show these bars only, counted as played.
    ///
    /// Files other than .txt hold all of them.
    #[arg(long, short, value_name = "M-N", value_parser = values::bars)]
    pub bars: Option<RangeInclusive<usize>>,

    /// Leave out the plan: what every bar was meant to do, and what it does.
    #[arg(long, hide_short_help = true)]
    pub no_plan: bool,

    /// Add the reasons: the points of every rule, adding up to the score.
    #[arg(long, short)]
    pub reasons: bool,

    #[command(flatten)]
    pub look: Look,
}

#[derive(Copy, Clone, Debug, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// Where the output is a terminal.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// A bass.
#[derive(Copy, Clone, Debug, PartialEq, Eq, ValueEnum)]
pub enum Instrument {
    /// Double bass with four strings.
    DoubleBass,
    /// Double bass with an extension of the lowest string down to C.
    DoubleBassLowC,
    /// Double bass with five strings, the lowest B.
    DoubleBassFive,
    /// Bass guitar with four strings and 20 frets, played with the fingers.
    BassGuitar,
    /// Bass guitar with five strings, the lowest B.
    BassGuitarFive,
}

impl Instrument {
    /// The instrument that is meant.
    pub fn bass(self) -> Bass {
        match self {
            Instrument::DoubleBass => Bass::Double,
            Instrument::DoubleBassLowC => Bass::DoubleLowC,
            Instrument::DoubleBassFive => Bass::DoubleFive,
            Instrument::BassGuitar => Bass::Guitar,
            Instrument::BassGuitarFive => Bass::GuitarFive,
        }
    }
}

#[derive(Debug, Args)]
pub struct GivenLine {
    /// The chart, where it does not stand first.
    #[arg(long, short = 'C', value_name = "FILE")]
    pub chart: Option<PathBuf>,

    #[command(flatten)]
    pub chart_part: ChartPart,

    #[command(flatten)]
    pub style: StyleChoice,

    /// Which track of a MIDI file, part of a MusicXML file or tune (by its number) of an ABC
    /// file.
    #[arg(long, value_name = "NAME", hide_short_help = true)]
    pub part: Option<String>,

    /// Take the plan from the notes, also where the file tells the plan that it was made by.
    #[arg(long, alias = "infer", hide_short_help = true)]
    pub plan_from_notes: bool,

    /// How many times the form is played; as the line tells when not given.
    #[arg(long, value_name = "N", allow_negative_numbers = true, value_parser = values::number::<u16, 1, 4096>)]
    pub choruses: Option<u16>,

    /// The key that the line is written in, if it is not the chart's own.
    ///
    /// Major and minor stay as they are: a tonic alone will do.
    #[arg(long, value_name = "KEY", value_parser = AskedKey::read)]
    pub line_key: Option<AskedKey>,

    /// One tempo for the whole piece, in quarter notes a minute.
    #[arg(long, short, value_name = "BPM", allow_negative_numbers = true, value_parser = values::number::<u16, 20, 400>)]
    pub tempo: Option<u16>,
}

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::EXPLAIN), after_long_help = examples::EXPLAIN)]
pub struct Explain {
    /// The chart, then the line.
    ///
    /// A line is a text, .mid, .musicxml, .mxl, .abc or .json file, or - for a text on the standard
    /// input. The chart may be given by --chart instead.
    #[arg(value_names = ["CHART", "LINE"], required = true, num_args = 1..=2)]
    pub inputs: Vec<PathBuf>,

    #[command(flatten)]
    pub given: GivenLine,

    #[command(flatten)]
    pub files: Files,

    /// Leave out the table of notes: what each is to its chord, what it does, where it moves.
    #[arg(long)]
    pub brief: bool,

    #[command(flatten, next_help_heading = "What the page shows")]
    pub page: Page,

    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::VARY), after_long_help = format!("{}\n\n{}", strategies(), examples::VARY))]
pub struct Vary {
    #[command(flatten)]
    pub chart: ChartGiven,

    /// The passage: its first and last bar, counted as played.
    ///
    /// Two bars of one chord have most strategies.
    #[arg(long, short, value_name = "M-N", value_parser = values::bars)]
    pub bars: RangeInclusive<usize>,

    /// The line to vary: a file as for `explain`. When not given, a line is composed first.
    #[arg(long, value_name = "FILE")]
    pub line: Option<PathBuf>,

    /// The key that the line is written in, if it is not the chart's own.
    ///
    /// Major and minor stay as they are: a tonic alone will do.
    #[arg(long, value_name = "KEY", value_parser = AskedKey::read, requires = "line", conflicts_with = "key")]
    pub line_key: Option<AskedKey>,

    /// How many answers.
    #[arg(long, short = 'n', value_name = "N", default_value_t = 10, allow_negative_numbers = true, value_parser = values::number::<u16, 1, 100>)]
    pub count: u16,

    /// Only this strategy; `linewright help vary` lists them. Can be given several times.
    #[arg(long, value_name = "NAME", value_parser = values::StrategyName, hide_possible_values = true)]
    pub strategy: Vec<&'static Strategy>,

    /// In how many notes each answer differs at least from the line and from every other.
    ///
    /// Three eighths of the notes, but two at least, when not given.
    #[arg(long, value_name = "NOTES", allow_negative_numbers = true, value_parser = values::number::<u16, 1, 100>)]
    pub distance: Option<u16>,

    #[command(flatten)]
    pub style: StyleChoice,

    #[command(flatten)]
    pub files: Files,

    /// The seed of the line that is composed first.
    #[arg(long, value_name = "N", default_value_t = 1, allow_negative_numbers = true, value_parser = values::number::<u64, 0, { u64::MAX }>)]
    pub seed: u64,

    #[command(flatten, next_help_heading = "How it is played")]
    pub playing: Playing,

    #[command(flatten)]
    pub look: Look,

    #[command(flatten)]
    pub sheet: Sheet,
}

/// The strategies with their sentences, for the help.
fn strategies() -> String {
    let width = STRATEGIES
        .iter()
        .map(|strategy| strategy.name.len())
        .max()
        .unwrap_or(0);
    let row = |strategy: &&Strategy| format!("  {:width$}  {}", strategy.name, strategy.sentence);
    let rows: Vec<String> = STRATEGIES.iter().map(row).collect();
    format!("Strategies:\n{}", rows.join("\n"))
}

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::ORDERS), after_long_help = examples::ORDERS)]
pub struct Orders {
    /// The cell: degrees joined by hyphens, such as 1-3-5-6 or 1-b3-5-b7, or note names. A plain
    /// number is the chord's own: 3 over Am7 is C, 7 over F7 is Eb.
    pub cell: String,

    /// The chord that it is played over.
    #[arg(long, value_name = "CHORD", default_value = "C7")]
    pub chord: String,

    /// The key that it is heard in; the major key of the chord's root, or its minor key, when not
    /// given.
    #[arg(long, value_name = "KEY", value_parser = values::key)]
    pub in_key: Option<Key>,

    /// The note before the cell.
    #[arg(long, value_name = "NOTE", value_parser = values::note)]
    pub before: Option<Pitch>,

    /// The note after the cell, on beat one.
    #[arg(long, value_name = "NOTE", value_parser = values::note)]
    pub after: Option<Pitch>,

    /// The chord of the note after the cell; the same chord when not given.
    #[arg(long, value_name = "CHORD", requires = "after")]
    pub next_chord: Option<String>,

    /// List every octave placement of every order, not each order once in its best octaves.
    #[arg(long)]
    pub placements: bool,

    /// How many to list.
    #[arg(long, short = 'n', value_name = "N", default_value_t = 24, allow_negative_numbers = true, value_parser = values::number::<u16, 1, 10_000>)]
    pub count: u16,

    #[command(flatten)]
    pub style: StyleChoice,

    /// The lowest note as it sounds.
    #[arg(long, value_name = "NOTE", value_parser = values::note, hide_short_help = true)]
    pub low: Option<Pitch>,

    /// The highest note as it sounds.
    #[arg(long, value_name = "NOTE", value_parser = values::note, hide_short_help = true)]
    pub high: Option<Pitch>,

    #[command(flatten)]
    pub files: Files,

    #[command(flatten)]
    pub colours: Colours,

    #[command(flatten)]
    pub sheet: Sheet,
}

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::MARK), after_long_help = examples::MARK)]
pub struct Mark {
    /// The chart, then the line or lines; with --chart, lines alone, or folders of them.
    ///
    /// Lines are files as for `explain`. Of a folder every .txt, .mid, .midi, .musicxml, .mxl, .xml,
    /// .abc and .json file is taken. Several are told in a table with a row for each line.
    #[arg(value_names = ["CHART", "LINE"], required = true, num_args = 1..)]
    pub inputs: Vec<PathBuf>,

    #[command(flatten)]
    pub given: GivenLine,

    /// Leave out the nearest line that passes, for a line that does not. For a table alone
    /// it is not looked for.
    #[arg(long, hide_short_help = true)]
    pub no_fix: bool,

    /// How many notes the nearest line that passes may change at most.
    #[arg(long, value_name = "N", default_value_t = 12, conflicts_with = "no_fix", value_parser = values::number::<u8, 1, 99>)]
    pub most_changes: u8,

    #[command(flatten)]
    pub files: Files,

    #[command(flatten, next_help_heading = "What the page shows")]
    pub page: Page,

    #[command(flatten)]
    pub sheet: Sheet,
}

impl Mark {
    /// The most changes with which the nearest line that passes is looked for, if it is.
    pub fn fix(&self) -> Option<usize> {
        (!self.no_fix).then_some(usize::from(self.most_changes))
    }
}

#[derive(Debug, Args)]
#[command(after_help = examples::RULES)]
pub struct Rules {
    /// The rule to show.
    #[arg(value_parser = values::Name(values::rules), hide_possible_values = true)]
    pub name: Option<String>,

    #[command(flatten)]
    pub style: StyleChoice,
}

#[derive(Debug, Args)]
#[command(after_help = examples::STYLES)]
pub struct Styles {
    /// The style to show: a name, or a file that ends with .toml. It is printed with all
    /// that it inherits, as a style file to start your own from.
    #[arg(value_parser = values::Name(values::styles), hide_possible_values = true)]
    pub name: Option<String>,
}

#[derive(Debug, Args)]
#[command(after_help = examples::short(examples::CHART), after_long_help = examples::CHART)]
pub struct Chart {
    #[command(flatten)]
    pub chart: ChartGiven,

    /// Print the chart tidily.
    #[arg(long, short)]
    pub print: bool,

    /// Show the bars as played, with all repeats and jumps carried out.
    #[arg(long, short)]
    pub unroll: bool,

    /// Move the chart to a key, or by so many semitones; prints it when nothing else is
    /// asked for. Major and minor stay as they are: a tonic alone will do.
    #[arg(long, value_name = "KEY|±N", value_parser = values::transposition, allow_hyphen_values = true)]
    pub transpose: Option<Transposition>,
}
