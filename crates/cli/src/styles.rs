//! `linewright styles`.

use linewright::style::json_schema;
use linewright::{Library, RULES, style_text};

use crate::args::Styles;
use crate::exit::Failure;
use crate::{output, read};

/// Lists the styles, shows one, or prints the schema.
pub fn run(arguments: &Styles) -> Result<(), Failure> {
    let text = match &arguments.name {
        _ if arguments.schema => json_schema(RULES.iter().map(|rule| rule.name)),
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
