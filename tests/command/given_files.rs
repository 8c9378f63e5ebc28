//! Files of lines that are none, or are damaged: told in plain words, by every command that reads
//! lines, and never a panic.

use crate::run::{Ended, Folder, LINE_FORMATS};

const READ: i32 = 5;
const WRITE: i32 = 6;
const LINE: i32 = 7;

/// Every command that reads a line, for one that is called `NAME`.
const COMMANDS: [&str; 4] = [
    "explain NAME --chart blues.chart",
    "mark NAME --chart blues.chart",
    "profile NAME --chart blues.chart",
    "vary blues.chart --bars 3-4 --line NAME",
];

/// Runs every command on a file of this name.
fn all(folder: &Folder, name: &str) -> Vec<(String, Ended)> {
    COMMANDS
        .map(|command| {
            let command = command.replace("NAME", name);
            let ended = folder.line(&command);
            (command, ended)
        })
        .into()
}

/// A MIDI file with one track of these events.
fn midi(events: &[u8]) -> Vec<u8> {
    let mut bytes = b"MThd\0\0\0\x06\0\0\0\x01\0\x60MTrk".to_vec();
    bytes.extend((events.len() as u32).to_be_bytes());
    bytes.extend(events);
    bytes
}

#[test]
fn files_that_hold_no_line_are_refused_by_name_with_a_hint() {
    let folder = Folder::new();
    let contents: [(&str, &[u8]); 4] = [
        ("empty", b""),
        ("blank", b"\n \n\t\r\n"),
        ("program", b"\x7fELF\x02\x01\x01\0\0\0\0\x03\0\x3e\0\x01"),
        ("half a letter", "| F1 A1 Cé".as_bytes().split_at(10).0),
    ];
    for format in LINE_FORMATS {
        for (what, bytes) in contents {
            let name = format!("bad.{format}");
            folder.write(&name, bytes);
            for (command, ended) in all(&folder, &name) {
                let said = ended.fails(LINE);
                assert!(said.contains(&name), "{what}, {command}: {said}");
                assert!(said.lines().count() < 20, "{what}, {command}: {said}");
            }
            let said = folder
                .line(&format!("explain {name} --chart blues.chart"))
                .fails(LINE);
            assert!(said.contains("hint"), "{what}.{format}: {said}");
        }
    }
}

/// The bytes of a sound file in this format.
fn whole(folder: &Folder, format: &str) -> Vec<u8> {
    let name = format!("whole.{format}");
    folder.line(&format!("compose blues.chart -o {name}")).ok();
    folder.read(&name)
}

#[test]
fn a_file_that_breaks_off_anywhere_is_refused_or_read_as_far_as_it_goes() {
    let folder = Folder::new();
    for format in LINE_FORMATS {
        let whole = whole(&folder, format);
        let name = format!("part.{format}");
        for part in 1..8 {
            folder.write(&name, &whole[..whole.len() * part / 8]);
            let ended = folder.line(&format!("explain {name} --chart blues.chart"));
            assert!(!ended.err.contains("panicked"), "{name}: {}", ended.err);
            match ended.code {
                Some(0) => assert!(
                    matches!(format, "txt" | "abc" | "mid"),
                    "{part} eighths of a .{format} file are no whole file"
                ),
                Some(LINE) => assert!(ended.err.contains("hint"), "{name}: {}", ended.err),
                code => panic!("{name}: {code:?} {}", ended.err),
            }
        }
    }
}

#[test]
fn a_file_with_a_wrong_byte_anywhere_never_ends_in_a_panic() {
    let folder = Folder::new();
    for format in LINE_FORMATS {
        let whole = whole(&folder, format);
        let name = format!("damaged.{format}");
        for nth in 0..24 {
            let mut bytes = whole.clone();
            let at = bytes.len() * nth / 24;
            bytes[at] = bytes[at].wrapping_mul(31).wrapping_add(97);
            folder.write(&name, &bytes);
            let ended = folder.line(&format!("explain {name} --chart blues.chart --brief"));
            assert!(
                matches!(ended.code, Some(0 | LINE)),
                "{name} at {at}: {ended:?}"
            );
            assert!(
                !ended.err.contains("panicked"),
                "{name} at {at}: {}",
                ended.err
            );
        }
    }
}

#[test]
fn unknown_notes_are_told_with_their_places_all_at_once() {
    let folder = Folder::new();
    folder.write("bad.txt", "| F1 A1 C2 H2 |\n| F1 X9 C2 F99 |\n");
    for command in [COMMANDS[0], COMMANDS[1]] {
        let said = folder.line(&command.replace("NAME", "bad.txt")).fails(LINE);
        for place in ["1:12", "2:6", "2:12"] {
            assert!(said.contains(place), "{place} in {said}");
        }
        assert!(said.contains("bad.txt") && said.contains("hint"), "{said}");
    }
}

