//! The `linewright` command: arguments → meaning → run. Nothing musical is decided here.

mod args;
mod bars;
mod chart;
mod compose;
mod examples;
mod exit;
mod explain;
mod files;
mod given;
mod keys;
mod learn;
mod line_files;
mod mark;
mod memory;
mod orders;
mod output;
mod pages;
mod parallel;
mod profile;
mod progress;
mod read;
mod reports;
mod rules;
mod stop;
mod styles;
mod values;
mod vary;
mod whole;

use std::process::ExitCode;

use args::{Arguments, Command, SchemaOf};
use clap::CommandFactory;
use exit::Failure;
use linewright::RULES;
use linewright::diagnostic::clean::quoted;

fn main() -> ExitCode {
    let arguments = match exit::arguments() {
        Ok(arguments) => arguments,
        Err(ended) => return ended,
    };
    if arguments.quiet {
        output::be_quiet();
    }
    stop::watch();
    let ended = run(arguments.command);
    output::tell(&stop::done());
    match ended {
        Ok(()) => ExitCode::SUCCESS,
        Err(failure) => failure.report(),
    }
}

fn run(command: Command) -> Result<(), Failure> {
    match command {
        Command::Compose(arguments) => compose::run(&arguments),
        Command::Explain(arguments) => explain::run(&arguments),
        Command::Vary(arguments) => vary::run(&arguments),
        Command::Orders(arguments) => orders::run(&arguments),
        Command::Mark(arguments) => mark::run(&arguments),
        Command::Profile(arguments) => profile::run(&arguments),
        Command::Learn(arguments) => learn::run(&arguments),
        Command::Rules(arguments) => rules::run(&arguments),
        Command::Styles(arguments) => styles::run(&arguments),
        Command::Chart(arguments) => chart::run(&arguments),
        Command::Schema { of } => {
            let text = match of {
                SchemaOf::Json => linewright::json::json_schema(),
                SchemaOf::Style => {
                    linewright::style::json_schema(RULES.iter().map(|rule| rule.name))
                }
            };
            output::bytes(text.as_bytes())
        }
        Command::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(shell, &mut Arguments::command(), "linewright", &mut text);
            output::bytes(&text)
        }
        Command::Man { command } => output::bytes(&manual(command.as_deref())?),
    }
}

/// The manual page of the program or of one of its commands, in roff.
fn manual(name: Option<&str>) -> Result<Vec<u8>, Failure> {
    let mut program = Arguments::command();
    program.build();
    let page = match name {
        None => program,
        Some(name) => match program.find_subcommand(name) {
            Some(command) => command.clone(),
            None => {
                let names: Vec<&str> = program
                    .get_subcommands()
                    .map(clap::Command::get_name)
                    .collect();
                return Err(Failure::usage(format!(
                    "there is no command called {}\n  hint: the commands are {}",
                    quoted(name),
                    names.join(", ")
                )));
            }
        },
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page)
        .render(&mut text)
        .map_err(|error| Failure::output(&error))?;
    Ok(text)
}
