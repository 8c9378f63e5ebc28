//! Compressed MusicXML in.
//!
//! An input that begins as a zip archive does is one. Of any other, an archive is made, so that
//! its check sums are right: what stands before the first zero byte is the container file, what
//! stands after it the score.

#![no_main]

use std::io::{Cursor, Write};

use libfuzzer_sys::fuzz_target;
use linewright_fuzz::{accepted, check_score, frugally, without_rows};
use linewright_notation::musicxml;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

fn archive(container: &[u8], score: &[u8]) -> Vec<u8> {
    let mut archive = ZipWriter::new(Cursor::new(Vec::new()));
    let files = [("META-INF/container.xml", container), ("score.xml", score)];
    for (nth, (name, bytes)) in files.into_iter().enumerate() {
        // An empty container file is left out.
        if nth == 0 && bytes.is_empty() {
            continue;
        }
        let deflate = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        archive.start_file(name, deflate).expect("a file");
        archive.write_all(bytes).expect("its bytes");
    }
    archive.finish().expect("an archive").into_inner()
}

fuzz_target!(|bytes: &[u8]| {
    let made;
    let bytes = if bytes.starts_with(b"PK") {
        bytes
    } else {
        let mut parts = bytes.splitn(2, |byte| *byte == 0);
        made = archive(parts.next().unwrap_or(b""), parts.next().unwrap_or(b""));
        &made
    };
    if let Some(score) = accepted(frugally(|| musicxml::read(bytes, None))) {
        check_score(&score);
        let packed = musicxml::write_mxl(&score, &musicxml::Options::default());
        let (back, problems) = musicxml::read(&packed, None).expect("what was written");
        assert!(problems.is_empty(), "{problems}");
        assert_eq!(back, without_rows(musicxml::as_written(&score)));
    }
});
