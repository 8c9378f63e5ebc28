//! Repeats and their endings, found among the bars of the page.

use crate::structure::{Sign, Trouble};
use crate::written::{BarLine, WrittenBar};

/// A stretch of bars that is played several times.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Repeat {
    /// Index of the first bar.
    pub start: usize,
    /// How often it is played in all.
    pub passes: u8,
    /// Its endings in the order of the page; empty when there are none.
    pub endings: Vec<Ending>,
    /// Index of the last bar that belongs to it.
    pub end: usize,
}

impl Repeat {
    /// The ending that holds this bar.
    pub(crate) fn ending_at(&self, bar: usize) -> Option<&Ending> {
        self.endings
            .iter()
            .find(|ending| (ending.first..=ending.last).contains(&bar))
    }
}

/// One ending of a repeat.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Ending {
    /// Index of its first bar.
    pub first: usize,
    /// Index of its last bar; its first when no `:|` closes it.
    pub last: usize,
    /// The passes on which it is played, ascending.
    pub passes: Vec<u8>,
    /// A `:|` closes it.
    pub closed: bool,
}

impl Ending {
    fn name(&self) -> String {
        let passes: Vec<String> = self.passes.iter().map(u8::to_string).collect();
        format!("ending {}", passes.join(","))
    }
}

/// The repeat that is being read.
struct Open {
    start: usize,
    /// A `|:` began it.
    signed: bool,
    endings: Vec<Ending>,
    /// A fault of its endings was noted already.
    faulty: bool,
}

/// Finds all repeats, in the order of the page, and notes what does not fit.
pub(crate) fn find(bars: &[WrittenBar], troubles: &mut Vec<Trouble>) -> Vec<Repeat> {
    let mut finder = Finder {
        bars,
        found: Vec::new(),
        open: None,
        between: false,
        troubles,
    };
    for index in 0..bars.len() {
        finder.bar(index);
    }
    finder.finish();
    finder.found
}

struct Finder<'a> {
    bars: &'a [WrittenBar],
    found: Vec<Repeat>,
    open: Option<Open>,
    /// The bar before closed an ending, so that the next may follow.
    between: bool,
    troubles: &'a mut Vec<Trouble>,
}

