//! A Monday of each of the three readers of the README, from the first command to the last.

use std::fs;

use crate::run::{BLUES, Folder, LINE};

/// The teacher: an exercise, its keys, a class that hands in, marks and the line of one student.
#[test]
fn the_teacher_hands_out_and_marks() {
    let folder = Folder::new();
    for key in ["F", "Bb", "Eb"] {
        let line = format!("compose blues.chart --grade 3 --key {key} --seed 4 -o walk-{key}.pdf");
        folder.line(&line).ok();
        let page = folder.read(&format!("walk-{key}.pdf"));
        assert!(page.starts_with(b"%PDF"), "{key}");
    }
    fs::create_dir(folder.path().join("homework")).unwrap();
    let hand_in = |name: &str| folder.path().join("homework").join(name);
    fs::write(hand_in("kim.txt"), LINE).unwrap();
    // Without octaves, as students type.
    let bare: String = LINE.replace("Kim", "Lee").replace(['1', '2'], "");
    fs::write(hand_in("lee.txt"), bare).unwrap();
    folder
        .line("compose blues.chart --grade 3 --seed 4 -o homework/noa.musicxml")
        .ok();
    fs::write(hand_in("broken.txt"), "this is no line").unwrap();
    let ended =
        folder.line("mark homework --chart blues.chart --grade 3 -o class.csv -o pages/{name}.txt");
    // The folder for the pages is not there yet: told before anything is marked.
    assert!(ended.fails(6).contains("make the folder first"));
    fs::create_dir(folder.path().join("pages")).unwrap();
    let table = folder
        .line("mark homework --chart blues.chart --grade 3 -o class.csv -o pages/{name}.txt")
        .ended(7);
    for name in ["kim", "lee", "noa", "broken"] {
        assert!(table.contains(name), "{name}: {table}");
    }
    let rows = String::from_utf8(folder.read("class.csv")).unwrap();
    assert_eq!(rows.lines().count(), 5, "a row for each file: {rows}");
    let page = String::from_utf8(folder.read("pages/kim.txt")).unwrap();
    assert!(
        page.contains("student: Kim") && page.contains("of 100 marks"),
        "{page}"
    );
    // What the program makes at the grade passes it.
    let own = String::from_utf8(folder.read("pages/noa.txt")).unwrap();
    assert!(own.contains(": passes"), "{own}");
    let explained = folder
        .line("explain blues.chart homework/kim.txt -o kim.svg")
        .ok();
    assert!(explained.contains("in short") && explained.contains("cadences"));
    assert!(folder.read("kim.svg").starts_with(b"<svg"));
}

/// The player: other ways through two bars of one chord, all of them a page, and one to loop.
#[test]
fn the_player_gets_past_the_spot() {
    let folder = Folder::new();
    folder.write(
        "vamp.chart",
        "title: Vamp\nkey: Dm\n| Dm7 | Dm7 | Dm7 | Dm7 | Gm7 | Gm7 | Dm7 | A7 |\n",
    );
    let ways = folder
        .line("vary vamp.chart --bars 2-3 --count 6 -o ways.mid -o ways.html")
        .ok();
    for rank in 1..=6 {
        assert!(ways.contains(&format!("\n{rank}. ")), "{ways}");
    }
    assert!(folder.read("ways.mid").starts_with(b"MThd"));
    folder
        .line("compose vamp.chart --choruses 2 --tempo 90 -o slow.html -o line.txt")
        .ok();
    assert!(
        String::from_utf8(folder.read("slow.html"))
            .unwrap()
            .contains("<svg")
    );
    // The page that was printed is the line again, changed by hand or not.
    let again = folder
        .line("vary vamp.chart --line line.txt --bars 2-3 --strategy any-way --count 2")
        .ok();
    assert!(again.contains("\n2. any way"), "{again}");
    let orders = folder.line("orders 1-3-5-6 --chord Dm7 --count 4").ok();
    assert!(orders.contains("24 orders"), "{orders}");
}

/// The maker of tracks: many parts of one chart, the same again, and what they are like.
#[test]
fn the_maker_gets_parts_in_bulk() {
    let folder = Folder::new();
    folder.write(
        "minor.chart",
        BLUES.replace("key: F", "key: F\nfeel: swing"),
    );
    let printed = folder
        .line("compose minor.chart --key G --choruses 2 --lines 12 --quiet -o take-{line}.mid")
        .ok();
    assert_eq!(
        printed, "",
        "nothing is printed where nothing was asked to be"
    );
    let parts: Vec<Vec<u8>> = (1..=12)
        .map(|n| folder.read(&format!("take-{n}.mid")))
        .collect();
    assert!(parts.iter().all(|part| part.starts_with(b"MThd")));
    let mut different = parts.clone();
    different.sort();
    different.dedup();
    assert_eq!(different.len(), 12);
    folder
        .line("compose minor.chart --key G --choruses 2 --nth 7 --quiet -o seven.mid")
        .ok();
    assert_eq!(
        folder.read("seven.mid"),
        parts[6],
        "the seventh line by itself"
    );
    let like = folder
        .line("profile --style plain --seeds 1-4 --chart minor.chart -o like.csv")
        .ok();
    assert!(like.contains("beat"), "{like}");
}
