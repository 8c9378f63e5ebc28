//! The bars of a chart, put together from tokens.

use super::bar::{Frame, Item, ItemKind, fill};
use super::directive::{self, Directive};
use super::lex::{BarSign, Token, tokens};
use crate::MAX_BARS;
use crate::metre::Metre;
use crate::structure::Places;
use crate::written::{BarLine, Content, Jump, WrittenBar};
use linewright_diagnostic::{
    Diagnostics,
    clean::{quoted, shown},
};
use linewright_theory::Key;

/// A longer section name is refused, in characters.
const MAX_SECTION: usize = 40;

/// Most passes that a repeat may have.
const MAX_PASSES: u8 = 99;

/// What stands before the chords of the bar to come, each with its offset.
#[derive(Default)]
struct Before {
    section: Option<(usize, String)>,
    metre: Option<(usize, Metre)>,
    key: Option<(usize, Key)>,
    tempo: Option<(usize, u16)>,
    segno: Option<usize>,
    coda: Option<usize>,
    open: Option<usize>,
    ending: Option<(usize, Vec<u8>)>,
}

impl Before {
    /// The first thing that waits for a bar.
    fn first(&self) -> Option<usize> {
        [
            self.section.as_ref().map(|x| x.0),
            self.metre.map(|x| x.0),
            self.key.map(|x| x.0),
            self.tempo.map(|x| x.0),
            self.segno,
            self.coda,
            self.open,
            self.ending.as_ref().map(|x| x.0),
        ]
        .into_iter()
        .flatten()
        .min()
    }
}

/// What is written about the end of a bar, each with its offset.
#[derive(Default)]
struct After {
    to_coda: Option<usize>,
    fine: Option<usize>,
    jump: Option<(usize, Jump)>,
}

/// Builds the bars line by line.
pub(crate) struct Body<'a> {
    pub bars: Vec<WrittenBar>,
    pub places: Vec<Places>,
    /// The metre in force; at the end of reading, of the last bar.
    metre: Metre,
    pickup: Option<(usize, u8)>,
    /// The bar lines since the last bar include this one, on the same line.
    left: Option<BarSign>,
    items: Vec<Item<'a>>,
    /// Something other than chords was seen since the last bar line.
    touched: bool,
    before: Before,
    after: After,
    /// The last token was a `:|`.
    closed: bool,
    full: bool,
    /// No bar line stands in the text: a row of chords has a bar for each.
    grid: bool,
    /// Where the first row stands that is read so.
    first_row: Option<usize>,
}