impl Finder<'_> {
    fn trouble(&mut self, bar: usize, sign: Sign, message: impl Into<String>, hint: &str) {
        self.troubles.push(Trouble::new(bar, sign, message, hint));
    }

    fn bar(&mut self, index: usize) {
        let bar = &self.bars[index];
        let between = std::mem::take(&mut self.between);
        if bar.opens_repeat {
            self.begin(index);
        } else if between && bar.ending.is_empty() {
            self.finish();
        }
        if !bar.ending.is_empty() {
            self.ending(index, between && !bar.opens_repeat);
        }
        if let BarLine::Repeat(passes) = bar.right {
            self.close(index, passes);
        }
    }

    fn begin(&mut self, index: usize) {
        match &self.open {
            Some(open) if open.signed && open.endings.is_empty() => {
                let number = self.bars[open.start].number;
                self.trouble(
                    index,
                    Sign::Open,
                    format!("a repeat begins inside the repeat that began at bar {number}"),
                    "repeats do not nest: close the first with `:|`, or write its bars out",
                );
            }
            _ => {
                self.finish();
                self.open = Some(Open {
                    start: index,
                    signed: true,
                    endings: Vec::new(),
                    faulty: false,
                });
            }
        }
    }

    /// The start of a repeat that no `|:` begins: bar 1, when no other repeat
    /// came before.
    fn unsigned(&mut self) -> Option<Open> {
        let start = usize::from(self.bars[0].pickup);
        self.found.is_empty().then_some(Open {
            start,
            signed: false,
            endings: Vec::new(),
            faulty: false,
        })
    }

    fn ending(&mut self, index: usize, follows: bool) {
        if self.open.is_none() {
            self.open = self.unsigned();
        }
        let passes = self.bars[index].ending.clone();
        let ending = Ending {
            first: index,
            last: index,
            passes,
            closed: false,
        };
        let name = ending.name();
        let Some(open) = &mut self.open else {
            self.trouble(
                index,
                Sign::Ending,
                format!("{name} belongs to no repeat"),
                "begin the repeat with `|:`",
            );
            return;
        };
        let first = open.endings.is_empty();
        let lacks_pass_1 = first && !ending.passes.contains(&1);
        open.endings.push(ending);
        open.faulty |= lacks_pass_1 || (!first && !follows);
        if lacks_pass_1 {
            self.trouble(
                index,
                Sign::Ending,
                format!("{name} comes first"),
                "begin with the ending for the first pass, `1.`",
            );
        } else if !first && !follows {
            self.trouble(
                index,
                Sign::Ending,
                format!("{name} does not follow the end of another ending"),
                "close the ending before with `:|`, or begin a new repeat with `|:`",
            );
        }
    }

    fn close(&mut self, index: usize, passes: u8) {
        if self.open.is_none() {
            self.open = self.unsigned();
        }
        let Some(open) = &mut self.open else {
            self.trouble(
                index,
                Sign::Close,
                "a repeat ends here, but none began since the last one ended",
                "write `|:` where it begins",
            );
            return;
        };
        if let Some(ending) = open.endings.last_mut() {
            ending.last = index;
            ending.closed = true;
            self.between = true;
            if passes != 2 {
                self.trouble(
                    index,
                    Sign::Close,
                    "a repeat with endings cannot have a count too",
                    "name the passes at the endings, for example `1,2.` and `3.`",
                );
            }
        } else {
            self.found.push(Repeat {
                start: open.start,
                passes,
                endings: Vec::new(),
                end: index,
            });
            self.open = None;
        }
    }

    /// Ends the repeat that is being read, which has no further bars.
    fn finish(&mut self) {
        self.between = false;
        let Some(open) = self.open.take() else { return };
        let Some(last) = open.endings.last() else {
            self.trouble(
                open.start,
                Sign::Open,
                "the repeat that begins here never ends",
                "write `:|` where it ends",
            );
            return;
        };
        let total = passes_of(&open.endings);
        let end = last.last;
        if !open.faulty && self.check_passes(&open.endings, total) {
            self.check_closings(&open.endings, total);
        }
        self.found.push(Repeat {
            start: open.start,
            passes: total,
            endings: open.endings,
            end,
        });
    }

    /// Notes a fault for the first pass that does not have exactly one ending;
    /// `true` when all have.
    fn check_passes(&mut self, endings: &[Ending], total: u8) -> bool {
        for pass in 1..=total {
            let mut owners = endings.iter().filter(|e| e.passes.contains(&pass));
            let (place, count) = match (owners.next(), owners.next()) {
                (Some(_), None) => continue,
                (None, _) => (endings[0].first, "no ending"),
                (_, Some(second)) => (second.first, "two endings"),
            };
            self.trouble(
                place,
                Sign::Ending,
                format!("pass {pass} of this repeat has {count}"),
                "name every pass at one of the endings",
            );
            return false;
        }
        true
    }

    /// Endings go back as long as a pass is left, and only so long.
    fn check_closings(&mut self, endings: &[Ending], total: u8) {
        for (index, ending) in endings.iter().enumerate() {
            let last = index + 1 == endings.len();
            let goes_back = ending.passes.iter().any(|pass| *pass < total);
            let name = ending.name();
            if total == 1 {
                self.trouble(
                    ending.first,
                    Sign::Ending,
                    "there is a first ending and no second",
                    "write the second ending after it: `:|2.`",
                );
            } else if goes_back && !ending.closed {
                self.trouble(
                    ending.first,
                    Sign::Ending,
                    format!("{name} is not closed, though a pass is left to play"),
                    "close it with `:|`",
                );
            } else if !goes_back && ending.closed && last {
                self.trouble(
                    ending.last,
                    Sign::Close,
                    format!("{name} is the last, so nothing goes back from here"),
                    "end it with `||` instead of `:|`, or begin the new repeat with `|:`",
                );
            }
        }
    }
}

fn passes_of(endings: &[Ending]) -> u8 {
    let all = endings.iter().flat_map(|ending| &ending.passes);
    all.copied().max().unwrap_or(1)
}
