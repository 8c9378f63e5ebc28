//! `linewright-workshop [COMMAND] [ARGUMENTS]`: what developers ask of the whole house. A number,
//! or nothing, surveys lines.

mod command;

use std::process::ExitCode;

fn main() -> ExitCode {
    match command::run(std::env::args().skip(1).collect()) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(message) => {
            eprintln!("{message}");
            ExitCode::from(2)
        }
    }
}
