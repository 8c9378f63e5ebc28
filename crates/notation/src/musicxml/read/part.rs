//! One part, measure by measure.

use linewright_theory::{Interval, Note};

use super::clock::{Clock, Length, Moved};
use super::tally::{Kind, Tally};
use super::xml::Node;
use crate::{Measure, SymbolAt, Ticks, TimeSignature};

/// A part as the file has it: all staves and voices.
pub(super) struct PartReader {
    /// The measures so far.
    pub bars: Vec<Bar>,
    /// What was read otherwise than written.
    pub tally: Tally,
    /// Words that may say the feel, from the first measures.
    pub feel: Vec<(usize, String)>,
    /// Coda signs of which the file does not say whether they begin the coda: measure, and
    /// whether they stand after its beginning.
    pub coda_signs: Vec<(usize, bool)>,
    /// Measures with a jump back of which the file does not say how far to play after it.
    pub open_jumps: Vec<usize>,
    /// A repeat begins with the next measure.
    pub opens_next: bool,
    pub(super) clock: Clock,
    /// Whether divisions have been given.
    pub(super) divided: bool,
    /// The time signature in force.
    pub(super) time: Option<TimeSignature>,
    /// What leads from the written to the sounding pitch, by staff; 0 stands for all.
    pub(super) transpositions: Vec<(u8, Transposition)>,
    /// The names of voices.
    pub(super) voices: Vec<String>,
    size: usize,
}

/// From a written to a sounding pitch.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct Transposition {
    /// Less than an octave, for names.
    pub interval: Interval,
    /// Octaves more.
    pub octaves: i8,
}

impl Transposition {
    pub(super) const NONE: Self = Self {
        interval: Interval::UNISON,
        octaves: 0,
    };

    /// The sounding note.
    pub(super) fn sound(self, written: Note) -> Note {
        let mut note = if self.interval == Interval::UNISON {
            written
        } else {
            written.transposed(self.interval)
        };
        note.octave = note.octave.saturating_add(self.octaves);
        note
    }
}

/// A measure as the file has it.
pub(super) struct Bar {
    /// What stands in it but for notes; its length is not known yet.
    pub measure: Measure,
    /// Whether its number is 0.
    pub zero: bool,
    /// Whether it is marked as one that is not counted.
    pub implicit: bool,
    /// How far its content goes.
    pub extent: Ticks,
    /// Its length by the time signature, if there is one.
    pub nominal: Option<Ticks>,
    /// Notes and rests of all voices in the order of the file.
    pub heads: Vec<Head>,
}

/// A note or rest.
pub(super) struct Head {
    pub at: Ticks,
    pub ticks: Ticks,
    /// The sounding note.
    pub note: Option<Note>,
    pub staff: u8,
    pub voice: u8,
    pub tied: bool,
    pub ghost: bool,
    pub under: Vec<String>,
}

/// A chord symbol on its way: whether the file gives its offset.
pub(super) struct Placed {
    pub symbol: SymbolAt,
    pub told: bool,
}

impl PartReader {
    pub(super) fn new() -> Self {
        Self {
            bars: Vec::new(),
            tally: Tally::default(),
            feel: Vec::new(),
            coda_signs: Vec::new(),
            open_jumps: Vec::new(),
            opens_next: false,
            clock: Clock::new(),
            divided: false,
            time: None,
            transpositions: Vec::new(),
            voices: Vec::new(),
            size: 0,
        }
    }

    /// How many notes, rests and chord symbols it has.
    pub(super) fn size(&self) -> usize {
        self.size
    }

    /// Whether it has chord symbols.
    pub(super) fn has_symbols(&self) -> bool {
        self.bars.iter().any(|bar| !bar.measure.symbols.is_empty())
    }

    /// The mean pitch of its notes in MIDI numbers; `None` if it has none.
    pub(super) fn middle(&self) -> Option<u64> {
        let notes = self.bars.iter().flat_map(|bar| &bar.heads);
        let pitches = notes.filter_map(|head| head.note?.pitch());
        let (sum, count) = pitches.fold((0_u64, 0), |(sum, count), pitch| {
            (sum + u64::from(pitch.midi()), count + 1)
        });
        sum.checked_div(count)
    }

