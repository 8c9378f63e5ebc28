//! Bytes that should be a text.

use crate::FileKind;

/// Why bytes are no text that is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotText {
    /// They are a file of another kind.
    Other(FileKind),
    /// There are too many.
    TooLong {
        /// How many there are.
        bytes: usize,
    },
    /// They begin with the byte order mark of UTF-16.
    Utf16,
    /// One of them is zero.
    Zero {
        /// Which, from 1.
        byte: usize,
    },
    /// They are no UTF-8.
    NotUtf8 {
        /// The first that is wrong, from 1.
        byte: usize,
        /// The line that it is in, from 1.
        line: usize,
    },
}

/// At most so many bytes as a text in UTF-8, without a byte order mark.
///
/// # Errors
/// Why it is none; each format says in its own words what to give instead.
pub fn utf8(bytes: &[u8], most: usize) -> Result<&str, NotText> {
    if let Some(kind) = FileKind::of(bytes) {
        return Err(NotText::Other(kind));
    }
    if bytes.len() > most {
        return Err(NotText::TooLong { bytes: bytes.len() });
    }
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(NotText::Utf16);
    }
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(NotText::Zero { byte: at + 1 });
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let at = error.valid_up_to();
        NotText::NotUtf8 {
            byte: at + 1,
            line: 1 + bytes[..at].iter().filter(|byte| **byte == b'\n').count(),
        }
    })?;
    Ok(text.strip_prefix('\u{FEFF}').unwrap_or(text))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_that_are_no_text_are_refused_with_their_place() {
        let refusal = |bytes: &[u8]| utf8(bytes, 10).unwrap_err();
        assert_eq!(refusal(b"ab\0c"), NotText::Zero { byte: 3 });
        assert_eq!(refusal(b"a\nb\xFFc"), NotText::NotUtf8 { byte: 4, line: 2 });
        assert_eq!(refusal(b"\xFF\xFEa\0"), NotText::Utf16);
        let other = NotText::Other(FileKind::Pdf);
        assert_eq!(refusal(b"%PDF-1.7 and more"), other);
        assert_eq!(refusal(&[b' '; 11]), NotText::TooLong { bytes: 11 });
        assert_eq!(utf8(b"\xEF\xBB\xBF123", 10), Ok("123"));
    }
}