#[test]
fn a_midi_file_without_a_bass_is_refused_and_a_track_can_be_named() {
    let folder = Folder::new();
    // Nothing but an end; a drum that is struck; nothing but a name.
    for events in [
        b"\0\xff\x2f\0".as_slice(),
        b"\0\x99\x24\x60\x60\x89\x24\0\0\xff\x2f\0",
        b"\0\xff\x03\x04Bass\0\xff\x2f\0",
    ] {
        folder.write("drums.mid", midi(events));
        for (command, ended) in all(&folder, "drums.mid") {
            let said = ended.fails(LINE);
            assert!(said.contains("drums.mid"), "{command}: {said}");
        }
    }
    folder.line("compose blues.chart -o bass.mid").ok();
    let said = folder
        .line("explain bass.mid --chart blues.chart --part Trumpet")
        .fails(LINE);
    assert!(said.contains("Trumpet") && said.contains("hint"), "{said}");
}

#[test]
fn a_file_that_is_not_there_or_is_a_folder_cannot_be_read() {
    let folder = Folder::new();
    std::fs::create_dir(folder.path().join("sub.txt")).unwrap();
    for name in ["nowhere.txt", "sub.txt"] {
        let command = format!("explain {name} --chart blues.chart");
        let said = folder.line(&command).fails(READ);
        assert!(said.contains(name) && said.contains("hint"), "{said}");
    }
    folder
        .line("mark nowhere.txt --chart blues.chart")
        .fails(READ);
    folder
        .line("vary blues.chart --bars 3-4 --line sub.txt")
        .fails(READ);
}

#[cfg(target_os = "linux")]
#[test]
fn an_endless_line_is_not_read_to_its_end() {
    let folder = Folder::new();
    let said = folder
        .line("explain /dev/zero --chart blues.chart")
        .fails(LINE);
    assert!(said.contains("32 MiB"), "{said}");
    folder.write("book.abc", vec![b' '; (32 << 20) + 1]);
    for (command, code) in [
        ("explain book.abc --chart blues.chart", LINE),
        ("chart book.abc", 3),
    ] {
        let said = folder.line(command).fails(code);
        assert!(
            said.contains("fewer tunes") && !said.contains("bass part"),
            "{said}"
        );
    }
}

#[test]
fn a_file_of_another_kind_is_called_what_it_is() {
    let folder = Folder::with_lines();
    let kinds: [(&str, &[u8], &str); 4] = [
        ("midi", &folder.read("take.mid"), "a MIDI file"),
        ("pdf", b"%PDF-1.7\n%\xe2\xe3\n\0", "a PDF file"),
        ("zip", b"PK\x03\x04\x14\0\0\0", "a zip archive"),
        ("picture", b"\x89PNG\r\n\x1a\n\0\0", "a picture"),
    ];
    for (name, bytes, kind) in kinds {
        folder.write(name, bytes);
        for (command, code) in [
            (format!("chart {name}"), 3),
            (format!("compose {name}"), 3),
            (format!("explain {name} --chart blues.chart"), LINE),
        ] {
            let said = folder.line(&command).fails(code);
            assert!(
                said.contains(kind) && said.contains("hint"),
                "{command}: {said}"
            );
            assert!(!said.contains("zero"), "{command}: {said}");
        }
    }
    let said = folder.line("chart take.mid").fails(3);
    assert!(
        said.contains("`explain`") && said.contains("`mark`"),
        "{said}"
    );
    let said = folder.line("explain midi --chart blues.chart").fails(LINE);
    assert!(said.contains(".mid"), "{said}");
    // Also where it is too long for a chart.
    folder.write(
        "long.pdf",
        [b"%PDF-1.7\n".as_slice(), &vec![b'x'; 2 << 20]].concat(),
    );
    let said = folder.line("chart long.pdf").fails(3);
    assert!(said.contains("a PDF file"), "{said}");
}

#[test]
fn the_longest_line_that_is_written_is_read() {
    let folder = Folder::new();
    folder.write("form.chart", "| F7 Dm7 Gm7 C7 | Bb7 F7 D7 G7 |\n");
    let files = ["txt", "json", "mid", "musicxml", "mxl", "abc"];
    let outputs: Vec<String> = files.iter().map(|file| format!("-o line.{file}")).collect();
    let outputs = outputs.join(" ");
    folder
        .line(&format!(
            "compose form.chart --choruses 2048 --best --reasons {outputs}"
        ))
        .ok();
    assert!(folder.read("line.txt").len() > 2 << 20);
    assert!(folder.read("line.json").len() > 16 << 20);
    let mut pages = Vec::new();
    for file in files {
        let command = format!("explain line.{file} --chart form.chart --brief --bars 4090-4096");
        let ended = folder.line(&command);
        assert_eq!(ended.err, "", "{file}");
        pages.push(ended.ok());
        assert_eq!(pages[0], pages[pages.len() - 1], "{file}");
    }
}

