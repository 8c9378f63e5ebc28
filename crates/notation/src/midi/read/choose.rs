//! Which track is the bass.

use linewright_diagnostic::{Diagnostics, Place};

use super::file::{File, Played, Track};

/// The basses of General MIDI, counted from 0: programs 33 to 40 of the published list
/// (*General MIDI System Level 1*, MIDI Manufacturers Association).
const BASSES: std::ops::RangeInclusive<u8> = 32..=39;

/// The drums of General MIDI: channel 10, counted from 0.
const DRUMS: u8 = 9;

/// The notes of one channel of one track.
pub(super) struct Chosen {
    /// The index of the track.
    pub(super) track: usize,
    /// By when they begin.
    pub(super) notes: Vec<Played>,
}

/// A channel of a track that has notes.
struct Candidate<'a> {
    track: usize,
    of: &'a Track,
    channel: u8,
    count: u64,
    pitches: u64,
}

impl Candidate<'_> {
    fn name(&self) -> &str {
        self.of.name.as_deref().unwrap_or("")
    }

    fn program(&self) -> Option<u8> {
        self.of.programs[usize::from(self.channel)]
    }

    /// How a message names it.
    fn told(&self) -> String {
        let name = match self.name() {
            "" => String::new(),
            name => format!(" \"{}\"", name.chars().take(40).collect::<String>()),
        };
        format!(
            "track {}{name} (channel {})",
            self.track + 1,
            self.channel + 1
        )
    }

    /// Whether its mean pitch is lower.
    fn is_lower_than(&self, other: &Self) -> bool {
        self.pitches * other.count < other.pitches * self.count
    }
}

/// The notes of the track that is asked for, or of the most likely bass.
pub(super) fn choose(
    file: &File,
    asked: Option<&str>,
    problems: &mut Diagnostics,
) -> Result<Chosen, Diagnostics> {
    let all = candidates(file);
    if all.is_empty() {
        return Err(refusal(
            problems,
            "there are no notes in this file".into(),
            "give a file with a bass line".into(),
        ));
    }
    let (chosen, why) = match asked {
        Some(asked) => match asked_for(&all, asked) {
            Some(chosen) => (chosen, None),
            None => {
                return Err(refusal(
                    problems,
                    format!(
                        "no track with notes is called \"{}\"",
                        asked.chars().take(40).collect::<String>()
                    ),
                    format!("these have notes: {}", list(&all)),
                ));
            }
        },
        None => {
            let Some((chosen, why)) = likeliest(&all) else {
                return Err(refusal(
                    problems,
                    "only the drums (channel 10) have notes".into(),
                    "give a file with a bass line, or name the track if it is no drums".into(),
                ));
            };
            (chosen, Some(why))
        }
    };
    if let Some(why) = why
        && all.len() > 1
    {
        problems.remark(
            Place::Whole,
            format!("{} was read, since {why}", chosen.told()),
            format!("to read another, name it: {}", list(&all)),
        );
    }
    let notes = chosen
        .of
        .notes
        .iter()
        .filter(|n| n.channel == chosen.channel);
    Ok(Chosen {
        track: chosen.track,
        notes: notes.copied().collect(),
    })
}

/// A fault that ends the reading, after what was found before it.
fn refusal(before: &mut Diagnostics, message: String, hint: String) -> Diagnostics {
    before.error(Place::Whole, message, hint);
    std::mem::take(before)
}

fn candidates(file: &File) -> Vec<Candidate<'_>> {
    let mut found = Vec::new();
    for (track, of) in file.tracks.iter().enumerate() {
        for channel in 0..16 {
            let notes = of.notes.iter().filter(|note| note.channel == channel);
            let (count, pitches) = notes.fold((0, 0), |(count, pitches), note| {
                (count + 1, pitches + u64::from(note.pitch))
            });
            if count > 0 {
                found.push(Candidate {
                    track,
                    of,
                    channel,
                    count,
                    pitches,
                });
            }
        }
    }
    found
}

/// The candidates as a message lists them.
fn list(all: &[Candidate<'_>]) -> String {
    const MOST: usize = 8;
    let mut told: Vec<String> = all.iter().take(MOST).map(Candidate::told).collect();
    if all.len() > MOST {
        told.push(format!("and {} more", all.len() - MOST));
    }
    told.join(", ")
}

/// The track with this number, name, or part of a name; or the channel.
fn asked_for<'a, 'f>(all: &'a [Candidate<'f>], asked: &str) -> Option<&'a Candidate<'f>> {
    let asked = asked.trim().to_lowercase();
    let number = |text: &str| text.trim().parse::<usize>().ok();
    let track = number(asked.strip_prefix("track ").unwrap_or(&asked));
    let channel = asked.strip_prefix("channel ").and_then(number);
    let fits: [&dyn Fn(&Candidate<'_>) -> bool; 4] = [
        &|c| track == Some(c.track + 1),
        &|c| channel == Some(usize::from(c.channel) + 1),
        &|c| c.name().to_lowercase() == asked,
        &|c| !asked.is_empty() && c.name().to_lowercase().contains(&asked),
    ];
    fits.into_iter().find_map(|fits| {
        let those: Vec<&Candidate<'_>> = all.iter().filter(|c| fits(c)).collect();
        best(&those)
            .map(|(chosen, _)| chosen)
            .or(those.first().copied())
    })
}

fn likeliest<'a, 'f>(all: &'a [Candidate<'f>]) -> Option<(&'a Candidate<'f>, String)> {
    best(&all.iter().collect::<Vec<_>>())
}

/// The most likely bass of some candidates, and why.
fn best<'a, 'f>(all: &[&'a Candidate<'f>]) -> Option<(&'a Candidate<'f>, String)> {
    let pitched: Vec<&Candidate<'_>> = all.iter().copied().filter(|c| c.channel != DRUMS).collect();
    let bass = |program: u8| BASSES.contains(&program);
    let by_program = most_notes(&pitched, |c| c.program().is_some_and(bass));
    if let Some(found) = by_program {
        let program = found.program().map_or(0, |program| program + 1);
        return Some((found, format!("its sound is a bass (program {program})")));
    }
    if let Some(found) = most_notes(&pitched, |c| is_called_bass(c.name())) {
        return Some((found, "it is called a bass".into()));
    }
    let mut lowest: Option<&Candidate<'_>> = None;
    for candidate in pitched {
        if lowest.is_none_or(|lowest| candidate.is_lower_than(lowest)) {
            lowest = Some(candidate);
        }
    }
    lowest.map(|found| (found, "it lies lowest".into()))
}

/// Of those that fit, the one with the most notes; of equals the first.
fn most_notes<'a, 'f>(
    all: &[&'a Candidate<'f>],
    fits: impl Fn(&Candidate<'f>) -> bool,
) -> Option<&'a Candidate<'f>> {
    let mut most: Option<&Candidate<'_>> = None;
    for candidate in all.iter().copied().filter(|c| fits(c)) {
        if most.is_none_or(|most| candidate.count > most.count) {
            most = Some(candidate);
        }
    }
    most
}

/// Whether a name is that of a bass, and of nothing else that has the word in it.
fn is_called_bass(name: &str) -> bool {
    let name = name.to_lowercase();
    let others = ["bassoon", "bass drum", "bass clarinet", "bass trombone"];
    name.contains("bass") && !others.iter().any(|other| name.contains(other))
}
