//! Any score goes into every format, and what is written is read: as a sound score that is from
//! then on the same in that format, or refused in words where nothing sounds in it.

use proptest::prelude::*;

use crate::abc::round_trip::assert_sound;
use crate::musicxml::samples::score;
use crate::{Score, abc, line_text, midi, musicxml};

type Read = Result<(Score, linewright_diagnostic::Diagnostics), linewright_diagnostic::Diagnostics>;

/// A format, as it is written and read.
struct Format {
    name: &'static str,
    write: fn(&Score) -> Option<Vec<u8>>,
    read: fn(&[u8]) -> Read,
}

const UNDER: musicxml::Options = musicxml::Options { under: true };

const FORMATS: [Format; 5] = [
    Format {
        name: "text",
        write: |score| Some(line_text::write(score).into_bytes()),
        read: |bytes| {
            let (mut lines, problems) = line_text::read(bytes)?;
            assert_eq!(lines.len(), 1);
            Ok((lines.remove(0), problems))
        },
    },
    Format {
        name: "MIDI",
        write: |score| midi::write_score(score).ok(),
        read: |bytes| midi::read(bytes, None),
    },
    Format {
        name: "MusicXML",
        write: |score| Some(musicxml::write(score, &UNDER).into_bytes()),
        read: |bytes| musicxml::read(bytes, None),
    },
    Format {
        name: "packed MusicXML",
        write: |score| Some(musicxml::write_mxl(score, &UNDER)),
        read: |bytes| musicxml::read(bytes, None),
    },
    Format {
        name: "ABC",
        write: |score| Some(abc::write(std::slice::from_ref(score)).into_bytes()),
        read: |bytes| abc::read(bytes, None),
    },
];

proptest! {
    #[test]
    fn any_score_goes_into_every_format_and_out_of_it(score in score()) {
        let mut events = score.measures.iter().flat_map(|measure| &measure.events);
        let notes = events.any(|event| event.note.is_some_and(|note| note.pitch().is_some()));
        for Format { name, write, read } in FORMATS {
            let Some(written) = write(&score) else {
                prop_assert!(name == "MIDI", "{name} is not written");
                continue;
            };
            let found = read(&written);
            assert_sound(&found);
            let Ok((first, _)) = found else {
                prop_assert!(!notes, "{name} is refused: {found:?}\n{}", String::from_utf8_lossy(&written));
                continue;
            };
            let again = write(&first).expect("what was read is written");
            let (second, _) = read(&again).expect("what was read and written");
            if name == "MIDI" {
                // Where a file tells no tempo it is played at one; a section may be called as a
                // chord is.
                let sounds = |score: &Score| -> Vec<_> {
                    let measures = score.measures.iter();
                    measures.map(|measure| (measure.ticks, measure.events.clone())).collect()
                };
                prop_assert_eq!(sounds(&second), sounds(&first));
                continue;
            }
            prop_assert_eq!(&second, &first, "{}: {}", name, String::from_utf8_lossy(&written));
        }
    }
}
