//! Files: never overwritten unasked, never half written, all checked first.

use std::fs;

use crate::run::{BLUES, Folder};

#[test]
fn a_file_that_exists_is_left_alone_and_nothing_else_is_written() {
    let folder = Folder::new();
    folder.write("old.txt", "mine");
    let said = folder
        .line("compose blues.chart -o new.mid -o old.txt")
        .fails(6);
    assert!(
        said.contains("old.txt exists already") && said.contains("--force"),
        "{said}"
    );
    assert_eq!(folder.read("old.txt"), b"mine");
    assert_eq!(folder.names(), ["blues.chart", "old.txt"]);
}

#[test]
fn force_overwrites_a_file_as_a_whole() {
    let folder = Folder::new();
    folder.write("old.txt", "x".repeat(1 << 20));
    let page = folder.line("compose blues.chart -o old.txt --force").ok();
    assert_eq!(folder.read("old.txt"), page.into_bytes());
    assert_eq!(folder.names(), ["blues.chart", "old.txt"]);
}

#[test]
fn several_lines_get_a_file_each_with_their_number() {
    let folder = Folder::new();
    folder
        .run([
            "compose",
            "blues.chart",
            "--lines",
            "2",
            "--nth",
            "5",
            "-o",
            "a.b.mid",
            "-o",
            "take {line}.txt",
        ])
        .ok();
    assert_eq!(
        folder.names(),
        [
            "a.b-5.mid",
            "a.b-6.mid",
            "blues.chart",
            "take 5.txt",
            "take 6.txt"
        ]
    );
}

#[test]
fn one_name_for_two_files_is_refused_however_it_is_written() {
    let folder = Folder::new();
    fs::create_dir(folder.path().join("sub")).unwrap();
    for files in [
        "-o a.mid -o a.mid",
        "-o a.mid -o ./a.mid",
        "-o sub/../a.mid -o a.mid",
        "-n 2 -o a.mid -o a-2.mid -o a-{line}.mid",
    ] {
        let said = folder
            .line(&format!("compose blues.chart {files}"))
            .fails(2);
        assert!(said.contains("twice"), "{said}");
    }
    assert_eq!(folder.names(), ["blues.chart", "sub"]);
}

#[test]
fn a_format_that_is_not_known_is_refused_with_those_that_are() {
    let folder = Folder::new();
    for name in ["line.doc", "line", ".mid", "line.", ".."] {
        let said = folder
            .line(&format!("compose blues.chart -o {name}"))
            .fails(2);
        assert!(
            said.contains(".mid") && said.contains(".txt") && said.contains(".json"),
            "{said}"
        );
    }
}

