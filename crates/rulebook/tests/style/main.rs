//! Style files: read, extended, checked.

mod any_text;
mod extending;
mod faults;
mod schema;
