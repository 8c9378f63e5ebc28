//! How far learning has come, and whether it goes on.

use super::LearnError;

/// What is being done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Weights are fitted to all lines.
    Fitting,
    /// Weights are fitted to some lines and tried on others.
    HoldingOut,
    /// Bars are weighed against the notes around them.
    Listening,
    /// What the rulebook does not hear is counted.
    Doubting,
    /// Lines are composed, to count them beside those that were learned from.
    Composing,
}

/// How far learning has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// What is being done.
    pub stage: Stage,
    /// How many parts are done.
    pub done: usize,
    /// How many there are.
    pub of: usize,
}

/// Tells progress, and asks whether to go on.
pub(super) struct Teller<'a> {
    tell: &'a mut dyn FnMut(Progress) -> bool,
    now: Progress,
}

impl<'a> Teller<'a> {
    pub(super) fn new(of: usize, tell: &'a mut dyn FnMut(Progress) -> bool) -> Self {
        let (stage, done) = (Stage::Fitting, 0);
        let now = Progress { stage, done, of };
        Self { tell, now }
    }

    /// Asks whether to go on with the part at hand.
    pub(super) fn go_on(&mut self) -> Result<(), LearnError> {
        match (self.tell)(self.now) {
            true => Ok(()),
            false => Err(LearnError::Stopped),
        }
    }

    /// Begins with a stage.
    pub(super) fn begin(&mut self, stage: Stage) -> Result<(), LearnError> {
        self.now.stage = stage;
        self.go_on()
    }

    /// A part is done.
    pub(super) fn done(&mut self) -> Result<(), LearnError> {
        self.now.done += 1;
        self.go_on()
    }
}
