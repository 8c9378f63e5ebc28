//! Files that are broken, or that mean harm.

use std::io::{Cursor, Write};
use std::time::{Duration, Instant};

use linewright_diagnostic::Diagnostics;
use proptest::prelude::*;
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipWriter};

use crate::musicxml::{Options, read, samples, write, write_mxl};

fn error(bytes: &[u8]) -> String {
    let started = Instant::now();
    let error = match read(bytes, None) {
        Ok((score, _)) => panic!("read as {} measures", score.measures.len()),
        Err(problems) => problems.to_string(),
    };
    // Unoptimised tests on a busy machine get a wider limit than the one second of a user.
    assert!(started.elapsed() < Duration::from_secs(20), "{error}");
    error
}

#[track_caller]
fn assert_refused(text: &str, wanted: &str) {
    let error = error(text.as_bytes());
    assert!(error.contains(wanted), "{error}");
    assert!(error.contains("hint: "), "{error}");
}

/// A score with something in its title.
fn titled(title: &str) -> String {
    format!("<score-partwise><movement-title>{title}</movement-title></score-partwise>")
}

#[test]
fn entities_are_refused_and_the_public_document_type_is_not() {
    let bomb = "<!DOCTYPE score-partwise [<!ENTITY a 'ha'><!ENTITY b '&a;&a;&a;&a;&a;&a;'>]>";
    assert_refused(&format!("{bomb}{}", titled("&b;")), "declares entities");
    let outside = "<!DOCTYPE score-partwise [<!ENTITY a SYSTEM 'file:///etc/passwd'>]>";
    assert_refused(&format!("{outside}{}", titled("&a;")), "declares entities");
    assert_refused(&titled("&uuml;"), "\"uuml\" is not one of XML itself");
    assert_refused(&titled("&#0;"), "is not one of XML itself");
    assert_refused(&titled("&#x110000;"), "is not one of XML itself");
    let attribute = "<score-partwise><part id='&a;'/></score-partwise>";
    assert_refused(attribute, "an attribute of this element cannot be read");
    let score = write(&Default::default(), &Options::default());
    assert!(score.contains("<!DOCTYPE score-partwise PUBLIC"));
    assert!(read(score.as_bytes(), None).is_ok());
}

#[test]
fn the_place_of_a_fault_is_told() {
    let text = "<score-partwise>\n <part-list>\n  <é &x;></score-partwise>";
    let error = error(text.as_bytes());
    assert!(error.starts_with("3:"), "{error}");
}

#[test]
fn documents_that_are_cut_off_or_go_on_are_refused() {
    let whole = write(&Default::default(), &Options::default());
    let end = whole.trim_end().len();
    for cut in (0..end).step_by(7) {
        assert!(read(&whole.as_bytes()[..cut], None).is_err(), "{cut}");
    }
    assert_refused(&format!("{whole}<more/>"), "a second document");
    assert_refused(&format!("{whole}more"), "outside the document");
    assert_refused("", "no XML document");
    assert_refused("   ", "no XML document");
    assert_refused("X:1\nK:C\n", "text stands outside");
    assert_refused(
        "<opus/>",
        "no MusicXML score but a document called \"opus\"",
    );
    assert_refused("<score-partwise></score-timewise>", "not well-formed");
    assert_refused("<score-partwise/>", "the score has no measures");
}

#[test]
fn deep_wide_and_endless_files_are_refused() {
    let deep = "<a>".repeat(100_000);
    assert_refused(
        &format!("<score-partwise>{deep}"),
        "nested more than 64 deep",
    );
    let wide = format!(
        "<score-partwise><part id='P1'><measure>{}</measure></part></score-partwise>",
        "<note/>".repeat(60_000)
    );
    assert_refused(&wide, "more than 50000 elements");
    let endless = "<x/>".repeat(1_600_000);
    assert_refused(
        &format!("<score-partwise>{endless}</score-partwise>"),
        "more than 1500000 elements",
    );
    let many = format!(
        "<score-partwise><part id='P1'>{}</part></score-partwise>",
        "<measure/>".repeat(60_000)
    );
    assert_refused(&many, "more than 50000 measures");
    let parts: String = (0..600)
        .map(|n| format!("<part id='{n}'><measure/></part>"))
        .collect();
    assert_refused(
        &format!("<score-partwise>{parts}</score-partwise>"),
        "more than 500 parts",
    );
    let measure = format!("<measure>{}</measure>", "<note><rest/></note>".repeat(2000));
    let notes = format!(
        "<score-partwise><part id='1'>{}</part></score-partwise>",
        measure.repeat(60)
    );
    assert_refused(&notes, "more than 100000 notes");
    let attributes: String = (0..100_000).map(|n| format!(" a{n}=''")).collect();
    assert_refused(
        &format!("<score-partwise{attributes}/>"),
        "more than 64 attributes",
    );
    assert_refused(&" ".repeat((32 << 20) + 1), "larger than 32 MB");
}

