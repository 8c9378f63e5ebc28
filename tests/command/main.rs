//! The `linewright` command from outside: what it prints, writes and refuses.

mod chart;
mod compose;
mod faults;
mod files;
mod help;
mod lists;
mod remake;
mod run;
