//! What holds of the whole rulebook. Each rule's own tests stand in its file.

mod bar_table;
mod cells;
mod clarity;
mod markdown;
mod possible;
mod random;
mod reading;
mod rules;
