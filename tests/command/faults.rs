//! Bad input: told in plain words, with its own exit code, and never a panic.

use crate::run::Folder;

const CHART: i32 = 3;
const STYLE: i32 = 4;

#[test]
fn charts_that_are_no_charts_are_refused_with_a_hint() {
    let folder = Folder::new();
    let mut half = "title: Cut off ".as_bytes().to_vec();
    half.extend(&"é".as_bytes()[..1]);
    let huge = "| C7 ".repeat((2 << 20) / 5);
    let cases: [(&str, &[u8]); 8] = [
        ("empty", b""),
        ("blank", b"\n \n\t\n"),
        ("huge", huge.as_bytes()),
        ("binary", b"\x7fELF\x02\x01\x01\0\0\0\0"),
        ("half a letter", &half),
        ("absurd metre", b"time: 4294967296/0\n| C7 |\n"),
        ("no chord", b"| Hello |\n"),
        ("escape", b"title: \x1b[31mred\n| \x1b[0m |\n"),
    ];
    for (name, bytes) in cases {
        folder.write("bad.chart", bytes);
        for command in ["compose", "chart"] {
            let said = folder.line(&format!("{command} bad.chart")).fails(CHART);
            assert!(
                said.contains("bad.chart") && said.contains("hint"),
                "{name}: {said}"
            );
            assert!(!said.contains('\u{1b}'), "{name}: {said:?}");
        }
        let said = folder.fed("compose -", bytes).fails(CHART);
        assert!(said.contains("standard input"), "{name}: {said}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn an_endless_chart_is_not_read_to_its_end() {
    let said = Folder::new().line("compose /dev/zero").fails(CHART);
    assert!(said.contains("1 MiB"), "{said}");
}

#[test]
fn all_faults_of_a_chart_are_told_at_once_with_their_places() {
    let folder = Folder::new();
    folder.write("bad.chart", "key: H\ntempo: fast\n| C7 | Xyz |\n");
    let said = folder.line("chart bad.chart").fails(CHART);
    for place in ["bad.chart:1:", "bad.chart:2:", "bad.chart:3:8"] {
        assert!(said.contains(place), "{place} in {said}");
    }
}

#[test]
fn a_chart_or_style_that_cannot_be_read_has_its_own_code() {
    let folder = Folder::new();
    let said = folder.line("compose missing.chart").fails(5);
    assert!(
        said.contains("missing.chart") && said.contains("hint"),
        "{said}"
    );
    folder.line("compose .").fails(5);
    folder
        .line("compose blues.chart --style missing.toml")
        .fails(5);
    folder.line("compose blues.chart --style ./").fails(5);
}

#[test]
fn styles_that_are_no_styles_are_refused_where_they_go_wrong() {
    let folder = Folder::new();
    let head = "name = \"mine\"\ndescription = \"Mine.\"\nextends = \"plain\"\n";
    let cases = [
        ("text weight", "[weights]\nstep = \"lots\"\n", "bad.toml:5:"),
        (
            "weight out of range",
            "[weights]\nstep = 1e300\n",
            "bad.toml:5:",
        ),
        ("no number", "[weights]\nstep = nan\n", "bad.toml:5:"),
        (
            "range upside down",
            "[range]\nlow = \"G3\"\nhigh = \"E1\"\n",
            "range",
        ),
        ("range of nothing", "[range]\nlow = \"x\"\n", "range.low"),
        (
            "unknown rule",
            "[weights]\nroot-arival = 1\n",
            "bad.toml:5:1: there is no rule called `root-arival`\n  hint: did you mean `root-arrival`?",
        ),
        ("unknown key", "[plan]\nphrase-bar = 4\n", "phrase-bars"),
        (
            "phrase out of range",
            "[plan]\nphrase-bars = 200\n",
            "phrase-bars",
        ),
        ("not TOML", "= = =\n", "bad.toml:4:"),
    ];
    for (name, tail, said) in cases {
        folder.write("bad.toml", format!("{head}{tail}"));
        for command in [
            "compose blues.chart --style bad.toml",
            "styles bad.toml",
            "rules --style bad.toml",
        ] {
            let told = folder.line(command).fails(STYLE);
            assert!(told.contains(said), "{name}: {told}");
        }
    }
}

#[test]
fn style_files_that_are_no_text_or_too_long_or_go_in_a_circle_are_refused() {
    let folder = Folder::new();
    let circle = "name = \"a\"\ndescription = \"A.\"\nextends = \"a\"\n";
    let cases: [&[u8]; 4] = [
        b"",
        b"name = \"\xff\"",
        &vec![b'#'; (256 << 10) + 1],
        circle.as_bytes(),
    ];
    for bytes in cases {
        folder.write("bad.toml", bytes);
        let said = folder
            .line("compose blues.chart --style bad.toml")
            .fails(STYLE);
        assert!(said.contains("bad.toml"), "{said}");
    }
}

#[test]
fn an_unknown_style_or_rule_gets_the_nearest_name() {
    let folder = Folder::new();
    let said = folder
        .line("compose blues.chart --style plane")
        .fails(STYLE);
    assert!(said.contains("`plain`"), "{said}");
    let said = folder.line("rules oscilation").fails(2);
    assert!(said.contains("`oscillation`"), "{said}");
}

#[test]
fn limits_that_leave_no_line_are_an_answer_with_a_place() {
    let folder = Folder::new();
    let never = ["chord-tone", "colour-tone", "scale-tone", "chromatic-tone"]
        .map(|rule| format!("{rule} = \"never\"\n"));
    folder.write(
        "mute.toml",
        format!(
            "name = \"mute\"\ndescription = \"Nothing goes.\"\nextends = \"plain\"\n[weights]\n{}",
            never.concat()
        ),
    );
    for choice in ["", " --best", " --ranked", " --lines 4 --threads 2"] {
        let said = folder
            .line(&format!("compose blues.chart --style mute.toml{choice}"))
            .fails(1);
        assert!(
            said.contains("bar 1") && said.contains("chord-tone"),
            "{said}"
        );
    }
    folder.write("pickup.chart", "pickup: 1\n| G7 | C | F |\n");
    let said = folder
        .line("compose pickup.chart --style mute.toml")
        .fails(1);
    assert!(said.contains("at bar 0, beat 1, over G7"), "{said}");
}

#[test]
fn arguments_that_make_no_sense_are_refused() {
    let folder = Folder::new();
    let cases = [
        "compose",
        "dance",
        "compose blues.chart --lines 0",
        "compose blues.chart --lines 99999",
        "compose blues.chart --seed -1",
        "compose blues.chart --key H",
        "compose blues.chart --low E",
        "compose blues.chart --tempo 0",
        "compose blues.chart --temperature 0",
        "compose blues.chart --bars 4-1",
        "compose blues.chart --bars 0-0",
        "compose blues.chart --bars 99-100",
        "compose blues.chart --temperature -1",
        "compose blues.chart --lines -1",
        "compose blues.chart --lines 1000000000000",
        "compose blues.chart --choruses 0",
        "compose blues.chart --choruses 1000000000",
        "compose blues.chart --seed 18446744073709551616",
        "compose blues.chart --nth 0",
        "compose blues.chart --key Fb",
        "compose blues.chart --low A9",
        "compose blues.chart --tempo 100000",
        "compose blues.chart --width 1",
        "compose blues.chart --width 100000",
        "compose blues.chart --instrument tuba",
        "compose blues.chart --threads 0",
        "compose blues.chart --best --ranked",
        "compose blues.chart --best --temperature 1",
        "compose blues.chart --choruses 4000",
        "compose blues.chart --force",
        "compose blues.chart --ranked --lines 1000 --choruses 100",
        "chart blues.chart --transpose H",
        "man dance",
    ];
    for case in cases {
        let said = folder.line(case).fails(2);
        assert!(said.len() > 20, "{case}: {said}");
        assert!(!said.contains("unexpected argument '-1'"), "{case}: {said}");
    }
}

#[test]
fn a_range_that_cannot_be_played_is_told_from_where_to_where_it_would_go() {
    let folder = Folder::new();
    for (options, ends) in [
        ("--low G3 --high E1", ["G3", "E1"]),
        ("--low E1 --high E1", ["E1", "E1"]),
        ("--low C4", ["C4", "G3"]),
        ("--low C-1 --high G9", ["C-1", "G9"]),
    ] {
        let said = folder
            .line(&format!("compose blues.chart {options}"))
            .fails(STYLE);
        assert!(
            said.contains(&format!("from {} to {}", ends[0], ends[1])),
            "{said}"
        );
        assert!(said.contains("hint"), "{said}");
    }
    // The instrument cuts the range of a style to what is too little.
    folder.write(
        "deep.toml",
        "name = \"deep\"\ndescription = \"Deep.\"\nextends = \"plain\"\n[range]\nlow = \"C1\"\nhigh = \"D2\"\n",
    );
    let command = "compose blues.chart --style deep.toml";
    folder.line(command).ok();
    let said = folder
        .line(&format!("{command} --instrument bass-guitar"))
        .fails(STYLE);
    assert!(said.contains("from E1 to D2"), "{said}");
}

#[test]
fn bar_zero_is_the_pick_up_where_there_is_one() {
    let folder = Folder::new();
    folder.write("form.chart", "pickup: 1\n| G7 | C | F |\n");
    let page = folder.line("compose form.chart --bars 0").ok();
    assert!(page.contains("\nchords  | G7"), "{page}");
    let said = folder.line("compose blues.chart --bars 0").fails(2);
    assert!(said.contains("bars 1 to 12"), "{said}");
}

#[test]
fn nothing_that_was_typed_or_written_reaches_the_terminal_as_a_command_to_it() {
    let folder = Folder::new();
    let escape = "\u{1b}[31m\u{202e}";
    folder.write(
        "bad.toml",
        format!("name = \"mine\"\ndescription = \"M.\"\n\"{escape}\" = 1\n"),
    );
    folder.write(
        "title.chart",
        format!("title: {}\nfeel: \u{202e}ni\n| C | G7 |\n", "\u{202e}"),
    );
    for (arguments, code) in [
        (vec!["compose", escape], 5),
        (vec!["compose", "blues.chart", "--style", escape], STYLE),
        (vec!["compose", "blues.chart", "--style", "bad.toml"], STYLE),
        (vec!["compose", "blues.chart", "--colour", escape], 2),
        (vec!["compose", "blues.chart", "-o", escape], 2),
        (vec!["rules", escape], 2),
        (vec!["styles", escape], STYLE),
        (vec!["man", escape], 2),
        (vec!["chart", "blues.chart", "--transpose", escape], 2),
        (vec![escape], 2),
    ] {
        let said = folder.run(&arguments).fails(code);
        assert!(
            !said.contains(['\u{1b}', '\u{202e}']),
            "{arguments:?}: {said:?}"
        );
    }
    for command in ["chart title.chart", "compose title.chart"] {
        assert!(!folder.line(command).ok().contains('\u{202e}'), "{command}");
    }
}

#[test]
fn the_parser_of_arguments_says_nothing_raw() {
    let folder = Folder::new();
    for bad in [
        "\u{1b}]0;owned\u{7}",
        "\u{202e}ni",
        "a\nlinewright: wrote x",
        "\u{9b}31m",
        "\r",
    ] {
        for arguments in [
            vec!["compose", "blues.chart", "--key", bad],
            vec!["compose", "blues.chart", "--tempo", bad],
            vec!["compose", "blues.chart", "--instrument", bad],
            vec!["compose", "blues.chart", "--bars", bad],
            vec!["compose", "blues.chart", bad],
            vec!["compose", "blues.chart", &format!("--{bad}")],
            vec!["compose", "blues.chart", &format!("--colour={bad}")],
            vec!["compose", "blues.chart", &format!("--ba{bad}rs")],
            vec!["vary", "blues.chart", "--bars", "1-2", "--strategy", bad],
            vec!["orders", "1-3-5", "--low", bad],
            vec!["mark", "x", "--grade", bad],
            vec!["profile", "--seeds", bad],
            vec!["chart", "blues.chart", "--transpose", bad],
            vec!["completions", bad],
            vec!["schema", bad],
            vec!["help", bad],
            vec!["man", bad],
            vec!["rules", bad],
            vec![bad],
        ] {
            let ended = folder.run(&arguments);
            assert_eq!(ended.code, Some(2), "{arguments:?}: {ended:?}");
            let raw = |c: char| c != '\n' && linewright::diagnostic::clean::disturbs(c);
            assert!(!ended.err.contains(raw), "{arguments:?}: {:?}", ended.err);
            assert!(
                !ended.err.contains("\nlinewright: wrote"),
                "{arguments:?}: {:?}",
                ended.err
            );
        }
    }
}

#[cfg(target_os = "linux")]
#[test]
fn what_does_not_fit_into_memory_is_refused_before_it_is_begun() {
    let folder = Folder::new();
    let limited = |kilobytes: u32, arguments: &str| {
        let line = format!(
            "ulimit -v {kilobytes}; exec {} {arguments}",
            crate::run::COMMAND
        );
        let output = folder
            .command_of("sh")
            .args(["-c", &line])
            .output()
            .unwrap();
        let said = String::from_utf8(output.stderr).unwrap();
        (output.status.code(), said)
    };
    let long = "compose blues.chart --choruses 100 --bars 1-2";
    let (code, said) = limited(500_000, long);
    assert_eq!(code, Some(2), "{said}");
    assert!(
        said.contains("bars fit") && said.contains("--choruses"),
        "{said}"
    );
    assert!(said.contains("--best"), "{said}");
    // As many as are said to fit do fit.
    let most = said
        .split("at most ")
        .nth(1)
        .and_then(|rest| rest.split(' ').next());
    let most: u32 = most
        .and_then(|most| most.parse().ok())
        .unwrap_or_else(|| panic!("{said}"));
    assert!((5..100).contains(&most), "{said}");
    // But for the addresses that the allocator may set aside for a thread meanwhile, 64 MB.
    let fits = format!(
        "compose blues.chart --choruses {} --bars 1-2 -n 2",
        most * 4 / 5
    );
    let (code, said) = limited(500_000, &fits);
    assert_eq!(code, Some(0), "{said}");
    let (code, said) = limited(500_000, &format!("{long} --best"));
    assert_eq!(code, Some(0), "{said}");
    let (code, said) = limited(
        400_000,
        "profile --style plain --seeds 1-2 --chart blues.chart --choruses 100",
    );
    assert_eq!(code, Some(2), "{said}");
}

#[test]
fn a_long_piece_is_composed_by_many_threads_as_by_one() {
    let folder = Folder::new();
    let command = "compose blues.chart --choruses 45 --lines 2 --bars 1-2";
    let one = folder.line(&format!("{command} --threads 1")).ok();
    assert_eq!(folder.line(&format!("{command} --threads 256")).ok(), one);
}

#[test]
fn no_heap_of_signs_makes_the_command_panic() {
    let folder = Folder::new();
    let signs: Vec<char> = "|:%/[]{}()#b♭♯N.C. C7Am5maj\n\t1,2.x\u{0}é"
        .chars()
        .collect();
    let mut state = 1_u64;
    for round in 0..60 {
        let text: String = (0..round * 7)
            .map(|_| {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                signs[(state >> 33) as usize % signs.len()]
            })
            .collect();
        let ended = folder.fed("compose - --reasons", text.as_bytes());
        assert!(
            matches!(ended.code, Some(0 | 1 | CHART)),
            "{text:?}: {ended:?}"
        );
        assert!(!ended.err.contains("panicked"), "{text:?}: {}", ended.err);
    }
}
