//! What the fields of a tune say.

use linewright_diagnostic::{Diagnostics, Place};
use linewright_theory::{Interval, Key};

use super::{Music, Reach};
use crate::abc::read::fields::{self, Metre, Tempo};
use crate::abc::read::key::{self, Reading};
use crate::abc::read::report::Kind;
use crate::abc::read::voice::Voice;
use crate::abc::text::{plain, shown};

impl Music {
    /// A field of a line of its own or inside the music.
    pub(super) fn field(
        &mut self,
        name: char,
        value: &str,
        place: Place,
    ) -> Result<(), Diagnostics> {
        let value = value.trim();
        if self.in_body && !self.is_chosen() && !matches!(name, 'V' | 'P' | 'Q' | 'U' | 'I') {
            return Ok(());
        }
        match name {
            'T' if !self.in_body && self.title.is_none() => {
                self.title = Some(plain(value)).filter(|title| !title.is_empty());
            }
            'C' if !self.in_body => {
                let name = plain(value);
                match &mut self.composer {
                    _ if name.is_empty() => {}
                    // A tune may have several of these lines.
                    Some(names) => *names = format!("{names}, {name}"),
                    None => self.composer = Some(name),
                }
            }
            'R' if !self.in_body && self.feel.is_none() => {
                self.feel = Some(plain(value)).filter(|feel| !feel.is_empty());
            }
            'N' if !self.in_body => self.about.extend(fact(value)),
            'M' => self.metre_field(value, place),
            'L' => match fields::unit(value) {
                Some(unit) => self.unit = Some(unit),
                None => self.reports.add(
                    place,
                    format!("{} is no unit length", shown(value)),
                    "write a fraction such as `L:1/8`",
                ),
            },
            'Q' => self.tempo_field(value, place),
            'K' => self.key_field(value, place),
            'P' if self.in_body => {
                let name = plain(value);
                if !name.is_empty() {
                    self.bars.begins().section = Some(name);
                }
            }
            'P' if value.chars().filter(|c| c.is_alphabetic()).count() > 1 => self.reports.add(
                place,
                format!(
                    "the order of the parts, {}, is not carried out",
                    shown(value)
                ),
                "write repeats, or the parts in the order in which they are played",
            ),
            'V' if self.in_body => self.voice_field(value),
            'U' => {
                if let Some((sign, name)) = value.split_once('=')
                    && let Some(sign) = sign.trim().chars().next()
                    && matches!(sign, 'H'..='W' | 'h'..='w' | '~')
                {
                    let name = name.trim().trim_matches(['!', '+']).to_owned();
                    self.user.retain(|(known, _)| *known != sign);
                    self.user.push((sign, name));
                }
            }
            'I' => self.instruction(value),
            _ => {}
        }
        Ok(())
    }

    pub(super) fn metre_field(&mut self, value: &str, place: Place) {
        let Some(metre) = fields::metre(value) else {
            self.reports.add(
                place,
                format!("{} is no metre", shown(value)),
                "write `M:4/4`, `M:C`, `M:C|` or `M:none`",
            );
            return;
        };
        let new = self.metre != Some(metre);
        self.metre = Some(metre);
        if self.in_body
            && new
            && let Metre::Time(time) = metre
        {
            self.bars.begins().time = Some(time);
        }
    }

    pub(super) fn tempo_field(&mut self, value: &str, place: Place) {
        let unit = self.unit.unwrap_or(fields::default_unit(self.metre));
        match fields::tempo(value, unit) {
            Some(Tempo::Quarters(tempo)) => {
                if self.tempo != Some(tempo) {
                    self.tempo = Some(tempo);
                    self.bars.begins().tempo = Some(tempo);
                }
            }
            Some(Tempo::Words) => {}
            None => self.reports.add(
                place,
                format!("{} is no tempo", shown(value)),
                "write the beats of a minute, as in `Q:1/4=120`",
            ),
        }
    }

    pub(super) fn key_field(&mut self, value: &str, place: Place) {
        let Ok((signature, staff)) = key::key(value) else {
            self.reports.add(
                place,
                format!("{} is no key", shown(value)),
                "write a tonic and a mode, as in `K:Bb`, `K:F#m` or `K:D dorian`",
            );
            return;
        };
        self.staff = staff.over(self.staff);
        let Some(signature) = signature else {
            return;
        };
        let before = self.signature.key;
        self.signature = signature;
        self.accidentals.clear();
        let Some(written) = signature.key else {
            self.interval = Interval::UNISON;
            return;
        };
        match signature.reading {
            Reading::Exact => {}
            Reading::Mode => self.reports.once(
                Kind::Mode,
                place,
                format!(
                    "the key {} is read as {written}, which has the same signature",
                    shown(value)
                ),
                "only major and minor keys are told apart",
            ),
            Reading::Accidentals => self.reports.once(
                Kind::Signature,
                place,
                format!(
                    "no key has the accidentals of {}; it is called {written}",
                    shown(value)
                ),
                "each note keeps its accidental",
            ),
        }
        self.interval = self.transposition(written, place);
        if before != Some(written) {
            let tonic = match self.interval {
                Interval::UNISON => written.tonic,
                up => written.tonic.transposed(up),
            };
            let sounding = Key::new(tonic, written.mode);
            self.bars.begins().key = sounding.or(Some(written.transposed(self.interval)));
        }
    }

    /// The interval of `transpose=` that gives the key with the fewest accidentals.
    pub(super) fn transposition(&mut self, written: Key, place: Place) -> Interval {
        let semitones = i32::from(self.staff.semitones());
        if semitones == 0 {
            return Interval::UNISON;
        }
        self.reports.once(
            Kind::Transposed,
            place,
            "the part is for a transposing instrument and is read as it sounds",
            "take `transpose=` out to read it as it is written",
        );
        let up = (1..=6)
            .filter_map(|steps| Interval::new(steps, semitones))
            .min_by_key(|up| {
                let tonic = written.tonic.transposed(*up);
                let named = Interval::between_names(written.tonic, tonic) == Some(*up);
                (
                    !named,
                    (tonic.fifths() - written.tonic.fifths() + i32::from(written.fifths())).abs(),
                )
            });
        up.unwrap_or(Interval::UNISON)
    }

    pub(super) fn voice_field(&mut self, value: &str) {
        let told = Voice::read(value);
        if let Some(found) = self.voices.iter().position(|voice| voice.id == told.id) {
            self.current = found;
        }
    }

    /// A line that begins with `%`.
    pub(super) fn directive(&mut self, text: &str) {
        if let Some(words) = text.strip_prefix("%%") {
            self.instruction(words);
        }
    }

    pub(super) fn instruction(&mut self, text: &str) {
        let words: Vec<&str> = text.split_whitespace().take(3).collect();
        match words.as_slice() {
            ["propagate-accidentals", "not", ..] => self.reach = Reach::Note,
            ["propagate-accidentals", "octave", ..] => self.reach = Reach::Octave,
            ["propagate-accidentals", ..] => self.reach = Reach::Letter,
            // An extension that players know; it is for the voice in which it stands.
            ["MIDI", "transpose", semitones] if !self.in_body || self.is_chosen() => {
                self.staff.word(&format!("transpose={semitones}"));
            }
            _ => {}
        }
    }
}

/// A fact from an `N:` line, `name: value`.
fn fact(value: &str) -> Option<(String, String)> {
    let (name, value) = value.split_once(':')?;
    let plain_name = name.starts_with(|c: char| c.is_ascii_lowercase())
        && name.len() <= 40
        && name
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == ' ' || c == '-');
    plain_name.then(|| (name.trim().to_owned(), plain(value)))
}
