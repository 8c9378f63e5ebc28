//! `linewright learn`: a style from lines that somebody played.

use crate::run::{BLUES, Folder, LINE};

/// Three takes of one tune and one of another, each beside its chart, and one without.
fn takes() -> Folder {
    let folder = Folder::new();
    std::fs::create_dir(folder.path().join("takes")).unwrap();
    folder.write("takes/blues-1.chart", BLUES);
    folder.write(
        "takes/blues-2.chart",
        BLUES.replace("Backyard", "Front yard"),
    );
    for (name, seed) in [("blues-1b", 1), ("blues-1c", 2), ("blues-2a", 3)] {
        folder
            .line(&format!(
                "compose blues.chart --seed {seed} -o takes/{name}.mid"
            ))
            .ok();
    }
    folder.write("takes/blues-1a.line.txt", LINE);
    folder.write("takes/lonely.txt", LINE);
    folder
}

/// As little work as will do.
const QUICK: &str = "--samples 10 --folds 2 --composed 0";

#[test]
fn a_style_is_learned_from_takes_beside_their_charts_and_used_like_any_other() {
    let folder = takes();
    let learned = folder.line(&format!("learn takes {QUICK} -o mine.toml -o told.json"));
    let page = learned.out.clone();
    assert_eq!(learned.code, Some(0), "{}", learned.err);
    assert!(
        page.contains("4 lines in 2 groups: 48 bars, 192 notes; begun with plain"),
        "{page}"
    );
    assert!(page.contains("learned, lines held out"), "{page}");
    assert!(
        learned.err.contains("takes/lonely.txt: no chart")
            && learned.err.contains("48 bars say little"),
        "{}",
        learned.err
    );
    let text = String::from_utf8(folder.read("mine.toml")).unwrap();
    assert!(
        text.starts_with("name = \"mine\"\ndescription = \"Learned from 48 bars of 2 groups.\"\n"),
        "{text}"
    );
    let weight = text
        .lines()
        .find(|row| row.starts_with("root-arrival = "))
        .unwrap();
    assert!(
        weight.contains(" # ± ") && weight.contains(" times"),
        "{weight}"
    );
    let told = folder.json("told.json");
    assert_eq!(told["style"], "mine");
    let groups = told["millibits"]["by_group"].as_array().unwrap();
    let names: Vec<&str> = groups
        .iter()
        .map(|g| g["group"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["blues-1", "blues-2"]);
    // The style is read again, shown, compared and composed in.
    assert!(
        folder
            .line("styles mine.toml")
            .ok()
            .starts_with("name = \"mine\"\n")
    );
    folder.line("compose blues.chart --style mine.toml").ok();
    folder
        .line("profile --style mine.toml --against-style plain --seeds 1-2 --chart blues.chart")
        .ok();
}

#[test]
fn the_same_seed_gives_the_same_bytes_and_no_file_is_overwritten_unasked() {
    let folder = takes();
    let learn = |more: &str| folder.line(&format!("learn takes {QUICK} --name mine {more}"));
    learn("-o one.toml").ok();
    learn("-o two.toml").ok();
    learn("-o other.toml --seed 2").ok();
    let [one, two, other] = ["one.toml", "two.toml", "other.toml"].map(|name| folder.read(name));
    assert!(one == two && one != other);
    let refused = learn("-o one.toml");
    refused.ended(6);
    assert_eq!(folder.read("one.toml"), one);
    learn("-o one.toml --force --seed 2").ok();
    assert_eq!(folder.read("one.toml"), other);
}

#[test]
fn lines_over_one_chart_need_none_beside_them_and_chord_symbols_are_a_chart() {
    let folder = Folder::with_lines();
    let page = folder
        .line(&format!("learn homework --chart blues.chart {QUICK}"))
        .ok();
    assert!(page.contains("3 lines in 3 groups: 36 bars"), "{page}");
    folder.line("compose blues.chart -o sheet.musicxml").ok();
    let page = folder.line(&format!("learn sheet.musicxml {QUICK}")).ok();
    assert!(page.contains("1 line in 1 group: 12 bars"), "{page}");
    assert!(!page.contains("held out"), "{page}");
}

#[test]
fn limits_are_softened_and_told_or_kept() {
    let folder = takes();
    // Three semitones beyond an octave, and not recovered.
    let poor = LINE.replace("| C2 G1 F1 A1 |", "| C2 G1 Bb2 C3 |");
    folder.write("takes/blues-2b.line.txt", poor);
    let learn = format!("learn takes {QUICK} --style handbook");
    let page = folder.line(&learn).ok();
    assert!(
        page.contains("limits that became weights") && page.contains("% of bars\n"),
        "{page}"
    );
    let kept = folder.line(&format!("{learn} --keep-limits -o kept.toml"));
    let page = kept.out.clone();
    kept.ok();
    assert!(page.contains("of runs that break a limit"), "{page}");
    let text = String::from_utf8(folder.read("kept.toml")).unwrap();
    assert!(text.contains("too-wide-leap = \"never\"\n"), "{text}");
}

#[test]
fn what_cannot_be_learned_from_is_told_with_what_helps() {
    let folder = takes();
    let lonely = folder.line("learn takes/lonely.txt");
    assert!(
        lonely.err.contains("hint: ") && lonely.err.contains("--chart"),
        "{}",
        lonely.err
    );
    lonely.ended(7);
    let nowhere = folder.line("learn nowhere");
    assert!(nowhere.err.contains("nowhere"), "{}", nowhere.err);
    nowhere.ended(7);
    folder.line("learn").ended(2);
    let named = folder.line("learn takes --name Mine");
    assert!(named.err.contains("small letters"), "{}", named.err);
    named.ended(2);
    let format = folder.line("learn takes -o mine.mid");
    assert!(format.err.contains(".toml"), "{}", format.err);
    format.ended(2);
    folder.write("takes/blues-1.chart", "| H7 |\n");
    let ruined = folder.line(&format!("learn takes {QUICK}"));
    assert!(
        ruined.err.contains("blues-1.chart cannot be read"),
        "{}",
        ruined.err
    );
}

/// Players' own lines are no part of the repository.
#[test]
fn players_lines_that_are_held_out_cost_no_more_than_they_should() {
    let Some(practice) = std::env::var_os("LINEWRIGHT_PRACTICE") else {
        eprintln!(
            "LINEWRIGHT_PRACTICE names no folder of players' lines: nothing is learned from them"
        );
        return;
    };
    let folder = Folder::new();
    // Nothing is known beforehand: every weight of the style to begin with is 0.
    let plain = folder.line("styles plain").ok();
    let mut weights = false;
    let row = |row: &str| {
        weights = row == "[weights]" || (weights && !row.starts_with('['));
        match row.split_once(" = ") {
            Some((rule, _)) if weights => format!("{rule} = 0\n"),
            _ => format!("{row}\n"),
        }
    };
    folder.write("blank.toml", plain.lines().map(row).collect::<String>());
    let style = ["--style", "blank.toml"];
    let arguments = ["learn", "-o", "told.json", "--composed", "0"];
    let arguments = arguments.into_iter().chain(style).map(Into::into);
    let arguments = arguments.chain([practice]);
    folder.run::<std::ffi::OsString>(arguments).ok();
    let told = folder.json("told.json");
    let bits = &told["millibits"];
    let held = bits["held_out"].as_i64().unwrap();
    let best = bits["simple"].as_array().unwrap().iter();
    let best = best
        .map(|model| model["millibits"].as_i64().unwrap())
        .min()
        .unwrap();
    assert!(held <= 3200 && held + 130 <= best, "{held} and {best}");
}
