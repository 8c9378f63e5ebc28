//! `linewright styles`.

use linewright::{Library, style_text};

use crate::args::Styles;
use crate::exit::Failure;
use crate::{output, read};

/// Lists the styles, or shows one.
pub fn run(arguments: &Styles) -> Result<(), Failure> {
    let text = match &arguments.name {
        Some(name) => style_text(&read::style(name)?),
        None => list()?,
    };
    output::bytes(text.as_bytes())
}

fn list() -> Result<String, Failure> {
    let library = Library::builtin();
    let mut text = String::new();
    for name in Library::builtin_names() {
        let style = library.style(name).map_err(Failure::style)?;
        text.push_str(&format!("{name:14} {}\n", style.description));
    }
    Ok(text)
}