#[test]
fn a_folder_that_is_missing_or_no_folder_is_refused() {
    let folder = Folder::new();
    fs::create_dir(folder.path().join("there.mid")).unwrap();
    for name in ["nowhere/line.mid", "blues.chart/line.mid", "there.mid"] {
        let said = folder
            .line(&format!("compose blues.chart -o first.txt -o {name}"))
            .fails(6);
        assert!(said.contains(name) && said.contains("hint"), "{said}");
    }
    assert_eq!(folder.names(), ["blues.chart", "there.mid"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_refused_before_anything_is_written() {
    let folder = Folder::new();
    let said = folder
        .line("compose blues.chart -o first.txt -o /proc/line.mid")
        .fails(6);
    assert!(said.contains("/proc") && said.contains("hint"), "{said}");
    assert!(!said.contains(".linewright-"), "{said}");
    assert_eq!(folder.names(), ["blues.chart"]);
}

#[test]
fn the_chart_itself_is_never_overwritten() {
    let folder = Folder::new();
    folder.write("blues.txt", BLUES);
    let said = folder
        .line("compose blues.txt -o blues.txt --force")
        .fails(6);
    assert!(said.contains("the chart itself"), "{said}");
    assert_eq!(folder.read("blues.txt"), BLUES.as_bytes());
}

#[test]
fn a_style_that_is_read_is_never_overwritten() {
    let folder = Folder::new();
    let style = "name = \"mine\"\ndescription = \"Mine.\"\nextends = \"plain\"\n";
    folder.write("style.txt", style);
    let said = folder
        .line("compose blues.chart --style ./style.txt -o style.txt --force")
        .fails(6);
    assert!(said.contains("the style itself"), "{said}");
    assert_eq!(folder.read("style.txt"), style.as_bytes());
}

#[test]
fn a_name_that_no_file_can_have_is_refused_with_a_hint() {
    let folder = Folder::new();
    for (name, words) in [
        ("-", "the standard output"),
        ("line.mid/", "is a folder"),
        ("./line.mid/", "is a folder"),
    ] {
        let said = folder
            .line(&format!("compose blues.chart -o {name}"))
            .fails(2);
        assert!(said.contains(words) && said.contains("hint"), "{said}");
    }
    let long = format!("{}.mid", "a".repeat(5000));
    let ended = folder.line(&format!("compose blues.chart -o first.txt -o {long}"));
    assert_eq!(ended.code, Some(6), "{}", ended.err);
    assert!(
        ended.err.contains("hint") && ended.err.len() < 1000,
        "{}",
        ended.err
    );
    assert_eq!(folder.names(), ["blues.chart"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_and_nothing_is_written() {
    use std::fs::OpenOptions;
    let folder = Folder::new();
    for arguments in ["compose blues.chart -o line.mid", "--help", "man", "rules"] {
        let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = folder
            .command()
            .args(arguments.split(' '))
            .stdout(full)
            .output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(6), "{arguments}: {said}");
        assert!(said.contains("cannot be written"), "{arguments}: {said}");
        assert_eq!(folder.names(), ["blues.chart"]);
    }
}

#[test]
fn nothing_is_left_behind_when_no_line_is_possible() {
    let folder = Folder::new();
    folder.write("silent.chart", "| N.C. | N.C. |\n");
    folder.line("compose silent.chart -o line.mid").fails(1);
    assert_eq!(folder.names(), ["blues.chart", "silent.chart"]);
}

#[cfg(unix)]
#[test]
fn a_new_file_has_the_rights_of_any_new_file() {
    use std::os::unix::fs::PermissionsExt as _;
    let folder = Folder::new();
    folder.line("compose blues.chart -o line.mid").ok();
    let rights = |name: &str| {
        fs::metadata(folder.path().join(name))
            .unwrap()
            .permissions()
            .mode()
    };
    assert_eq!(rights("line.mid"), rights("blues.chart"));
}

#[test]
fn a_reader_that_stops_is_no_fault_and_files_are_written_all_the_same() {
    let folder = Folder::new();
    let mut child = folder
        .command()
        .args("compose blues.chart --lines 20 --reasons -o line.json".split(' '))
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(
        said,
        "linewright: wrote 20 files, ./line-1.json to ./line-20.json\n"
    );
    assert_eq!(folder.names().len(), 21);
}

/// Links and rights.
#[cfg(unix)]
mod forced {
    use std::fs::{self, Permissions};
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _, chown, symlink};
    use std::process::Command;

    use crate::run::Folder;

    const FORCED: &str = "compose blues.chart -o line.txt --force";

    #[test]
    fn the_rights_of_a_file_are_kept() {
        let folder = Folder::new();
        let file = folder.path().join("line.txt");
        for mode in [0o600, 0o640, 0o664, 0o755] {
            folder.write("line.txt", "old");
            fs::set_permissions(&file, Permissions::from_mode(mode)).unwrap();
            let page = folder.line(FORCED).ok();
            assert_eq!(folder.read("line.txt"), page.into_bytes());
            let kept = fs::metadata(&file).unwrap().permissions().mode() & 0o7777;
            assert_eq!(kept, mode, "{kept:o}");
        }
        assert_eq!(folder.names(), ["blues.chart", "line.txt"]);
    }

    #[test]
    fn a_link_stays_and_the_file_that_it_leads_to_is_written() {
        let folder = Folder::new();
        fs::create_dir(folder.path().join("deep")).unwrap();
        folder.write("deep/real.txt", "old");
        symlink("deep/real.txt", folder.path().join("line.txt")).unwrap();
        let said = folder.line("compose blues.chart -o line.txt").fails(6);
        assert!(said.contains("exists already"), "{said}");
        let page = folder.line(FORCED).ok();
        assert_eq!(folder.read("deep/real.txt"), page.into_bytes());
        assert!(folder.path().join("line.txt").is_symlink());
        let said = folder
            .line("compose blues.chart -o line.txt -o deep/real.txt --force")
            .fails(2);
        assert!(said.contains("twice"), "{said}");
        fs::remove_file(folder.path().join("deep/real.txt")).unwrap();
        let said = folder.line(FORCED).fails(6);
        assert!(
            said.contains("is a link") && said.contains("hint"),
            "{said}"
        );
        assert_eq!(fs::read_dir(folder.path().join("deep")).unwrap().count(), 0);
    }

    #[test]
    fn what_would_lose_more_than_its_text_is_refused() {
        let folder = Folder::new();
        let path = |name: &str| folder.path().join(name);
        folder.write("read-only.txt", "old");
        fs::set_permissions(path("read-only.txt"), Permissions::from_mode(0o444)).unwrap();
        folder.write("linked.txt", "old");
        fs::hard_link(path("linked.txt"), path("other.txt")).unwrap();
        let pipe = Command::new("mkfifo").arg(path("pipe.txt")).status();
        assert!(pipe.unwrap().success());
        let _socket = std::os::unix::net::UnixListener::bind(path("socket.txt")).unwrap();
        let mut cases = vec![
            ("read-only.txt", "read-only"),
            ("linked.txt", "hard link"),
            ("pipe.txt", "no plain file"),
            ("socket.txt", "no plain file"),
        ];
        folder.write("theirs.txt", "old");
        // Only the superuser can give files away.
        if chown(
            path("theirs.txt"),
            Some(fs::metadata(path("other.txt")).unwrap().uid() + 1),
            None,
        )
        .is_ok()
        {
            cases.push(("theirs.txt", "another user"));
        }
        let before = folder.names();
        for (name, why) in cases {
            let said = folder
                .line(&format!("compose blues.chart -o new.txt -o {name} --force"))
                .fails(6);
            assert!(said.contains(name) && said.contains(why), "{said}");
            assert!(said.contains("hint"), "{said}");
            assert_eq!(folder.names(), before);
        }
        for name in ["read-only.txt", "linked.txt", "other.txt", "theirs.txt"] {
            assert_eq!(folder.read(name), b"old", "{name}");
        }
    }
}
