//! The commands, one a file: add a file, and a line to the table.

mod count;
mod lines;
mod pages;
mod practice;

use linewright_compose::Composer;
use linewright_rulebook::style::Library;

/// Something that can be asked.
struct Command {
    name: &'static str,
    /// What stands after the name.
    arguments: &'static str,
    /// What it does, in a sentence.
    about: &'static str,
    /// Prints what is found; whether that is as it should be.
    ///
    /// # Errors
    /// What is wrong with the arguments.
    run: fn(Vec<String>) -> Result<bool, String>,
}

/// Every command; the first is meant where none is named.
const COMMANDS: &[Command] = &[
    lines::COMMAND,
    practice::COMMAND,
    pages::COMMAND,
    count::COMMAND,
];

/// Runs the command that the arguments name.
pub fn run(mut arguments: Vec<String>) -> Result<bool, String> {
    let first = arguments.first().map_or("", String::as_str);
    let named = COMMANDS.iter().find(|command| command.name == first);
    match named {
        Some(command) => {
            arguments.remove(0);
            (command.run)(arguments)
        }
        None if first.chars().all(|c| c.is_ascii_digit()) => (COMMANDS[0].run)(arguments),
        None => Err(usage()),
    }
}

fn usage() -> String {
    COMMANDS.iter().map(usage_of).collect()
}

/// How one command is asked.
fn usage_of(command: &Command) -> String {
    let Command {
        name,
        arguments,
        about,
        ..
    } = command;
    format!("linewright-workshop {name} {arguments}\n    {about}\n")
}

/// The composers of these styles, or of all that are shipped.
fn composers(mut styles: Vec<String>) -> Result<Vec<(String, Composer)>, String> {
    if styles.is_empty() {
        styles = Library::builtin_names().map(str::to_owned).collect();
    }
    let library = Library::builtin();
    let composer = |name: String| {
        let composer = library.style(&name).and_then(Composer::new);
        Ok((name, composer.map_err(|e| e.to_string())?))
    };
    styles.into_iter().map(composer).collect()
}

fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, usize::from)
}
