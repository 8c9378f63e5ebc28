//! Sections, tempo, feel, and the signs of the form.

use linewright_diagnostic::clean::one_line;

use super::clock::{decimal, whole};
use super::note::beat_unit;
use super::part::PartReader;
use super::tally::Kind;
use super::xml::Node;
use crate::musicxml::page::clean_some;
use crate::{Jump, QUARTER, Ticks, Until};

/// What words above a staff can mean.
enum Meaning {
    Jump(Jump),
    Fine,
    ToCoda,
}

impl PartReader {
    pub(super) fn direction(&mut self, node: &Node) {
        let offset = node.text_of("offset").and_then(decimal);
        let at = self.clock.after(offset.unwrap_or(0));
        let types = || node.all("direction-type").flat_map(|kind| &kind.children);
        let words: Vec<String> = types()
            .filter(|child| child.name == "words")
            .map(|child| one_line(child.text()))
            .collect();
        let words = one_line(&words.join(" "));

        let section = types().find(|child| child.name == "rehearsal");
        if let Some(section) = section.and_then(|child| clean_some(Some(child.text())))
            && let Some(bar) = self.bar()
        {
            bar.measure.section = Some(section);
        }
        let sound = node.child("sound");
        let formal = ["dacapo", "dalsegno", "fine", "tocoda", "segno", "coda"];
        let is_formal = sound.is_some_and(|s| formal.iter().any(|a| s.attribute(a).is_some()));
        if let Some(sound) = sound {
            self.sound(sound, &words, at);
        }
        let meaning = meaning(&words);
        let plain = meaning.is_none();
        if !is_formal {
            match meaning {
                Some(Meaning::Jump(jump)) => self.jump(jump, false),
                Some(Meaning::Fine) => self.fine(),
                Some(Meaning::ToCoda) => self.coda_jump(at),
                None => {
                    for child in types() {
                        self.sign(child.name, at);
                    }
                }
            }
        }
        let metronome = types().find(|child| child.name == "metronome");
        let told = sound.is_some_and(|sound| sound.attribute("tempo").is_some());
        if let Some(metronome) = metronome.filter(|_| !told) {
            self.metronome(metronome, at);
        }
        let here = self.here();
        if here < 2 && at == 0 && plain && !is_formal && !words.is_empty() {
            self.feel.push((here, words));
        }
    }

    /// A segno or coda sign that no sound element explains.
    fn sign(&mut self, name: &str, at: Ticks) {
        let here = self.here();
        match name {
            "segno" => {
                if let Some(bar) = self.bar() {
                    bar.measure.segno = true;
                }
            }
            "coda" => self.coda_signs.push((here, at > 0)),
            _ => {}
        }
    }

    /// Reads a sound element, which stands with these words.
    pub(super) fn sound(&mut self, node: &Node, words: &str, at: Ticks) {
        let said = |name| node.attribute(name).is_some_and(|value| value != "no");
        if let Some(tempo) = node.attribute("tempo").and_then(decimal) {
            self.tempo(tempo, at);
        }
        if let Some(bar) = self.bar() {
            bar.measure.segno |= said("segno");
            bar.measure.coda |= said("coda");
        }
        if said("tocoda") {
            self.coda_jump(at);
        }
        if said("fine") {
            self.fine();
        }
        if said("dacapo") || said("dalsegno") {
            let until = match meaning(words) {
                Some(Meaning::Jump(jump)) => Some(jump.until),
                _ => None,
            };
            let jump = Jump {
                to_segno: said("dalsegno"),
                until: until.unwrap_or(Until::End),
            };
            self.jump(jump, until.is_none());
        }
    }

    fn jump(&mut self, jump: Jump, open: bool) {
        let here = self.here();
        if open {
            self.open_jumps.push(here);
        }
        if let Some(bar) = self.bar() {
            bar.measure.jump = Some(jump);
        }
    }

    fn fine(&mut self) {
        if let Some(bar) = self.bar() {
            bar.measure.fine = true;
        }
    }

    fn coda_jump(&mut self, at: Ticks) {
        let here = self.here();
        let late = at == 0 && here > 0;
        if late {
            self.count(Kind::LateToCoda);
        }
        let place = here - usize::from(late);
        if let Some(bar) = self.bars.get_mut(place) {
            bar.measure.to_coda = true;
        }
    }

    /// A tempo in millionths of a quarter note a minute.
    fn tempo(&mut self, tempo: i64, at: Ticks) {
        let (tempo, exact) = whole(tempo);
        let tempo = u16::try_from(tempo).ok().filter(|&tempo| tempo > 0);
        if !exact || tempo.is_none() {
            self.count(Kind::RoundTempo);
        }
        if at > 0 {
            self.count(Kind::MidTempo);
        }
        if let Some(bar) = self.bar()
            && (at == 0 || bar.measure.tempo.is_none())
        {
            bar.measure.tempo = tempo.or(bar.measure.tempo);
        }
    }

    fn metronome(&mut self, node: &Node, at: Ticks) {
        let number = |text: &str| -> Option<i64> {
            let rest = text.trim_start_matches(|c: char| !c.is_ascii_digit());
            let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.');
            decimal(&rest[..end.unwrap_or(rest.len())])
        };
        let (Some(unit), Some(beats)) =
            (beat_unit(node), node.text_of("per-minute").and_then(number))
        else {
            return;
        };
        let quarters = i128::from(beats) * i128::from(unit) / i128::from(QUARTER);
        if let Ok(quarters) = i64::try_from(quarters) {
            self.tempo(quarters, at);
        }
    }
}

/// What words say about the form.
fn meaning(words: &str) -> Option<Meaning> {
    let plain: String = words
        .to_lowercase()
        .chars()
        .filter(|c| c.is_alphanumeric())
        .collect();
    if plain == "fine" {
        return Some(Meaning::Fine);
    }
    if plain.starts_with("tocoda") || plain == "alcoda" {
        return Some(Meaning::ToCoda);
    }
    let (to_segno, rest) = [
        ("dacapo", false),
        ("dc", false),
        ("dalsegno", true),
        ("ds", true),
    ]
    .into_iter()
    .find_map(|(word, to_segno)| Some((to_segno, plain.strip_prefix(word)?)))?;
    let until = match rest {
        "" => Until::End,
        _ if rest.starts_with("alfine") => Until::Fine,
        _ if rest.contains("coda") && rest.starts_with('a') => Until::Coda,
        _ => return None,
    };
    Some(Meaning::Jump(Jump { to_segno, until }))
}