impl<'a> Body<'a> {
    pub(crate) fn new(metre: Metre, pickup: Option<(usize, u8)>, grid: bool) -> Body<'a> {
        Body {
            bars: Vec::new(),
            places: Vec::new(),
            metre,
            pickup,
            left: None,
            items: Vec::new(),
            touched: false,
            before: Before::default(),
            after: After::default(),
            closed: false,
            full: false,
            grid,
            first_row: None,
        }
    }

    /// Takes one music line that starts at this offset of the text.
    pub(crate) fn line(&mut self, start: usize, line: &'a str, faults: &mut Diagnostics) {
        let (tokens, lex_faults) = tokens(line);
        for fault in lex_faults {
            let at = start + fault.place().byte();
            faults.add(fault.at(at));
        }
        self.left = None;
        let row = self.is_row(start, &tokens);
        for (at, token) in tokens {
            if self.full {
                return;
            }
            self.token(start + at, token, faults);
            if row && !self.items.is_empty() {
                self.finish_bar(BarLine::Single, faults);
            }
        }
        self.finish_bar(BarLine::Single, faults);
    }

    /// Whether the line is a row of a grid: several chords without bar lines, and without the
    /// signs that would hold one of them for a beat.
    fn is_row(&mut self, start: usize, tokens: &[(usize, Token<'_>)]) -> bool {
        let held = tokens.iter().any(|(at, token)| match token {
            Token::Hold(_) => true,
            Token::Word(word) => Item {
                at: *at,
                kind: ItemKind::Word(word),
            }
            .is_dots(),
            _ => false,
        });
        let mut bars = tokens
            .iter()
            .filter(|(_, token)| matches!(token, Token::Word(_) | Token::Same));
        let (Some((first, _)), Some(_), true) = (bars.next(), bars.next(), self.grid && !held)
        else {
            return false;
        };
        self.first_row.get_or_insert(start + first);
        true
    }

    /// Notes what still waits for a bar when the text ends, and how rows without bar lines were
    /// read.
    pub(crate) fn end(&mut self, faults: &mut Diagnostics) {
        if let Some(at) = self.before.first()
            && !self.full
        {
            faults.error(
                at,
                "no bar follows this",
                "write the bar that it belongs to, or leave it out",
            );
        }
        if let Some(at) = self.first_row {
            faults.remark(
                at,
                format!(
                    "the chart has no bar line, so each chord was taken as a bar: {} bars",
                    self.bars.len()
                ),
                "where chords share a bar, write the bar lines: `| F7 | Bb7 Eb7 |`",
            );
        }
    }

    fn token(&mut self, at: usize, token: Token<'a>, faults: &mut Diagnostics) {
        let closed = std::mem::take(&mut self.closed);
        match token {
            Token::Bar(sign) => self.bar_line(at, sign, faults),
            Token::Times(number) if closed => self.times(at, number, faults),
            Token::Times(number) => {
                let passes = number.parse::<u8>().ok();
                let passes = passes.filter(|n| (2..=MAX_PASSES).contains(n)).unwrap_or(3);
                faults.error(
                    at,
                    format!("`x{}` stands alone", shown(number)),
                    format!(
                        "put what is played {passes} times between `|:` and `:|x{passes}`; a bar \
                         that comes again at once is written as `%`"
                    ),
                );
            }
            Token::Section(name) => self.section(at, name, faults),
            Token::Directive(text) => match directive::read(text) {
                Ok(directive) => self.directive(at, directive, faults),
                Err(fault) => {
                    self.touched = true;
                    faults.add(fault.at(at));
                }
            },
            Token::Ending(numbers) => self.ending(at, numbers, faults),
            Token::Broken => self.touched = true,
            Token::Same => self.item(at, ItemKind::Same),
            Token::Hold(count) => self.item(at, ItemKind::Hold(count)),
            Token::Word(word) => self.item(at, ItemKind::Word(word)),
        }
    }

    fn item(&mut self, at: usize, kind: ItemKind<'a>) {
        self.items.push(Item { at, kind });
    }

    fn bar_line(&mut self, at: usize, sign: BarSign, faults: &mut Diagnostics) {
        let right = if sign.close {
            BarLine::Repeat(2)
        } else if sign.last {
            BarLine::Final
        } else if sign.double {
            BarLine::Double
        } else {
            BarLine::Single
        };
        let had_end_signs =
            self.after.to_coda.is_some() || self.after.fine.is_some() || self.after.jump.is_some();
        if !self.finish_bar(right, faults) {
            let empty = match self.left {
                Some(left) if left.open || self.before.ending.is_some() => true,
                Some(left) => !left.ends_part() && (sign.close || !(sign.ends_part() || sign.open)),
                None => false,
            };
            let opens_twice = sign.open && self.before.open.is_some();
            if empty && !self.touched && !had_end_signs && !opens_twice {
                faults.error(
                    at,
                    "the bar that ends here is empty",
                    "write `%` to repeat the bar before, `N.C.` for a bar without a chord, or \
                     leave one of the bar lines out",
                );
            } else if right > BarLine::Single {
                match self.bars.last_mut() {
                    Some(last) => {
                        last.right = last.right.max(right);
                        if sign.close
                            && let Some(place) = self.places.last_mut()
                        {
                            place.close = at;
                        }
                    }
                    None if sign.close => faults.error(
                        at,
                        "a repeat ends here, before the first bar",
                        "leave the `:` out, or write `|:` to begin a repeat",
                    ),
                    None => {}
                }
            }
        } else if sign.close
            && let Some(place) = self.places.last_mut()
        {
            place.close = at;
        }
        if sign.open && self.before.open.replace(at).is_some() {
            faults.error(
                at,
                "a repeat begins twice before the same bar",
                "leave one of the two `|:` out",
            );
        }
        self.closed = sign.close;
        self.left = Some(sign);
        self.touched = false;
    }

    fn times(&mut self, at: usize, number: &str, faults: &mut Diagnostics) {
        let passes = number.parse::<u8>().ok();
        match passes.filter(|passes| (2..=MAX_PASSES).contains(passes)) {
            Some(passes) => {
                if let Some(last) = self.bars.last_mut() {
                    last.right = BarLine::Repeat(passes);
                }
            }
            None => faults.error(
                at,
                format!("a repeat cannot be played {} times", shown(number)),
                format!("write how often it is played in all, from `x2` to `x{MAX_PASSES}`"),
            ),
        }
    }

    fn section(&mut self, at: usize, name: &str, faults: &mut Diagnostics) {
        let count = name.chars().count();
        if count == 0 || count > MAX_SECTION || name.chars().any(char::is_control) {
            faults.error(
                at,
                "a section has no name that can be used",
                format!("write `[A]`, with 1 to {MAX_SECTION} characters between the brackets"),
            );
        } else if self.at_bar_start(at, "a section begins", faults) {
            let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
            if self.before.section.replace((at, name)).is_some() {
                faults.error(
                    at,
                    "two sections begin at the same bar",
                    "give the bar one section name",
                );
            }
        }
        self.touched = true;
    }

    fn ending(&mut self, at: usize, text: &str, faults: &mut Diagnostics) {
        if !self.at_bar_start(at, "an ending begins", faults) {
            return;
        }
        let mut passes = Vec::new();
        for part in text.split([',', '.']).filter(|part| !part.is_empty()) {
            match part.parse::<u8>() {
                Ok(pass) if (1..=MAX_PASSES).contains(&pass) && !passes.contains(&pass) => {
                    passes.push(pass);
                }
                _ => {
                    faults.error(
                        at,
                        format!("{} names no passes", quoted(&format!("{text}."))),
                        format!("write `1.`, `2.` or `1,2.`, each pass once, at most {MAX_PASSES}"),
                    );
                    return;
                }
            }
        }
        passes.sort_unstable();
        if self.before.ending.replace((at, passes)).is_some() {
            faults.error(
                at,
                "two endings begin at the same bar",
                "write one ending for several passes as `1,2.`",
            );
        }
    }

    fn directive(&mut self, at: usize, directive: Directive, faults: &mut Diagnostics) {
        self.touched = true;
        let before = &mut self.before;
        let again = match directive {
            Directive::Fine => self.after.fine.replace(at).is_some(),
            Directive::ToCoda => self.after.to_coda.replace(at).is_some(),
            Directive::Jump(jump) => self.after.jump.replace((at, jump)).is_some(),
            _ if !self.items.is_empty() => {
                self.at_bar_start(at, "this takes effect", faults);
                return;
            }
            Directive::Key(key) => before.key.replace((at, key)).is_some(),
            Directive::Time(metre) => before.metre.replace((at, metre)).is_some(),
            Directive::Tempo(tempo) => before.tempo.replace((at, tempo)).is_some(),
            Directive::Segno => before.segno.replace(at).is_some(),
            Directive::Coda => before.coda.replace(at).is_some(),
        };
        if again {
            twice(at, faults);
        }
    }

    /// Whether no chord of the bar was read yet; otherwise notes a fault.
    fn at_bar_start(&self, at: usize, what: &str, faults: &mut Diagnostics) -> bool {
        if !self.items.is_empty() {
            faults.error(
                at,
                format!("{what} in the middle of a bar"),
                "put it at the start of a bar, before its first chord",
            );
        }
        self.items.is_empty()
    }

    /// Ends the bar that is being read with this bar line. Without chords
    /// there is no bar: signs for the end of a bar then belong to the bar
    /// before, and `false` is the answer.
    fn finish_bar(&mut self, right: BarLine, faults: &mut Diagnostics) -> bool {
        if self.items.is_empty() {
            let after = std::mem::take(&mut self.after);
            self.apply_after(after, faults);
            return false;
        }
        let items = std::mem::take(&mut self.items);
        let before = std::mem::take(&mut self.before);
        if self.bars.len() == MAX_BARS {
            self.full = true;
            faults.error(
                items[0].at,
                format!("the chart has more than {MAX_BARS} bars"),
                "split it into several charts",
            );
            return true;
        }
        if let Some((_, metre)) = before.metre {
            self.metre = metre;
        }
        let pickup = self.pickup.filter(|_| self.bars.is_empty());
        let mut beats = self.metre.beats;
        if let Some((at, length)) = pickup {
            if length >= beats {
                faults.error(
                    at,
                    format!(
                        "a pick-up bar of {length} is not shorter than a bar of {}",
                        self.metre
                    ),
                    format!("write a number from 1 to {}", beats - 1),
                );
            }
            beats = beats.min(length);
        }
        let name = match pickup {
            Some(_) => format!("the pick-up bar of {beats}"),
            None => format!("a bar of {}", self.metre),
        };
        let frame = Frame {
            beats,
            before: self.bars.last().map(|bar| bar.beats),
            name: &name,
            grid: self.grid,
        };
        let content: Content = fill(&items, &frame, faults);
        let number = match self.bars.last() {
            Some(last) => last.number + 1,
            None => usize::from(pickup.is_none()),
        };
        let at = items[0].at;
        self.places.push(Places {
            bar: at,
            open: before.open.unwrap_or(at),
            close: at,
            ending: before.ending.as_ref().map_or(at, |ending| ending.0),
            segno: before.segno.unwrap_or(at),
            coda: before.coda.unwrap_or(at),
            ..Places::default()
        });
        self.bars.push(WrittenBar {
            number,
            pickup: pickup.is_some(),
            metre: self.metre,
            beats,
            section: before.section.map(|section| section.1),
            new_metre: before.metre.map(|metre| metre.1),
            new_key: before.key.map(|key| key.1),
            new_tempo: before.tempo.map(|tempo| tempo.1),
            opens_repeat: before.open.is_some(),
            ending: before.ending.map(|ending| ending.1).unwrap_or_default(),
            segno: before.segno.is_some(),
            coda: before.coda.is_some(),
            content,
            to_coda: false,
            fine: false,
            jump: None,
            right,
        });
        let after = std::mem::take(&mut self.after);
        self.apply_after(after, faults);
        true
    }

    /// Puts signs for the end of a bar on the last bar.
    fn apply_after(&mut self, after: After, faults: &mut Diagnostics) {
        let first = [after.to_coda, after.fine, after.jump.map(|jump| jump.0)];
        let Some(first) = first.into_iter().flatten().min() else {
            return;
        };
        let (Some(bar), Some(place)) = (self.bars.last_mut(), self.places.last_mut()) else {
            faults.error(
                first,
                "this sign belongs to the end of a bar, and there is no bar before it",
                "put it after the chords of the bar where it takes effect",
            );
            return;
        };
        if let Some(at) = after.to_coda {
            place.to_coda = at;
            if std::mem::replace(&mut bar.to_coda, true) {
                twice(at, faults);
            }
        }
        if let Some(at) = after.fine {
            place.fine = at;
            if std::mem::replace(&mut bar.fine, true) {
                twice(at, faults);
            }
        }
        if let Some((at, jump)) = after.jump {
            place.jump = at;
            if bar.jump.replace(jump).is_some() {
                twice(at, faults);
            }
        }
    }
}

fn twice(at: usize, faults: &mut Diagnostics) {
    faults.error(
        at,
        "the same kind of sign stands twice at one bar",
        "keep the one that is meant",
    );
}
