//! Reading what was written, what others wrote, and what nobody should have.

mod foreign;
mod hostile;
mod round;
