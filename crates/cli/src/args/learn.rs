//! The arguments of `linewright learn`.

use std::path::PathBuf;

use clap::Args;

use super::StyleChoice;
use crate::values;

#[derive(Debug, Args)]
pub struct Learn {
    /// A folder of lines with their charts.
    pub folder: PathBuf,

    #[command(flatten)]
    pub style: StyleChoice,

    /// Seed of the draws.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = values::number::<u64, 0, { u64::MAX }>)]
    pub seed: u64,

    /// Lines drawn for each run.
    #[arg(long, default_value_t = 100)]
    pub samples: usize,

    /// Folds.
    #[arg(long, default_value_t = 5)]
    pub folds: usize,

    /// Deviation.
    #[arg(long, default_value_t = 1.0)]
    pub deviation: f64,

    /// Write it to a file.
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,
}
