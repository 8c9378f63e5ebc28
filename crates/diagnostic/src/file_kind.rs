//! Files that are no text, told by their first bytes.

/// A kind of file that people give where a text is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A Standard MIDI File.
    Midi,
    /// A zip archive, as compressed MusicXML is.
    Zip,
    /// A PDF file.
    Pdf,
    /// A picture.
    Picture,
    /// A recording.
    Sound,
}

/// How files of each kind begin (their formats' own specifications, from memory). RIFF files say
/// what they are after eight bytes.
const BEGINNINGS: [(&[u8], FileKind); 12] = [
    (b"MThd\0", FileKind::Midi),
    (b"PK\x03\x04", FileKind::Zip),
    (b"PK\x05\x06", FileKind::Zip),
    (b"%PDF-", FileKind::Pdf),
    (b"\x89PNG\r\n", FileKind::Picture),
    (b"\xFF\xD8\xFF", FileKind::Picture),
    (b"GIF87a", FileKind::Picture),
    (b"GIF89a", FileKind::Picture),
    (b"OggS\0", FileKind::Sound),
    (b"fLaC\0", FileKind::Sound),
    (b"ID3\x03", FileKind::Sound),
    (b"ID3\x04", FileKind::Sound),
];

impl FileKind {
    /// The kind of file that begins with these bytes, where it is one of those that are no text.
    pub fn of(bytes: &[u8]) -> Option<Self> {
        if bytes.starts_with(b"RIFF") {
            return match bytes.get(8..12)? {
                b"RMID" => Some(FileKind::Midi),
                b"WAVE" => Some(FileKind::Sound),
                b"WEBP" => Some(FileKind::Picture),
                _ => None,
            };
        }
        let begins = |(beginning, _): &&(&[u8], FileKind)| bytes.starts_with(beginning);
        BEGINNINGS.iter().find(begins).map(|(_, kind)| *kind)
    }

    /// What it is, for a message: `a MIDI file`.
    pub fn name(self) -> &'static str {
        match self {
            FileKind::Midi => "a MIDI file",
            FileKind::Zip => "a zip archive, as compressed MusicXML is",
            FileKind::Pdf => "a PDF file",
            FileKind::Picture => "a picture",
            FileKind::Sound => "a recording",
        }
    }

    /// What to do with one that was given for the text of a line.
    pub fn hint_for_line(self) -> &'static str {
        match self {
            FileKind::Midi => "give the file a name that ends with .mid",
            FileKind::Zip => {
                "if it is compressed MusicXML, give it a name that ends with .mxl; else unpack it"
            }
            FileKind::Pdf | FileKind::Picture | FileKind::Sound => {
                "give the line as MusicXML (.musicxml, .mxl), MIDI (.mid), ABC (.abc) or text"
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_are_told_by_first_bytes_and_texts_have_none() {
        let kind = |bytes: &[u8]| FileKind::of(bytes);
        assert_eq!(kind(b"MThd\0\0\0\x06"), Some(FileKind::Midi));
        assert_eq!(kind(b"RIFF\x10\0\0\0RMIDdata"), Some(FileKind::Midi));
        assert_eq!(kind(b"RIFF\x10\0\0\0WAVEfmt "), Some(FileKind::Sound));
        assert_eq!(kind(b"PK\x03\x04\x14"), Some(FileKind::Zip));
        assert_eq!(kind(b"%PDF-1.7\n"), Some(FileKind::Pdf));
        assert_eq!(kind(b"\x89PNG\r\n\x1a\n"), Some(FileKind::Picture));
        for text in ["", "RIFF", "| C7 |", "ID3 blues", "MThd", "PK and I"] {
            assert_eq!(kind(text.as_bytes()), None, "{text}");
        }
    }
}