#[test]
fn absurd_numbers_are_read_as_what_they_can_be() {
    let measure = "<measure><attributes><divisions>999999999</divisions><time><beats>255</beats>\
        <beat-type>1</beat-type></time></attributes><note><pitch><step>C</step><alter>99</alter>\
        <octave>9</octave></pitch><duration>999999999</duration></note><backup><duration>\
        999999999</duration></backup><backup><duration>999999999</duration></backup>\
        <forward><duration>-5</duration></forward><harmony><root><root-step>C</root-step>\
        <root-alter>1e9</root-alter></root><kind>major</kind><offset>-999999999</offset></harmony>\
        <sound tempo='999999999'/><note><rest/><duration>999999999999</duration></note></measure>";
    let text = format!(
        "<score-partwise><part id='1'>{}</part></score-partwise>",
        measure.repeat(3)
    );
    let (score, problems) = read(text.as_bytes(), None).unwrap();
    assert_eq!(score.measures.len(), 3);
    assert!(!problems.is_empty());
    let again = write(&score, &Options::default());
    assert!(read(again.as_bytes(), None).is_ok());
}

/// An archive of these files, with a container file that names the first unless one is given.
fn archive(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        zip.start_file(*name, SimpleFileOptions::default()).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

const CONTAINER: &str = "META-INF/container.xml";

#[test]
fn zip_bombs_are_refused_by_what_they_unpack_to() {
    let container = b"<container><rootfiles><rootfile full-path='a.xml'/></rootfiles></container>";
    let zeros = vec![b' '; 64 << 20];
    let bomb = archive(&[(CONTAINER, container), ("a.xml", &zeros)]);
    assert!(bomb.len() < 1 << 20);
    let told = error(&bomb);
    assert!(
        told.contains("\"a.xml\" in the compressed file is larger than 32768 KB"),
        "{told}"
    );
    let told = error(&archive(&[(CONTAINER, &zeros)]));
    assert!(told.contains("is larger than 64 KB"), "{told}");
    let mut large = archive(&[("a.xml", b"")]);
    large.resize((4 << 20) + 1, 0);
    assert!(error(&large).contains("larger than 4 MB"));
}

#[test]
fn archives_that_are_no_scores_are_refused_with_clear_words() {
    let score = write(&Default::default(), &Options::default());
    let score = score.as_bytes();
    // One score and no container: read, and told.
    let (_, problems) = read(&archive(&[("a.musicxml", score)]), None).unwrap();
    assert!(problems.to_string().contains("container.xml is missing"));
    let told = error(&archive(&[("a.xml", score), ("b.xml", score)]));
    assert!(told.contains("it holds 2 scores"), "{told}");
    let told = error(&archive(&[("a.txt", b"x")]));
    assert!(told.contains("it holds 0 scores"), "{told}");
    let lost = b"<container><rootfiles><rootfile full-path='../x'/></rootfiles></container>";
    let told = error(&archive(&[(CONTAINER, lost), ("a.xml", score)]));
    assert!(told.contains("names \"../x\" as its score"), "{told}");
    let none = b"<container/>";
    let told = error(&archive(&[(CONTAINER, none), ("a.xml", score)]));
    assert!(told.contains("names no score"), "{told}");
    assert!(error(b"PK\x03\x04").contains("is damaged"));
    assert!(error(b"PK\x05\x06").contains("is damaged"));
}

#[test]
fn a_password_and_an_unknown_compression_are_told() {
    let mut packed = write_mxl(&Default::default(), &Options::default());
    let headers: Vec<usize> = (0..packed.len() - 4)
        .filter(|&at| &packed[at..at + 4] == b"PK\x01\x02")
        .collect();
    assert_eq!(headers.len(), 3);
    let plain = packed.clone();
    for &header in &headers {
        packed[header + 8] |= 1;
    }
    assert!(error(&packed).contains("without a password"));
    let mut packed = plain;
    for &header in &headers {
        packed[header + 10] = 12;
    }
    let told = error(&packed);
    assert!(told.contains("usual compression"), "{told}");
}

#[test]
fn an_archive_of_too_many_files_is_refused() {
    let names: Vec<String> = (0..1100).map(|n| n.to_string()).collect();
    let files: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
    assert!(error(&archive(&files)).contains("says that it holds 1100 files"));
}

#[test]
fn an_archive_has_the_files_that_the_standard_asks_for_and_no_times() {
    let packed = write_mxl(&Default::default(), &Options::default());
    let mut zip = zip::ZipArchive::new(Cursor::new(&packed[..])).unwrap();
    let names: Vec<String> = zip.file_names().map(|name| name.unwrap().into()).collect();
    assert_eq!(names, ["mimetype", CONTAINER, "score.musicxml"]);
    for at in 0..zip.len() {
        let file = zip.by_index(at).unwrap();
        assert_eq!(file.last_modified().unwrap().year(), 1980);
        let stored = file.compression() == CompressionMethod::Stored;
        assert_eq!(stored, file.name().unwrap() == "mimetype");
    }
}

/// Whatever it is, it is read or refused, with something to tell.
fn survives(bytes: &[u8]) -> Result<(), TestCaseError> {
    match read(bytes, None) {
        Ok((score, _)) => {
            let again = write(&score, &Options { under: true });
            let (back, problems) =
                read(again.as_bytes(), None).map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert_eq!(back, crate::musicxml::as_written(&score));
            prop_assert_eq!(problems, Diagnostics::default());
        }
        Err(problems) => prop_assert!(!problems.is_empty()),
    }
    Ok(())
}

/// Pieces that MusicXML files are made of, and some that they are not.
fn token() -> impl Strategy<Value = &'static str> {
    let tokens = "<note> </note> <rest/> <chord/> <grace/> <cue/> <pitch> </pitch> <step>C</step> \
        <alter>-1</alter> <octave>2</octave> <duration>1</duration> <duration>7</duration> \
        <voice>2</voice> <staff>2</staff> <tie|type='start'/> <backup> </backup> <forward> \
        </forward> <harmony> </harmony> <root> </root> <root-step>F</root-step> \
        <kind>dominant</kind> <kind|text='x'>other</kind> <offset>-2</offset> <attributes> \
        </attributes> <divisions>3</divisions> <divisions>0.5</divisions> <time> </time> \
        <beats>3</beats> <beat-type>4</beat-type> <key> </key> <fifths>-3</fifths> <transpose> \
        </transpose> <chromatic>-14</chromatic> <direction> </direction> <direction-type> \
        </direction-type> <words>D.S.</words> <coda/> <segno/> <sound|tocoda='x'/> \
        <sound|dacapo='yes'|tempo='9'/> <barline> </barline> <repeat|direction='backward'/> \
        <ending|number='1'|type='start'/> </measure><measure> </part><part|id='P2'> <lyric> \
        </lyric> <text>x</text> <notehead>x</notehead> <type>eighth</type> <dot/> &amp; &#65; \
        <!--c--> <![CDATA[d]]> <?p?> < > & x";
    let tokens: Vec<String> = tokens
        .split_whitespace()
        .map(|t| t.replace('|', " "))
        .collect();
    let tokens: Vec<&'static str> = tokens.into_iter().map(|t| &*t.leak()).collect();
    prop::sample::select(tokens)
}

