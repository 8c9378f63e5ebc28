//! The road map of a page: the signs of its bars, and the ways on that they open.

use linewright_notation::Measure;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use crate::repeats::Repeat;
use crate::structure::Signs;
use crate::written::{BarLine, Jump, WrittenBar};

/// What stands at one bar of a page for the way through it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct RoadSigns {
    /// A repeat begins before this bar (`|:`).
    pub opens_repeat: bool,
    /// An ending begins with this bar, for these passes; empty when none does.
    pub ending: Vec<u8>,
    /// The goal of a D.S. stands before this bar.
    pub segno: bool,
    /// The coda begins with this bar.
    pub coda: bool,
    /// After this bar, the jump to the coda.
    pub to_coda: bool,
    /// After this bar, the end on the way back.
    pub fine: bool,
    /// After this bar, a jump back.
    pub jump: Option<Jump>,
    /// The bar line after this bar.
    pub right: BarLine,
}

impl RoadSigns {
    pub(crate) fn of(bar: &WrittenBar) -> RoadSigns {
        RoadSigns {
            opens_repeat: bar.opens_repeat,
            ending: bar.ending.clone(),
            segno: bar.segno,
            coda: bar.coda,
            to_coda: bar.to_coda,
            fine: bar.fine,
            jump: bar.jump,
            right: bar.right,
        }
    }

    /// Puts these signs on a measure, in the place of those that it has.
    pub fn put_on(&self, measure: &mut Measure) {
        measure.opens_repeat = self.opens_repeat;
        measure.ending.clone_from(&self.ending);
        measure.segno = self.segno;
        measure.coda = self.coda;
        measure.to_coda = self.to_coda;
        measure.fine = self.fine;
        measure.jump = self.jump;
        measure.right = self.right;
    }

    /// Whether the way through the page is another one than straight on because of this bar.
    pub fn turns(&self) -> bool {
        matches!(self.right, BarLine::Repeat(_)) || self.jump.is_some()
    }
}

/// A way on from a bar. Of several that are open the first one in this order is taken.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Way {
    /// Past an ending that begins with this bar, which is not played: open on all passes but
    /// these.
    Past(Vec<u8>),
    /// From `(to coda)` to the coda.
    ToCoda,
    /// From `(fine)` to the end.
    Fine,
    /// From a D.C. or D.S. to its goal.
    Jump,
    /// From `:|` to where its repeat begins.
    Again,
    /// To the next bar, or from the last one to the end.
    On,
}

/// The bars of a page as nodes, by their indices, and the end after them; the ways on as edges.
pub(crate) struct Road(DiGraph<(), Way>);

impl Road {
    pub(crate) fn new(bars: &[WrittenBar], repeats: &[Repeat], signs: &Signs) -> Road {
        let mut graph = DiGraph::with_capacity(bars.len() + 1, 2 * bars.len());
        for _ in 0..=bars.len() {
            graph.add_node(());
        }
        let start = usize::from(bars.first().is_some_and(|bar| bar.pickup));
        let mut lay = |from: usize, to: usize, way: Way| {
            graph.add_edge(NodeIndex::new(from), NodeIndex::new(to), way);
        };
        for (at, bar) in bars.iter().enumerate() {
            lay(at, at + 1, Way::On);
            if let Some(jump) = bar.jump {
                let goal = signs.segno.filter(|_| jump.to_segno).unwrap_or(start);
                lay(at, goal, Way::Jump);
            }
            if bar.fine {
                lay(at, bars.len(), Way::Fine);
            }
            if let (true, Some(coda)) = (bar.to_coda, signs.coda) {
                lay(at, coda, Way::ToCoda);
            }
        }
        for repeat in repeats {
            let members = (repeat.start..).zip(&bars[repeat.start..=repeat.end]);
            for (at, bar) in members {
                if matches!(bar.right, BarLine::Repeat(_)) {
                    lay(at, repeat.start, Way::Again);
                }
            }
            for ending in &repeat.endings {
                let past = Way::Past(ending.passes.clone());
                lay(ending.first, ending.last + 1, past);
            }
        }
        Road(graph)
    }

    /// The first way on from a bar that is open, and the bar it leads to.
    pub(crate) fn from(&self, bar: usize, is_open: impl Fn(&Way) -> bool) -> Option<(&Way, usize)> {
        let ways = self.0.edges(NodeIndex::new(bar));
        ways.filter(|edge| is_open(edge.weight()))
            .map(|edge| (edge.weight(), edge.target().index()))
            .min()
    }
}
