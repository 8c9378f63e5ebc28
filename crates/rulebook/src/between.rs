//! Notes between the beats: what each does for the walk, which it decorates and never changes.
//!
//! They are named, not weighed: the walk on the beats is judged without them. What the names
//! mean is common practice, no source.

use linewright_theory::Pitch;

/// What a note between the beats does.
#[derive(Copy, Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Between {
    /// A muffled note without a clear pitch.
    Dead,
    /// The note before once more.
    Skip,
    /// In a beat of three: a note that falls below the one on the beat.
    Drop,
    /// The note of the next beat, early.
    Anticipation,
    /// By step from the note before to the next beat, on in the same direction.
    Passing,
    /// By step away from the note before, and back to it on the next beat.
    Neighbour,
    /// By step or from the fifth into the next beat.
    PickUp,
    /// None of these.
    Other,
}

/// What is asked of a note between the beats.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub struct BetweenWindow {
    /// The note.
    pub pitch: Pitch,
    /// Whether it is a ghost (dead) note.
    pub ghost: bool,
    /// The note that sounds until it begins; `None` after a rest.
    pub before: Option<Pitch>,
    /// The note that begins where it ends, if that is on a beat; `None` where it is not, and
    /// before a rest.
    pub into: Option<Pitch>,
    /// In a beat of three notes, the one on the beat.
    pub in_three: Option<Pitch>,
}

impl Between {
    /// What a note does.
    pub fn of(w: &BetweenWindow) -> Self {
        let by = |from: Option<Pitch>, to: Option<Pitch>| {
            Some(i32::from(to?.midi()) - i32::from(from?.midi()))
        };
        let own = Some(w.pitch);
        let is_step = |semitones: i32| matches!(semitones.abs(), 1 | 2);
        let (from, on) = (by(w.before, own), by(own, w.into));
        match (from, on) {
            _ if w.ghost => Between::Dead,
            (Some(0), _) => Between::Skip,
            _ if w.in_three.is_some_and(|beat| w.pitch < beat) => Between::Drop,
            (_, Some(0)) => Between::Anticipation,
            (Some(from), Some(on)) if is_step(from) && from + on == 0 => Between::Neighbour,
            (Some(from), Some(on)) if is_step(from) && is_step(on) && from * on > 0 => {
                Between::Passing
            }
            (_, Some(on)) if is_step(on) || matches!(on, -7 | 5) => Between::PickUp,
            _ => Between::Other,
        }
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        self.words().0
    }

    /// Its short word, of at most four signs, as it stands under a note.
    pub fn short(self) -> &'static str {
        self.words().1
    }

    /// Why it is there, in a sentence.
    pub fn sentence(self) -> &'static str {
        self.words().2
    }

    fn words(self) -> (&'static str, &'static str, &'static str) {
        match self {
            Between::Dead => (
                "dead note",
                "dead",
                "A muffled note between the beats, felt more than heard.",
            ),
            Between::Skip => (
                "repeated-note skip",
                "skip",
                "The note before sounds once more between the beats and pushes the next.",
            ),
            Between::Drop => (
                "triplet drop",
                "drop",
                "In a beat of three the line drops below the note on the beat.",
            ),
            Between::Anticipation => (
                "anticipation off the beat",
                "ant8",
                "The note of the next beat sounds before it.",
            ),
            Between::Passing => (
                "passing eighth",
                "pas8",
                "Fills the way from the note before to the next beat by step.",
            ),
            Between::Neighbour => (
                "neighbour eighth",
                "nbr8",
                "A step away from the note before, and back to it on the next beat.",
            ),
            Between::PickUp => (
                "pick-up into the beat",
                "pick",
                "Leads into the next beat by step or from its fifth.",
            ),
            Between::Other => (
                "note between the beats",
                "off",
                "Sounds between the beats, and neither repeats nor leads.",
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pitch(name: &str) -> Pitch {
        let note: linewright_theory::Note = name.parse().unwrap();
        note.pitch().unwrap()
    }

    /// The name of the second of some notes, the third of which is on a beat; `r` for a rest.
    fn name(notes: &str) -> &'static str {
        let notes: Vec<Option<Pitch>> = notes
            .split(' ')
            .map(|word| (word != "r").then(|| pitch(word)))
            .collect();
        let window = BetweenWindow {
            pitch: notes[1].unwrap(),
            ghost: false,
            before: notes[0],
            into: notes[2],
            in_three: None,
        };
        Between::of(&window).name()
    }

    #[test]
    fn a_note_between_the_beats_is_named_by_what_it_comes_from_and_leads_to() {
        for (notes, wanted) in [
            ("A1 A1 C2", "repeated-note skip"),
            ("A1 A1 A1", "repeated-note skip"),
            ("F1 A1 A1", "anticipation off the beat"),
            ("r A1 A1", "anticipation off the beat"),
            ("C2 D2 E2", "passing eighth"),
            ("E2 Eb2 D2", "passing eighth"),
            ("C2 B1 C2", "neighbour eighth"),
            ("F1 B1 C2", "pick-up into the beat"),
            ("r B1 C2", "pick-up into the beat"),
            ("C2 G1 C2", "pick-up into the beat"),
            ("C2 D2 C2", "neighbour eighth"),
            ("F1 A1 r", "note between the beats"),
            ("F1 A1 D2", "pick-up into the beat"),
            ("F1 A1 Db2", "note between the beats"),
        ] {
            assert_eq!(name(notes), wanted, "{notes}");
        }
    }

    #[test]
    fn in_a_beat_of_three_the_notes_below_the_beat_are_drops() {
        let window = BetweenWindow {
            pitch: pitch("E1"),
            ghost: false,
            before: Some(pitch("A1")),
            into: Some(pitch("D2")),
            in_three: Some(pitch("D2")),
        };
        assert_eq!(Between::of(&window).name(), "triplet drop");
        let above = BetweenWindow {
            pitch: pitch("F2"),
            ..window
        };
        assert_ne!(Between::of(&above), Between::Drop);
        let dead = BetweenWindow {
            ghost: true,
            ..window
        };
        assert_eq!(Between::of(&dead), Between::Dead);
    }

    #[test]
    fn every_name_has_a_word_of_its_own_that_fits_under_a_note() {
        use Between::*;
        let all = [
            Dead,
            Skip,
            Drop,
            Anticipation,
            Passing,
            Neighbour,
            PickUp,
            Other,
        ];
        for (nth, one) in all.iter().enumerate() {
            assert!(one.short().chars().count() <= 4);
            assert!(one.sentence().ends_with('.'));
            let functions = crate::RULES.iter().map(|rule| rule.label);
            for label in functions {
                let (crate::Label::This(name)
                | crate::Label::Before(name)
                | crate::Label::BothBefore(name)) = label
                else {
                    continue;
                };
                assert!(name.long != one.name() && name.short != one.short());
            }
            for other in &all[..nth] {
                assert_ne!((one.name(), one.short()), (other.name(), other.short()));
                assert_ne!(one.short(), other.short());
            }
        }
    }
}
