//! Whether the signs of a chart fit together.

use linewright_diagnostic::Diagnostic;

use crate::written::{BarLine, Until, WrittenBar};

/// Which sign of a bar a remark is about.
#[derive(Copy, Clone, PartialEq, Eq, Debug)]
pub(crate) enum Sign {
    Bar,
    Open,
    Close,
    Ending,
    Segno,
    Coda,
    ToCoda,
    Fine,
    Jump,
}

/// Where the signs of a bar stand in the text, as byte offsets; a sign that is
/// not there has the place of the bar or 0.
#[derive(Copy, Clone, Default, Debug)]
pub(crate) struct Places {
    pub bar: usize,
    pub open: usize,
    pub close: usize,
    pub ending: usize,
    pub segno: usize,
    pub coda: usize,
    pub to_coda: usize,
    pub fine: usize,
    pub jump: usize,
}

impl Places {
    pub(crate) fn of(&self, sign: Sign) -> usize {
        match sign {
            Sign::Bar => self.bar,
            Sign::Open => self.open,
            Sign::Close => self.close,
            Sign::Ending => self.ending,
            Sign::Segno => self.segno,
            Sign::Coda => self.coda,
            Sign::ToCoda => self.to_coda,
            Sign::Fine => self.fine,
            Sign::Jump => self.jump,
        }
    }
}

/// Something about the road map that cannot be played.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Trouble {
    /// Index of the bar.
    pub bar: usize,
    pub sign: Sign,
    pub what: Diagnostic,
}

impl Trouble {
    pub(crate) fn new(
        bar: usize,
        sign: Sign,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Trouble {
        Trouble {
            bar,
            sign,
            what: Diagnostic::error(message, hint),
        }
    }
}

/// The bars that carry the signs of a da capo or dal segno.
#[derive(Default)]
pub(crate) struct Signs {
    pub segno: Option<usize>,
    pub coda: Option<usize>,
    to_coda: Option<usize>,
    fine: Option<usize>,
}

/// Finds the signs, and notes what is missing, doubled or without use.
pub(crate) fn signs(bars: &[WrittenBar], troubles: &mut Vec<Trouble>) -> Signs {
    let mut only = |sign, name: &str, has: fn(&WrittenBar) -> bool| {
        let mut found = (0..bars.len()).filter(|index| has(&bars[*index]));
        let first = found.next();
        for second in found {
            troubles.push(Trouble::new(
                second,
                sign,
                format!("`({name})` stands a second time"),
                "a chart has one of each sign: leave one of them out",
            ));
        }
        first
    };
    let signs = Signs {
        segno: only(Sign::Segno, "segno", |bar| bar.segno),
        coda: only(Sign::Coda, "coda", |bar| bar.coda),
        to_coda: only(Sign::ToCoda, "to coda", |bar| bar.to_coda),
        fine: only(Sign::Fine, "fine", |bar| bar.fine),
    };
    missing(bars, &signs, troubles);
    unused(bars, &signs, troubles);
    pickup(bars, troubles);
    signs
}

/// Jumps that need a sign which is not there.
fn missing(bars: &[WrittenBar], signs: &Signs, troubles: &mut Vec<Trouble>) {
    for (index, bar) in bars.iter().enumerate() {
        let Some(jump) = bar.jump else { continue };
        let needs = [
            (jump.to_segno && signs.segno.is_none(), "segno"),
            (jump.until == Until::Fine && signs.fine.is_none(), "fine"),
            (
                jump.until == Until::Coda && signs.to_coda.is_none(),
                "to coda",
            ),
            (jump.until == Until::Coda && signs.coda.is_none(), "coda"),
        ];
        for (lacks, name) in needs {
            if lacks {
                troubles.push(Trouble::new(
                    index,
                    Sign::Jump,
                    format!("`({jump})` needs a `({name})`, and the chart has none"),
                    format!("write `({name})` in the bar that is meant"),
                ));
            }
        }
    }
}

/// Signs that no jump uses.
fn unused(bars: &[WrittenBar], signs: &Signs, troubles: &mut Vec<Trouble>) {
    let jumps = || bars.iter().filter_map(|bar| bar.jump);
    let last = bars.len().saturating_sub(1);
    let al_coda = jumps().any(|jump| jump.until == Until::Coda);
    let unused = [
        (
            signs.segno.filter(|_| !jumps().any(|jump| jump.to_segno)),
            Sign::Segno,
            "segno",
            "D.S.",
        ),
        (
            signs.coda.filter(|_| !al_coda),
            Sign::Coda,
            "coda",
            "D.S. al coda",
        ),
        (
            signs.to_coda.filter(|_| !al_coda),
            Sign::ToCoda,
            "to coda",
            "D.S. al coda",
        ),
        (
            signs
                .fine
                .filter(|at| *at != last && jumps().next().is_none()),
            Sign::Fine,
            "fine",
            "D.C. al fine",
        ),
    ];
    for (found, sign, name, jump) in unused {
        if let Some(at) = found {
            troubles.push(Trouble::new(
                at,
                sign,
                format!("`({name})` is never used, since no jump calls for it"),
                format!("write the jump, for example `({jump})`, or leave `({name})` out"),
            ));
        }
    }
}

/// A pick-up bar is played once, so that nothing may go back to it.
fn pickup(bars: &[WrittenBar], troubles: &mut Vec<Trouble>) {
    let Some(bar) = bars.first().filter(|bar| bar.pickup) else {
        return;
    };
    let signs = [
        (bar.opens_repeat, Sign::Open, "a repeat"),
        (
            matches!(bar.right, BarLine::Repeat(_)),
            Sign::Close,
            "the end of a repeat",
        ),
        (!bar.ending.is_empty(), Sign::Ending, "an ending"),
        (bar.segno, Sign::Segno, "a segno"),
        (bar.coda, Sign::Coda, "a coda"),
        (bar.to_coda, Sign::ToCoda, "`(to coda)`"),
        (bar.fine, Sign::Fine, "`(fine)`"),
        (bar.jump.is_some(), Sign::Jump, "a jump"),
    ];
    for (has, sign, name) in signs {
        if has {
            troubles.push(Trouble::new(
                0,
                sign,
                format!("{name} cannot stand at the pick-up bar, which is played once"),
                "put it at a full bar",
            ));
        }
    }
    if bars.len() == 1 {
        troubles.push(Trouble::new(
            0,
            Sign::Bar,
            "the chart has a pick-up bar and nothing after it",
            "write the bars that follow, or leave the line `pickup:` out",
        ));
    }
}
