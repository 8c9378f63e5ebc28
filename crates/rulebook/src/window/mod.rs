//! The windows that rules look through. A rule sees nothing else.

mod bar;
mod interval;
mod note;
mod order;
mod shape;
mod step;

pub use bar::{BarWindow, CellPlace, CellShape, CellWindow, EchoWindow};
pub use interval::{IntervalPlace, IntervalWindow};
pub use note::NoteWindow;
pub use order::{OrderPlace, OrderWindow};
pub use shape::{ShapePlace, ShapeWindow};
pub use step::{StepShape, StepWindow};