    /// The measure that is being read, counted from 0.
    pub(super) fn here(&self) -> usize {
        self.bars.len().saturating_sub(1)
    }

    /// The measure that is being read.
    pub(super) fn bar(&mut self) -> Option<&mut Bar> {
        self.bars.last_mut()
    }

    /// Counts something that is read otherwise than written here.
    pub(super) fn count(&mut self, kind: Kind) {
        let here = self.here();
        self.tally.add(kind, here);
    }

    /// Reads a measure.
    pub(super) fn measure(&mut self, attributes: &Node, content: &Node) {
        let mut measure = Measure::new(0);
        measure.opens_repeat = std::mem::take(&mut self.opens_next);
        self.bars.push(Bar {
            measure,
            zero: attributes.is("number", "0"),
            implicit: attributes.is("implicit", "yes"),
            extent: 0,
            nominal: None,
            heads: Vec::new(),
        });
        self.clock.restart();
        let mut symbols: Vec<Placed> = Vec::new();
        let mut last: Option<usize> = None;
        for node in &content.children {
            match node.name {
                "attributes" => self.attributes(node),
                "note" => last = self.note(node, last),
                "forward" => self.go(node, 1),
                "backup" => self.go(node, -1),
                "harmony" => symbols.extend(self.harmony(node)),
                "direction" => self.direction(node),
                "sound" => self.sound(node, "", self.clock.now()),
                "barline" => self.bar_line(node),
                _ => {}
            }
            let now = self.clock.now();
            if let Some(bar) = self.bar() {
                bar.extent = bar.extent.max(now);
            }
        }
        let nominal = self.time.map(TimeSignature::ticks);
        self.spread(&mut symbols, nominal);
        let Some(bar) = self.bars.last_mut() else {
            return;
        };
        bar.nominal = nominal;
        bar.measure.symbols = symbols.into_iter().map(|placed| placed.symbol).collect();
        bar.measure.symbols.sort_by_key(|symbol| symbol.at);
        self.size += bar.heads.len() + bar.measure.symbols.len();
    }

    /// Moves in time by a duration element.
    fn go(&mut self, node: &Node, sign: Length) {
        let length = node.text_of("duration").and_then(super::clock::decimal);
        self.advance(sign * length.unwrap_or(0));
    }

    /// Moves in time.
    pub(super) fn advance(&mut self, length: Length) {
        if !self.divided {
            self.divided = true;
            self.count(Kind::NoDivisions);
        }
        match self.clock.go(length) {
            Moved::Exactly => {}
            Moved::Rounded => self.count(Kind::Rounded),
            Moved::Stopped if length < 0 => self.count(Kind::BackTooFar),
            Moved::Stopped => self.count(Kind::TooLong),
        }
    }

    /// Parts chord symbols that stand in one place without offsets: they share the time to the
    /// next note.
    fn spread(&mut self, symbols: &mut [Placed], nominal: Option<Ticks>) {
        let Some(bar) = self.bars.last() else { return };
        let end = bar.extent.max(if bar.extent == 0 {
            nominal.unwrap_or(0)
        } else {
            0
        });
        let mut starts: Vec<Ticks> = bar.heads.iter().map(|head| head.at).collect();
        starts.sort_unstable();
        let mut moved = 0;
        let mut from = 0;
        while from < symbols.len() {
            let at = symbols[from].symbol.at;
            let same = |placed: &Placed| !placed.told && placed.symbol.at == at;
            let count = symbols[from..].iter().take_while(|p| same(p)).count();
            let later = symbols[from + count..]
                .iter()
                .map(|placed| placed.symbol.at);
            let next = starts[starts.partition_point(|&start| start <= at)..]
                .first()
                .copied()
                .into_iter()
                .chain(later.filter(|&later| later > at))
                .min()
                .unwrap_or(end);
            if count > 1 && next > at {
                let step = (next - at) / count as Ticks;
                for (place, placed) in (0..).zip(&mut symbols[from..from + count]) {
                    placed.symbol.at = at + place * step;
                }
                moved += count - 1;
            }
            from += count.max(1);
        }
        for _ in 0..moved {
            self.count(Kind::SpreadHarmony);
        }
    }
}
