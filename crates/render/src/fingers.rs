//! The fingering of a line, for whatever shows one.

use linewright_compose::{Line, Sound};
use linewright_fingering::{
    Bass, CAUTION, Finger, Fingering, Options, Place, Sounding, fingering, places,
};
use linewright_notation::{QUARTER, Ticks};
use linewright_theory::Pitch;

use crate::wording::study::count;

/// What stands for the finger of a note beyond the neck.
const BEYOND: &str = "–";

/// How lines are fingered.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct Fingers {
    /// The instrument. When `None`, the line's own: four strings, or where it goes lower, the
    /// extension of a double bass or a fifth string.
    pub neck: Option<Bass>,
    /// Whether open strings are played wherever they serve.
    pub open_strings: bool,
}

impl Default for Fingers {
    /// On the line's own instrument, with open strings.
    fn default() -> Self {
        Self {
            neck: None,
            open_strings: true,
        }
    }
}

/// A line with its fingering. Its notes are numbered as they sound.
pub(crate) struct Fingered {
    options: Options,
    found: Fingering,
    /// Bar and event of each note, in order.
    events: Vec<(usize, usize)>,
}

impl Fingered {
    /// Fingers a line at its own tempo.
    pub fn new(line: &Line, fingers: Fingers) -> Self {
        let options = Options {
            neck: fingers.neck.unwrap_or_else(|| neck(line)),
            open_strings: fingers.open_strings,
        };
        let sounds = line.sounds();
        Self {
            found: fingering(&soundings(line, &sounds), &options),
            events: sounds
                .iter()
                .map(|sound| (sound.bar, sound.event))
                .collect(),
            options,
        }
    }

    /// The number of the note that begins with an event of a bar; `None` where none does.
    pub fn sound_at(&self, bar: usize, event: usize) -> Option<usize> {
        self.events.binary_search(&(bar, event)).ok()
    }

    /// Where a note is played; `None` beyond the neck.
    pub fn place(&self, nth: usize) -> Option<&Place> {
        self.found.places.get(nth)?.as_ref()
    }

    /// The finger of a note.
    pub fn finger(&self, nth: usize) -> String {
        self.place(nth)
            .map_or(BEYOND.to_owned(), |place| place.finger.to_string())
    }

    /// Where a note is played, in words.
    pub fn in_words(&self, nth: usize) -> String {
        let Some(place) = self.place(nth) else {
            return "beyond the neck".to_owned();
        };
        let string = place.string_number();
        match place.finger {
            Finger::Open => format!("open string {string}"),
            Finger::Thumb => format!("thumb on string {string}"),
            finger if self.options.neck.has_frets() => {
                format!("finger {finger} on string {string}, fret {}", place.stop)
            }
            finger => format!("finger {finger} on string {string}"),
        }
    }

    /// The string of a note, where it is another one than before; else empty.
    pub fn new_string(&self, nth: usize) -> &'static str {
        let before = self.found.places[..nth].iter().rev().flatten().next();
        match self.place(nth) {
            Some(place) if before.is_none_or(|before| before.string != place.string) => {
                place.string_number()
            }
            _ => "",
        }
    }

    /// How the line is fingered, what cannot be, and the caution that belongs beside it.
    pub fn remark(&self) -> String {
        let open = if self.options.open_strings {
            "open strings"
        } else {
            "no open strings"
        };
        let beyond = match self.found.unreached() {
            0 => String::new(),
            notes => format!("; {} beyond the neck ({BEYOND})", count(notes, "note")),
        };
        format!("{}, {open}{beyond}. {CAUTION}", self.options.neck.name())
    }
}

/// The neck that a line is written for.
fn neck(line: &Line) -> Bass {
    let lowest = line.sounds().iter().map(|sound| sound.pitch).min();
    let four = if line.style.instrument.program == Bass::Double.program() {
        [Bass::Double, Bass::DoubleLowC, Bass::DoubleFive]
    } else {
        [Bass::Guitar, Bass::GuitarFive, Bass::GuitarFive]
    };
    let reaches =
        |neck: &&Bass| lowest.is_none_or(|lowest: Pitch| !places(**neck, lowest, true).is_empty());
    // What lies below every neck is told as such on the usual one.
    four.iter().find(reaches).copied().unwrap_or(four[0])
}

