//! Tests of rules, by the windows that they look through.

use crate::rule::{
    BarTest, CellTest, EchoTest, IntervalTest, Look, NoteTest, OrderTest, ShapeTest, StepTest,
};

/// Tests by the windows that they look through, each with what belongs to it.
#[derive(Clone, Debug)]
pub(crate) struct ByLook<T> {
    pub note: Vec<(NoteTest, T)>,
    pub interval: Vec<(IntervalTest, T)>,
    pub step: Vec<(StepTest, T)>,
    pub shape: Vec<(ShapeTest, T)>,
    pub order: Vec<(OrderTest, T)>,
    pub cell: Vec<(CellTest, T)>,
    pub bar: Vec<(BarTest, T)>,
    pub echo: Vec<(EchoTest, T)>,
}

impl<T> FromIterator<(Look, T)> for ByLook<T> {
    fn from_iter<I: IntoIterator<Item = (Look, T)>>(looks: I) -> Self {
        let mut all = Self {
            note: Vec::new(),
            interval: Vec::new(),
            step: Vec::new(),
            shape: Vec::new(),
            order: Vec::new(),
            cell: Vec::new(),
            bar: Vec::new(),
            echo: Vec::new(),
        };
        for (look, with) in looks {
            match look {
                Look::Note(test) => all.note.push((test, with)),
                Look::Interval(test) => all.interval.push((test, with)),
                Look::Step(test) => all.step.push((test, with)),
                Look::Shape(test) => all.shape.push((test, with)),
                Look::Order(test) => all.order.push((test, with)),
                Look::Cell(test) => all.cell.push((test, with)),
                Look::Bar(test) => all.bar.push((test, with)),
                Look::Echo(test) => all.echo.push((test, with)),
            }
        }
        all
    }
}
