//! The bytes of a chart as a text.

use linewright_diagnostic::{Diagnostic, FileKind, NotText, utf8};

/// Most bytes of a chart's text; longer ones are refused.
pub const MAX_BYTES: usize = 1 << 20;

/// Checks size and encoding. A byte order mark at the start is skipped.
pub(crate) fn text(bytes: &[u8]) -> Result<&str, Diagnostic> {
    utf8(bytes, MAX_BYTES).map_err(|why| match why {
        NotText::Other(kind) => Diagnostic::error(
            format!("this is {}, and no chart", kind.name()),
            match kind {
                FileKind::Midi => {
                    "a chart is text, MusicXML or ABC; a MIDI file holds a line, which `explain`, `mark` and `profile` take"
                }
                FileKind::Zip => {
                    "if it is compressed MusicXML, give it a name that ends with .mxl; else unpack it"
                }
                FileKind::Pdf | FileKind::Picture | FileKind::Sound => {
                    "type the chords as text, such as `| F7 | Bb7 |`, or give the lead sheet as MusicXML or ABC"
                }
            },
        ),
        NotText::TooLong { bytes } => Diagnostic::error(
            format!("the text has {bytes} bytes, and a chart may have at most {MAX_BYTES}"),
            "give a chart file; a long tune fits into a few thousand bytes",
        ),
        NotText::Utf16 => Diagnostic::error(
            "the text is in UTF-16 (byte 1 begins a UTF-16 byte order mark)",
            "save the file as UTF-8",
        ),
        NotText::Zero { byte } => Diagnostic::error(
            format!("this is no text: byte {byte} is zero"),
            "give a chart file, a plain text in UTF-8",
        ),
        NotText::NotUtf8 { byte, line } => Diagnostic::error(
            format!("byte {byte} (in line {line}) is not UTF-8 text"),
            "save the file as UTF-8",
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_that_are_no_text_are_refused_with_their_position() {
        let refusal = |bytes: &[u8]| text(bytes).unwrap_err().message().to_owned();
        assert!(refusal(b"ab\0c").contains("byte 3 is zero"));
        assert!(refusal(b"a\nb\xFFc").contains("byte 4 (in line 2)"));
        assert!(refusal(b"\xFF\xFEa\0").contains("UTF-16"));
        assert_eq!(refusal(b"%PDF-1.4"), "this is a PDF file, and no chart");
        assert!(refusal(&vec![b' '; MAX_BYTES + 1]).contains("1048577 bytes"));
        assert!(text(&vec![b' '; MAX_BYTES]).is_ok());
    }
}