/// The notes with the time between them.
fn soundings(line: &Line, sounds: &[Sound]) -> Vec<Sounding> {
    let mut starts = Vec::with_capacity(line.timeline.bars.len());
    let mut time = 0_u64;
    for bar in &line.timeline.bars {
        starts.push(time);
        time += milliseconds(Ticks::from(bar.beats) * QUARTER, bar.beats_a_minute());
    }
    let mut last = 0_u64;
    let sounding = |sound: &Sound| {
        let tempo = line.timeline.bars[sound.bar].beats_a_minute();
        let onset = starts[sound.bar] + milliseconds(sound.at, tempo);
        let after = u32::try_from(onset - last).unwrap_or(u32::MAX);
        last = onset;
        Sounding {
            pitch: sound.pitch,
            after,
        }
    };
    sounds.iter().map(sounding).collect()
}

/// How long so many ticks last.
fn milliseconds(ticks: Ticks, tempo: u16) -> u64 {
    u64::from(ticks) * 60_000 / u64::from(QUARTER) / u64::from(tempo.max(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_lines::{BLUES, CHANGING, line};

    /// Lets the note of this number sound otherwise.
    fn sounding(line: &mut Line, nth: usize, midi: u8) {
        let Sound { bar, event, .. } = line.sounds()[nth];
        let letter = linewright_theory::Letter::C;
        let note = linewright_theory::Note::spelled(Pitch::new(midi).unwrap(), letter);
        line.written[bar][event].event.note = Some(note);
    }

    #[test]
    fn time_passes_as_the_chart_says() {
        let line = line(CHANGING, "plain", 1);
        let times = soundings(&line, &line.sounds());
        // The pick-up and bar 1 at 140, after the rest of a bar a note in three.
        let rest = line.plan.slots.iter().position(|slot| slot.bar == 3);
        for (nth, sounding) in times.iter().enumerate().take(5).skip(1) {
            assert!((427..=430).contains(&sounding.after), "{nth}: {sounding:?}");
        }
        assert!((2142..=2145).contains(&times[rest.unwrap()].after));
        let slow = line.plan.slots.iter().rposition(|slot| slot.bar == 4);
        assert!((665..=668).contains(&times[slow.unwrap()].after));
    }

    #[test]
    fn a_line_is_fingered_on_its_own_instrument_or_the_one_asked_for() {
        let line = line(BLUES, "plain", 1);
        let own = Fingered::new(&line, Fingers::default());
        assert!(own.remark().starts_with("double bass, open strings. "));
        let guitar = Fingers {
            neck: Some(Bass::Guitar),
            open_strings: false,
        };
        let asked = Fingered::new(&line, guitar);
        assert!(asked.remark().starts_with("bass guitar, no open strings. "));
        let place = asked.place(0).unwrap();
        let fret = format!(", fret {}", place.stop);
        assert!(asked.in_words(0).ends_with(&fret) && !own.in_words(0).contains("fret"));
    }

    #[test]
    fn notes_beyond_the_neck_have_a_dash_and_are_counted() {
        let mut line = line(BLUES, "plain", 1);
        sounding(&mut line, 2, 100);
        let fingered = Fingered::new(&line, Fingers::default());
        assert_eq!(
            (fingered.finger(2).as_str(), fingered.new_string(2)),
            ("–", "")
        );
        assert!(fingered.place(3).is_some());
        let remark = fingered.remark();
        assert!(
            remark.contains("; 1 note beyond the neck (–). "),
            "{remark}"
        );
    }

    #[test]
    fn a_line_below_the_lowest_string_takes_a_longer_neck() {
        let mut line = line(BLUES, "plain", 1);
        let mut low = |midi| {
            sounding(&mut line, 0, midi);
            neck(&line)
        };
        assert_eq!(low(28), Bass::Double);
        assert_eq!(low(25), Bass::DoubleLowC);
        assert_eq!(low(23), Bass::DoubleFive);
        assert_eq!(low(10), Bass::Double);
    }
}
