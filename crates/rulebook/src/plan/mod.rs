//! The plan: what the line means to do before a note is chosen.
//!
//! form + style + seed → [`Plan`]: the phrases, where each one cadences and
//! how, the wished tension of every bar, the register contour, which bars are
//! meant to be clear and which ambiguous, and the rhythm as a row of
//! [`Slot`]s, one for each note to come. Everything that looks further than a
//! rule's window is decided here, so that search and explanation agree.

mod bar;
mod cadence;
mod dice;
mod draw;
mod figure;
mod ground;
mod infer;
mod phrase;
mod register;
mod slot;

pub use bar::{BarPlan, Clarity, Role};
pub use cadence::Cadence;
pub use dice::{Dice, Purpose};
pub use draw::Plan;
pub use figure::Figure;
pub use ground::{Ground, GroundShape};
pub use infer::{Heard, PhrasePlace};
pub use register::SHIFT_LEAP;
pub use slot::{Beat, BeatOfBar, Onset, Slot};
