//! Named styles, and the merging of a style with those that it extends.

use std::collections::BTreeMap;

use linewright_diagnostic::{Diagnostic, clean::shown, nearest};
use linewright_theory::{Note, Pitch};

use crate::style::file::{CriteriaFile, StyleFile};
use crate::style::marks::Marks;
use crate::style::style::{
    CadenceMix, Feel, Instrument, PlanShape, Range, Sound, Style, TensionCurve,
};

/// How many styles a chain of `extends` may hold.
const LONGEST_CHAIN: usize = 16;

/// Most characters of a description or of the name of an instrument.
const LONGEST_TEXT: usize = 200;

/// Style texts by name.
#[derive(Clone, Debug, Default)]
pub struct Library {
    texts: BTreeMap<String, String>,
}

macro_rules! builtin {
    ($($name:literal),+ $(,)?) => {
        &[$(($name, include_str!(concat!("../../../../styles/", $name, ".toml")))),+]
    };
}

/// The styles that ship with the program, in the order they are listed.
const BUILTIN: &[(&str, &str)] = builtin!(
    "plain",
    "as-played",
    "handbook",
    "reordered",
    "closing-four",
    "chromatic",
    "two-feel",
    "waltz",
    "sixths",
    "fast",
    "grade-1",
    "grade-2",
    "grade-3",
    "grade-4",
    "grade-5",
    "grade-6",
    "grade-7",
    "grade-8",
);

impl Library {
    /// The styles that ship with the program.
    pub fn builtin() -> Self {
        let texts = BUILTIN
            .iter()
            .map(|(n, t)| ((*n).to_owned(), (*t).to_owned()))
            .collect();
        Self { texts }
    }

    /// Names of the shipped styles, in the order they are listed.
    pub fn builtin_names() -> impl Iterator<Item = &'static str> {
        BUILTIN.iter().map(|(name, _)| *name)
    }

    /// Adds or replaces a style by name.
    pub fn insert(&mut self, name: impl Into<String>, text: impl Into<String>) {
        self.texts.insert(name.into(), text.into());
    }

    /// The text of a style.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.texts.get(name).map(String::as_str)
    }

    /// The complete style called `name`.
    ///
    /// # Errors
    /// An unknown name (with the nearest known one), or any fault in the style
    /// or in one that it extends.
    pub fn style(&self, name: &str) -> Result<Style, Diagnostic> {
        let text = self.text(name).ok_or_else(|| self.unknown(name, name))?;
        resolve(self, name, text)
    }

    fn unknown(&self, source: &str, name: &str) -> Diagnostic {
        let fault =
            Diagnostic::error(format!("there is no style called `{name}`"), "").within(source);
        fault.hinting(match nearest(name, self.texts.keys().map(String::as_str)) {
            Some(near) => format!("did you mean `{near}`?"),
            None => {
                format!(
                    "known styles: {}",
                    self.texts.keys().cloned().collect::<Vec<_>>().join(", ")
                )
            }
        })
    }
}

/// Completes a style text with what it extends, and checks every value.
///
/// # Errors
/// A fault of the text or of one that it extends, a circle of `extends`, a
/// value out of range, or a value that nobody in the chain gives.
pub fn resolve(library: &Library, source: &str, text: &str) -> Result<Style, Diagnostic> {
    let mut chain = vec![StyleFile::parse(source, text)?];
    while let Some(parent) = chain[chain.len() - 1].extends.clone() {
        if chain.len() >= LONGEST_CHAIN {
            return Err(
                Diagnostic::error("the styles that this one extends go in a circle", "")
                    .within(source)
                    .hinting("let one of them extend nothing"),
            );
        }
        let text = library
            .text(&parent)
            .ok_or_else(|| library.unknown(source, &parent))?;
        chain.push(StyleFile::parse(&parent, text)?);
    }
    Merge {
        source,
        chain: &chain,
    }
    .style()
}

/// The chain of a style and its ancestors, nearest first.
struct Merge<'a> {
    source: &'a str,
    chain: &'a [StyleFile],
}