#[test]
fn what_else_is_wrong_keeps_its_own_code() {
    let folder = Folder::with_lines();
    folder.write("bad.chart", "| Hello |\n");
    for (command, code) in [
        ("explain line.txt --chart bad.chart", 3),
        ("explain line.txt --chart nowhere.chart", READ),
        ("explain line.txt --chart blues.chart --style plane", 4),
        ("explain line.txt --chart blues.chart --choruses 4096", 2),
        ("explain line.txt --chart blues.chart --bars 13-14", 2),
        ("explain line.txt", 2),
        ("mark line.txt --chart blues.chart --grade 9", 2),
        (
            "mark line.txt --chart blues.chart --grade 3 --style plain",
            2,
        ),
        ("mark --chart blues.chart", 2),
        ("profile --chart blues.chart", 2),
    ] {
        let said = folder.line(command).fails(code);
        assert!(said.len() > 20, "{command}: {said}");
    }
}

#[test]
fn no_file_that_is_read_is_ever_written_over() {
    let folder = Folder::with_lines();
    let (line, chart) = (folder.read("line.txt"), folder.read("blues.chart"));
    folder.write("chart.txt", &chart);
    folder.write(
        "style.txt",
        "name = \"mine\"\ndescription = \"M.\"\nextends = \"plain\"\n",
    );
    for (command, what) in [
        (
            "explain line.txt --chart blues.chart -o line.txt --force",
            "the line itself",
        ),
        (
            "explain line.txt --chart chart.txt -o chart.txt --force",
            "the chart itself",
        ),
        (
            "mark line.txt --chart blues.chart -o ./line.txt --force",
            "the line itself",
        ),
        (
            "mark line.txt --chart chart.txt -o chart.txt --force",
            "the chart itself",
        ),
        (
            "mark line.txt --chart blues.chart --style ./style.txt -o style.txt --force",
            "the style itself",
        ),
        (
            "mark homework --chart blues.chart -o homework/{name}.txt --force",
            "the line itself",
        ),
        (
            "profile line.txt --chart chart.txt -o chart.txt --force",
            "the chart itself",
        ),
        (
            "profile line.txt --chart blues.chart -o line.txt --force",
            "the line itself",
        ),
        (
            "vary blues.chart --bars 3-4 --line line.txt -o line.txt --force",
            "the line itself",
        ),
    ] {
        let said = folder.line(command).fails(WRITE);
        assert!(said.contains(what), "{command}: {said}");
    }
    assert_eq!(
        (folder.read("line.txt"), folder.read("chart.txt")),
        (line, chart)
    );
}

#[test]
fn nothing_that_exists_is_overwritten_unasked() {
    let folder = Folder::with_lines();
    for (command, name) in [
        ("explain line.txt --chart blues.chart", "old.json"),
        ("mark line.txt --chart blues.chart", "old.txt"),
        ("mark homework --chart blues.chart", "old.csv"),
        ("profile homework --chart blues.chart", "old.csv"),
        ("vary blues.chart --bars 3-4 -n 1", "old.mid"),
        ("orders 1-3-5", "old.json"),
    ] {
        folder.write(name, "mine");
        let command = format!("{command} -o {name}");
        let said = folder.line(&command).fails(WRITE);
        assert!(
            said.contains("exists already") && said.contains("--force"),
            "{said}"
        );
        assert_eq!(folder.read(name), b"mine", "{command}");
        folder.line(&format!("{command} --force")).ok();
        assert_ne!(folder.read(name), b"mine", "{command}");
    }
}

#[test]
fn a_reader_that_stops_is_no_fault() {
    let folder = Folder::with_lines();
    for command in [
        "explain line.txt --chart blues.chart --reasons -o left.json",
        "vary blues.chart --bars 3-4 -n 1 -o left.json",
        "orders 1-3-5-6 --placements -n 800 -o left.json",
        "mark line.txt --chart blues.chart -o left.json",
        "mark homework --chart blues.chart -o left.json",
        "profile homework --chart blues.chart -o left.json",
    ] {
        let mut child = folder
            .command()
            .args(command.split(' '))
            .stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(0), "{command}: {said}");
        assert!(
            said.ends_with("wrote ./left.json\n") || said.ends_with("wrote left.json\n"),
            "{command}: {said}"
        );
        std::fs::remove_file(folder.path().join("left.json")).unwrap();
    }
}

#[test]
fn nothing_in_a_line_reaches_the_terminal_as_a_command_to_it() {
    let folder = Folder::new();
    std::fs::create_dir(folder.path().join("class")).unwrap();
    let turned = "title: \u{202e}Walk\nstudent: \u{202e}Kim\n| F1 A1 C2 A1 |\n";
    folder.write("class/a.txt", turned);
    folder.write("class/b.txt", "title: \u{1b}[31mred\n| F1 \u{1b}[0m |\n");
    for command in [
        "mark class --chart blues.chart",
        "profile class --chart blues.chart",
        "explain class/a.txt --chart blues.chart",
        "explain class/b.txt --chart blues.chart",
    ] {
        let ended = folder.line(command);
        for text in [&ended.out, &ended.err] {
            assert!(
                !text.contains(['\u{1b}', '\u{202e}']),
                "{command}: {text:?}"
            );
        }
    }
}