proptest! {
    #[test]
    fn arbitrary_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        survives(&bytes)?;
    }

    #[test]
    fn elements_in_any_order_are_read_or_refused(tokens in prop::collection::vec(token(), 0..60)) {
        let text = format!(
            "<score-partwise><part id='P1'><measure>{}</measure></part></score-partwise>",
            tokens.concat()
        );
        survives(text.as_bytes())?;
    }

    #[test]
    fn elements_that_are_closed_are_read(tokens in prop::collection::vec(token(), 0..80)) {
        // What is not closed is; what was not opened goes.
        let mut open: Vec<&str> = Vec::new();
        let mut text = String::from("<score-partwise><part id='P1'><measure>");
        for token in tokens {
            let name = token.trim_matches(['<', '>', '/']).split([' ', '>']).next().unwrap_or("");
            if token.starts_with("</") && !token.contains("><") {
                if open.last() == Some(&name) {
                    open.pop();
                    text += token;
                }
            } else if token.starts_with('<') && token.len() > 1 && !token.contains("</")
                && !token.ends_with("/>") && !token.starts_with("<!") && !token.starts_with("<?")
            {
                open.push(name);
                text += token;
            } else if token.contains("<measure>") || token.contains("<part ") {
                if open.is_empty() && !token.contains("<part ") {
                    text += token;
                }
            } else if !["<", ">", "&"].contains(&token) {
                text += token;
            }
        }
        for name in open.iter().rev() {
            text += &format!("</{name}>");
        }
        text += "</measure></part></score-partwise>";
        prop_assert!(read(text.as_bytes(), None).is_ok(), "{}", text);
        survives(text.as_bytes())?;
    }

    #[test]
    fn mutated_files_are_read_or_refused(
        score in samples::score(),
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0..4_u8), 1..6),
        packed in any::<bool>(),
    ) {
        let options = Options { under: true };
        let mut bytes = if packed {
            write_mxl(&score, &options)
        } else {
            write(&score, &options).into_bytes()
        };
        for (at, value, how) in changes {
            if bytes.is_empty() {
                break;
            }
            let at = at.index(bytes.len());
            match how {
                0 => bytes[at] = value,
                1 => bytes.truncate(at),
                2 => { bytes.remove(at); }
                _ => bytes.insert(at, value),
            }
        }
        survives(&bytes)?;
    }
}