impl Merge<'_> {
    fn first<T>(&self, key: &str, get: impl Fn(&StyleFile) -> Option<T>) -> Result<T, Diagnostic> {
        self.chain.iter().find_map(get).ok_or_else(|| {
            Diagnostic::error(
                format!("`{key}` is not given, here or in a style that this one extends"),
                "",
            )
            .within(self.source)
            .hinting("add the key, or extend a complete style: `extends = \"plain\"`")
        })
    }

    fn fault(&self, message: String) -> Diagnostic {
        Diagnostic::error(message, "").within(self.source)
    }

    fn pitch(
        &self,
        key: &str,
        get: impl Fn(&StyleFile) -> Option<String>,
    ) -> Result<Pitch, Diagnostic> {
        let text = self.first(key, get)?;
        text.parse::<Note>()
            .ok()
            .and_then(|note| note.pitch())
            .ok_or_else(|| {
                self.fault(format!("`{key}`: \"{text}\" is not a note"))
                    .hinting(
                        "write a note name with its octave as it sounds, such as \"E1\" or \"Bb2\"",
                    )
            })
    }

    /// A text for people must not fill pages.
    fn text(&self, key: &str, text: &str) -> Result<(), Diagnostic> {
        if text.chars().count() <= LONGEST_TEXT {
            return Ok(());
        }
        Err(self
            .fault(format!("`{key}` is longer than {LONGEST_TEXT} characters"))
            .hinting("shorten it"))
    }

    fn number<T: PartialOrd + std::fmt::Display + Copy>(
        &self,
        key: &str,
        low: T,
        high: T,
        get: impl Fn(&StyleFile) -> Option<T>,
    ) -> Result<T, Diagnostic> {
        let value = self.first(key, get)?;
        self.within(key, value, low, high)?;
        Ok(value)
    }

    fn within<T: PartialOrd + std::fmt::Display>(
        &self,
        key: &str,
        value: T,
        low: T,
        high: T,
    ) -> Result<(), Diagnostic> {
        if value >= low && value <= high {
            Ok(())
        } else {
            let value = shown(&value.to_string());
            Err(self.fault(format!(
                "`{key}` is {value}: it must lie between {low} and {high}"
            )))
        }
    }

    fn chance(
        &self,
        key: &str,
        get: impl Fn(&StyleFile) -> Option<f64>,
    ) -> Result<u16, Diagnostic> {
        Ok(thousandths(self.number(key, 0.0, 1.0, get)?) as u16)
    }

    fn style(&self) -> Result<Style, Diagnostic> {
        let StyleFile {
            name, description, ..
        } = self.chain[0].clone();
        let tidy = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if name.is_empty() || name.len() > 40 || !name.chars().all(tidy) {
            return Err(self
                .fault(format!("`name` is \"{}\"", shown(&name)))
                .hinting("a name is 1 to 40 small letters, digits and hyphens"));
        }
        self.text("description", &description)?;
        if description.trim().is_empty() {
            return Err(self
                .fault("`description` is empty".into())
                .hinting("say in one sentence what the style is for"));
        }
        let mut weights = BTreeMap::new();
        for file in self.chain.iter().rev() {
            weights.extend(
                file.weights
                    .iter()
                    .map(|(rule, weight)| (rule.clone(), *weight)),
            );
        }
        Ok(Style {
            name,
            description,
            feel: self.first("feel", |f: &StyleFile| -> Option<Feel> { f.feel })?,
            temperature: thousandths(self.number("temperature", 0.05, 50.0, |f| f.temperature)?),
            range: self.range()?,
            instrument: self.instrument()?,
            largest_leap: self.number("limits.largest-leap", 5, 24, |f| f.limits.largest_leap)?,
            largest_shift: self
                .number("limits.largest-shift", 5, 36, |f| f.limits.largest_shift)?,
            weights,
            plan: self.plan()?,
            sound: Sound {
                velocity: self.number("sound.velocity", 1, 127, |f| f.sound.velocity)?,
                accent: self.number("sound.accent", 0, 40, |f| f.sound.accent)?,
                length: thousandths(self.number("sound.length", 0.5, 1.0, |f| f.sound.length)?)
                    as u16,
            },
            marks: self.marks()?,
        })
    }

    fn marks(&self) -> Result<Marks, Diagnostic> {
        let total = |key: &str, get: fn(&CriteriaFile) -> Option<u16>| {
            self.number(&format!("marks.criteria.{key}"), 0, 100, |f| {
                get(&f.marks.criteria)
            })
        };
        let totals = [
            total("harmony", |c| c.harmony)?,
            total("arrivals", |c| c.arrivals)?,
            total("cadences", |c| c.cadences)?,
            total("motion", |c| c.motion)?,
            total("order", |c| c.order)?,
            total("range", |c| c.range)?,
            total("device", |c| c.device)?,
        ];
        if totals.iter().all(|total| *total == 0) {
            return Err(self
                .fault("`marks.criteria` are all 0".into())
                .hinting("give marks to one of them at least"));
        }
        let devices = self.first("marks.devices", |f| f.marks.devices.clone())?;
        Ok(Marks {
            pass: self.number("marks.pass", 1, 100, |f| f.marks.pass)?,
            totals,
            devices,
            devices_over: self.first("marks.devices-over", |f| f.marks.devices_over)?,
            faults: self.shares("marks.faults", |f| &f.marks.faults)?,
            expected: self.shares("marks.expected", |f| &f.marks.expected)?,
        })
    }

    /// Shares by rule, those of a style before those that it inherits.
    fn shares(
        &self,
        key: &str,
        get: fn(&StyleFile) -> &BTreeMap<String, f64>,
    ) -> Result<BTreeMap<String, u16>, Diagnostic> {
        let mut shares = BTreeMap::new();
        for file in self.chain.iter().rev() {
            for (rule, share) in get(file) {
                self.within(&format!("{key}.{rule}"), *share, 0.0, 4.0)?;
                shares.insert(rule.clone(), thousandths(*share) as u16);
            }
        }
        Ok(shares)
    }

    fn range(&self) -> Result<Range, Diagnostic> {
        let range = Range {
            low: self.pitch("range.low", |f| f.range.low.clone())?,
            high: self.pitch("range.high", |f| f.range.high.clone())?,
            heart_low: self.pitch("range.heart-low", |f| f.range.heart_low.clone())?,
            heart_high: self.pitch("range.heart-high", |f| f.range.heart_high.clone())?,
        };
        range.checked().map_err(|message| self.fault(message))
    }

    fn instrument(&self) -> Result<Instrument, Diagnostic> {
        let name = self.first("instrument.name", |f| f.instrument.name.clone())?;
        self.text("instrument.name", &name)?;
        Ok(Instrument {
            name,
            program: self.number("instrument.program", 1, 128, |f| f.instrument.program)?,
        })
    }

    fn plan(&self) -> Result<PlanShape, Diagnostic> {
        let mix = self.first("plan.cadences", |f| f.plan.cadences.clone())?;
        for (key, share) in [
            ("beat-one", mix.beat_one),
            ("own-root", mix.own_root),
            ("next-root", mix.next_root),
        ] {
            self.within(&format!("plan.cadences.{key}"), share, 0.0, 1000.0)?;
        }
        let tension = self.first("plan.tension", |f| f.plan.tension.clone())?;
        if tension.is_empty() || tension.len() > 64 {
            return Err(self.fault("`plan.tension` needs 1 to 64 numbers".into()));
        }
        for value in &tension {
            self.within("plan.tension", *value, 0.0, 1.0)?;
        }
        Ok(PlanShape {
            phrase_bars: self.number("plan.phrase-bars", 2, 16, |f| f.plan.phrase_bars)?,
            cadences: CadenceMix {
                beat_one: thousandths(mix.beat_one),
                own_root: thousandths(mix.own_root),
                next_root: thousandths(mix.next_root),
            },
            end_cadence: self.chance("plan.end-cadence", |f| f.plan.end_cadence)?,
            middle_cadence: self.chance("plan.middle-cadence", |f| f.plan.middle_cadence)?,
            tension: TensionCurve(tension.into_iter().map(|t| thousandths(t) as u16).collect()),
            ambiguous: self.chance("plan.ambiguous", |f| f.plan.ambiguous)?,
            figures: self.chance("plan.figures", |f| f.plan.figures)?,
            register_span: self.number("plan.register-span", 0, 12, |f| f.plan.register_span)?,
            register_shift: self.chance("plan.register-shift", |f| f.plan.register_shift)?,
            pick_up: self.chance("plan.pick-up", |f| f.plan.pick_up)?,
        })
    }
}

impl Range {
    /// The most candidate notes that a range may hold.
    pub const MOST_NOTES: u8 = 48;

    /// The same range, checked: low under high, at least an octave, at most
    /// [`Range::MOST_NOTES`] notes, and the heart inside (clamped where a
    /// narrowed range cuts into it).
    ///
    /// # Errors
    /// What is wrong, in words.
    pub fn checked(mut self) -> Result<Self, String> {
        let (low, high) = (self.low.midi(), self.high.midi());
        if low >= high || high - low < 12 {
            return Err("the range must go up, and span at least an octave".into());
        }
        if high - low >= Self::MOST_NOTES {
            return Err(format!(
                "the range spans more than {} notes",
                Self::MOST_NOTES
            ));
        }
        self.heart_low = self.heart_low.clamp(self.low, self.high);
        self.heart_high = self.heart_high.clamp(self.low, self.high);
        if self.heart_high.midi() < self.heart_low.midi() + 5 {
            self.heart_low = self.low;
            self.heart_high = self.high;
        }
        Ok(self)
    }
}

/// A checked, non-negative number in whole thousandths.
fn thousandths(value: f64) -> u32 {
    (value * 1000.0 + 0.5) as u32
}
