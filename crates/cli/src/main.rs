//! The `linewright` command.
fn main() {}
