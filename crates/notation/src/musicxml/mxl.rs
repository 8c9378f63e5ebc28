//! Compressed files: a zip archive with a container file that names the score.

use std::borrow::Cow;
use std::io::{Cursor, Read, Write};

use linewright_diagnostic::{Diagnostics, Place};
use zip::result::ZipError;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, System, ZipArchive, ZipWriter};

use super::read::xml;

/// The media type of an uncompressed score.
const SCORE: &str = "application/vnd.recordare.musicxml+xml";

/// The media type of a compressed one.
const PACKED: &str = "application/vnd.recordare.musicxml";

const CONTAINER: &str = "META-INF/container.xml";

/// The most bytes of a score inside an archive.
pub(super) const MOST_UNPACKED: u64 = 32 << 20;

/// The most bytes of an archive.
const MOST_PACKED: usize = 4 << 20;

/// The most bytes of the container file.
const MOST_CONTAINER: u64 = 64 << 10;

/// The most files of an archive: parts, pictures and sounds may lie beside the score.
const MOST_FILES: usize = 1000;

/// Whether a file is a zip archive.
pub(super) fn is_packed(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06")
}

/// An archive with this score. Always the same bytes: no times, no system, fixed compression.
pub(super) fn pack(score: &str) -> Vec<u8> {
    let container = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <container>\n  <rootfiles>\n    \
         <rootfile full-path=\"score.musicxml\" media-type=\"{SCORE}\"/>\n  \
         </rootfiles>\n</container>\n"
    );
    let files = [
        ("mimetype", PACKED, CompressionMethod::Stored),
        (CONTAINER, &container, CompressionMethod::Deflated),
        ("score.musicxml", score, CompressionMethod::Deflated),
    ];
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default()
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644)
        .system(System::Unix);
    // Writing to memory fails only for archives of more than four gigabytes.
    let mut write = |(name, text, method): (&str, &str, CompressionMethod)| {
        archive.start_file(name, options.compression_method(method))?;
        archive.write_all(text.as_bytes()).map_err(ZipError::from)
    };
    let written = files.into_iter().try_for_each(&mut write);
    match written.and_then(|()| archive.finish()) {
        Ok(cursor) => cursor.into_inner(),
        Err(_) => Vec::new(),
    }
}

/// The bytes of the score in an archive.
pub(super) fn unpack(bytes: &[u8], problems: &mut Diagnostics) -> Result<Vec<u8>, Diagnostics> {
    if bytes.len() > MOST_PACKED {
        return Err(fault(
            "the compressed file is larger than 4 MB",
            "give the score of one piece, without pictures or sounds",
        ));
    }
    let files = bytes.windows(4).filter(|w| w == b"PK\x01\x02").count();
    if files > MOST_FILES {
        return Err(fault(
            format!("the compressed file says that it holds {files} files"),
            "give an .mxl file with one score",
        ));
    }
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| {
        fault(
            format!("the compressed file is damaged ({})", reason(&error)),
            "save it again as .mxl, or as .musicxml without compression",
        )
    })?;
    let path = match file(&mut archive, CONTAINER, MOST_CONTAINER)? {
        Some(container) => rootfile(&container)?,
        None => only_score(&archive, problems)?,
    };
    file(&mut archive, &path, MOST_UNPACKED)?.ok_or_else(|| {
        fault(
            format!("the compressed file names {path:?} as its score, but does not hold it"),
            "save it again as .mxl, or as .musicxml without compression",
        )
    })
}

/// The path of the score that a container file names.
fn rootfile(container: &[u8]) -> Result<String, Diagnostics> {
    let text = xml::text(container)?;
    let root = xml::tree(&text)?;
    let files = root.child("rootfiles").into_iter().flat_map(|list| {
        list.all("rootfile")
            .map(|file| (file.attribute("full-path"), file.attribute("media-type")))
    });
    files
        .filter(|(_, media)| media.is_none_or(|media| media == SCORE))
        .find_map(|(path, _)| path)
        .map(str::to_owned)
        .ok_or_else(|| {
            fault(
                format!("{CONTAINER} in the compressed file names no score"),
                "save it again as .mxl, or as .musicxml without compression",
            )
        })
}

/// The only file of an archive without a container file that looks like a score.
fn only_score(
    archive: &ZipArchive<Cursor<&[u8]>>,
    problems: &mut Diagnostics,
) -> Result<String, Diagnostics> {
    let is_score = |name: &Cow<str>| {
        let lower = name.to_lowercase();
        (lower.ends_with(".xml") || lower.ends_with(".musicxml")) && !lower.starts_with("meta-inf/")
    };
    // A name that is no text names no score.
    let names = archive.file_names().filter_map(Result::ok);
    let names: Vec<Cow<str>> = names.filter(is_score).collect();
    match &names[..] {
        [name] => {
            problems.remark(
                Place::Whole,
                format!("{CONTAINER} is missing, so the only score in the file was read"),
                "save it again as .mxl",
            );
            Ok(name.to_string())
        }
        _ => Err(fault(
            format!(
                "the zip archive is no .mxl file: {CONTAINER} is missing and it holds {} scores",
                names.len()
            ),
            "give an .mxl file, or one of the scores itself",
        )),
    }
}

/// The bytes of a file in an archive, at most so many; `None` if it is not there.
fn file(
    archive: &mut ZipArchive<Cursor<&[u8]>>,
    path: &str,
    most: u64,
) -> Result<Option<Vec<u8>>, Diagnostics> {
    let usual = [CompressionMethod::Stored, CompressionMethod::Deflated];
    let file = match archive.by_name(path) {
        Err(ZipError::FileNotFound) => return Ok(None),
        Ok(file) if usual.contains(&file.compression()) => Ok(file),
        Ok(_) => Err("it is compressed in another way".to_owned()),
        Err(error) => Err(reason(&error)),
    };
    let file = file.map_err(|why| {
        fault(
            format!("{path:?} in the compressed file cannot be read ({why})"),
            "save it without a password, with the usual compression (deflate)",
        )
    })?;
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes).map_err(|_| {
        fault(
            format!("{path:?} in the compressed file is damaged"),
            "save it again as .mxl, or as .musicxml without compression",
        )
    })?;
    if bytes.len() as u64 > most {
        return Err(fault(
            format!(
                "{path:?} in the compressed file is larger than {} KB",
                most >> 10
            ),
            "give the score of one piece",
        ));
    }
    Ok(Some(bytes))
}

fn reason(error: &ZipError) -> String {
    match error {
        ZipError::Io(_) => "it ends too early".to_owned(),
        ZipError::InvalidArchive(why) => why.to_lowercase(),
        ZipError::UnsupportedArchive(why) => why.to_lowercase(),
        other => other.to_string().to_lowercase(),
    }
}

fn fault(message: impl Into<String>, hint: &str) -> Diagnostics {
    Diagnostics::one(Place::Whole, message, hint)
}
