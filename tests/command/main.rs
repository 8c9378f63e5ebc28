//! The `linewright` command from outside: what it prints, writes and refuses.

mod as_typed;
mod chart;
mod compose;
mod explain;
mod faults;
mod files;
mod given_files;
mod help;
mod json_schema;
mod lead_sheets;
mod learn;
mod lists;
mod mark;
mod mark_class;
mod monday;
mod orders;
mod profile;
mod remake;
mod run;
mod stopped;
mod vary;
