//! The rules, a folder for each part of the craft and a file for each rule.

pub mod approach;
pub mod arrival;
pub mod cadence;
pub mod clarity;
pub mod melody;
pub mod order;
pub mod register;
pub mod tone;
