//! What a style that cannot be used is told: what is wrong, where, and what to
//! write instead.

use linewright_diagnostic::Diagnostic;
use linewright_rulebook::style::{Library, Style, Weight, check_rules, resolve};

/// What a style begins with that extends `plain`: three lines.
const HEAD: &str = "name = \"mine\"\ndescription = \"Mine.\"\nextends = \"plain\"\n";

/// The fault of a style text that is read as `my.toml`.
fn fault(text: &str) -> String {
    let fault: Diagnostic = resolve(&Library::builtin(), "my.toml", text).unwrap_err();
    fault.to_string()
}

/// The fault of these lines in a style that extends `plain`.
fn fault_in(lines: &str) -> String {
    fault(&format!("{HEAD}{lines}\n"))
}

#[test]
fn an_unknown_key_is_answered_with_the_nearest_known_one() {
    let fault = fault_in("[plan]\nphrase-bar = 4");
    assert!(
        fault.starts_with("my.toml:5:1: unknown field `phrase-bar`"),
        "{fault}"
    );
    assert!(
        fault.ends_with("hint: did you mean `phrase-bars`?"),
        "{fault}"
    );
}

#[test]
fn an_unknown_key_near_no_other_is_answered_with_all_that_are_known() {
    let fault = fault_in("[plan.cadences]\nplagal = 1");
    assert!(
        fault.ends_with("hint: known here: beat-one, own-root, next-root"),
        "{fault}"
    );
}

#[test]
fn an_unknown_feel_is_answered_with_the_feels() {
    let fault = fault_in("feel = \"in too\"");
    assert!(fault.starts_with("my.toml:4:8: "), "{fault}");
    assert!(fault.ends_with("did you mean `in two`?"), "{fault}");
}

#[test]
fn text_for_a_weight_is_told_what_a_weight_is() {
    assert_eq!(
        fault_in("[weights]\nstep = \"lots\""),
        "my.toml:5:8: \"lots\" is not a weight: write a number from -100 to 100, or \"never\""
    );
}

#[test]
fn a_weight_beyond_a_hundred_or_that_is_no_number_is_out_of_range() {
    for weight in ["100.001", "-101", "1000000000000", "inf", "nan"] {
        let fault = fault_in(&format!("[weights]\nstep = {weight}"));
        assert!(fault.starts_with("my.toml:5:8: "), "{fault}");
        assert!(
            fault.contains("a weight is a number from -100 to 100"),
            "{fault}"
        );
    }
}

#[test]
fn a_value_of_the_wrong_kind_is_named_with_its_place_in_plain_words() {
    for (lines, words) in [
        (
            "[plan]\nphrase-bars = 300",
            "5:15: the number `300` stands where a whole number from 0 to 255 belongs",
        ),
        (
            "[plan]\nambiguous = \"often\"",
            "5:13: the text \"often\" stands where a number belongs",
        ),
        (
            "[range]\nlow = 28",
            "5:7: the number `28` stands where text in quotes belongs",
        ),
        (
            "weights = 3",
            "4:11: the number `3` stands where a table of keys belongs",
        ),
        ("feel = 3", "4:8: text in quotes belongs here"),
    ] {
        assert_eq!(fault_in(lines), format!("my.toml:{words}"));
    }
}

#[test]
fn a_place_counts_lines_from_one_and_columns_in_characters() {
    let fault = fault_in("feel = \"in two\" # für größere Bässe\n  temperature = \"heiß\"");
    assert!(fault.starts_with("my.toml:5:17: "), "{fault}");
    let fault = fault_in("instrument = { name = \"Bäß\", program = true }");
    assert!(fault.starts_with("my.toml:4:40: "), "{fault}");
}

#[test]
fn text_that_is_not_toml_is_told_where_it_ends_to_be_toml() {
    assert!(fault("[range\n").starts_with("my.toml:1:7: "));
    assert!(fault("name = \"a\"\nname = \"b\"").starts_with("my.toml:2:1: duplicate key"));
}

#[test]
fn values_out_of_range_are_told_the_range() {
    for (lines, words) in [
        (
            "temperature = 0",
            "`temperature` is 0: it must lie between 0.05 and 50",
        ),
        (
            "temperature = nan",
            "`temperature` is NaN: it must lie between 0.05 and 50",
        ),
        (
            "[instrument]\nprogram = 0",
            "`instrument.program` is 0: it must lie between 1 and 128",
        ),
        (
            "[instrument]\nprogram = 129",
            "`instrument.program` is 129: it must lie between 1 and 128",
        ),
        (
            "[limits]\nlargest-leap = 4",
            "`limits.largest-leap` is 4: it must lie between 5 and 24",
        ),
        (
            "[limits]\nlargest-shift = 37",
            "`limits.largest-shift` is 37: it must lie between 5 and 36",
        ),
        (
            "[plan]\nphrase-bars = 1",
            "`plan.phrase-bars` is 1: it must lie between 2 and 16",
        ),
        (
            "[plan]\nambiguous = 1.5",
            "`plan.ambiguous` is 1.5: it must lie between 0 and 1",
        ),
        (
            "[plan]\nregister-shift = -0.1",
            "`plan.register-shift` is -0.1: it must lie between 0 and 1",
        ),
        (
            "[plan]\nregister-span = 13",
            "`plan.register-span` is 13: it must lie between 0 and 12",
        ),
        (
            "[plan]\ntension = []",
            "`plan.tension` needs 1 to 64 numbers",
        ),
        (
            "[plan]\ntension = [0.5, 2]",
            "`plan.tension` is 2: it must lie between 0 and 1",
        ),
        (
            "[plan]\ncadences = { own-root = -1 }",
            "`plan.cadences.own-root` is -1: it must lie between 0 and 1000",
        ),
        (
            "[sound]\nvelocity = 0",
            "`sound.velocity` is 0: it must lie between 1 and 127",
        ),
        (
            "[sound]\naccent = 41",
            "`sound.accent` is 41: it must lie between 0 and 40",
        ),
        (
            "[sound]\nlength = 0.4",
            "`sound.length` is 0.4: it must lie between 0.5 and 1",
        ),
    ] {
        assert_eq!(fault_in(lines), format!("my.toml: {words}"));
    }
}

#[test]
fn the_ends_of_every_range_are_allowed_and_kept() {
    type Row = (&'static str, fn(&Style) -> bool);
    let rows: [Row; 14] = [
        ("temperature = 0.05", |s| s.temperature == 50),
        ("temperature = 50", |s| s.temperature == 50_000),
        ("[instrument]\nprogram = 1", |s| s.instrument.program == 1),
        ("[instrument]\nprogram = 128", |s| {
            s.instrument.program == 128
        }),
        ("[limits]\nlargest-leap = 5", |s| s.largest_leap == 5),
        ("[limits]\nlargest-leap = 24", |s| s.largest_leap == 24),
        ("[plan]\nphrase-bars = 2", |s| s.plan.phrase_bars == 2),
        ("[plan]\nphrase-bars = 16", |s| s.plan.phrase_bars == 16),
        ("[plan]\nambiguous = 0", |s| s.plan.ambiguous == 0),
        ("[plan]\nambiguous = 1", |s| s.plan.ambiguous == 1000),
        ("[sound]\nlength = 0.5", |s| s.sound.length == 500),
        ("[sound]\naccent = 0", |s| s.sound.accent == 0),
        ("[weights]\nstep = 100", |s| {
            s.weight("step") == Weight::Milli(100_000)
        }),
        ("[weights]\nstep = -100.0", |s| {
            s.weight("step") == Weight::Milli(-100_000)
        }),
    ];
    for (lines, is_kept) in rows {
        let text = format!("{HEAD}{lines}\n");
        let style = resolve(&Library::builtin(), "my.toml", &text);
        assert!(is_kept(&style.expect(lines)), "{lines}");
    }
}

#[test]
fn a_range_upside_down_too_narrow_or_too_wide_is_refused() {
    for (low, high) in [("G3", "E1"), ("E1", "E1"), ("E1", "Eb2")] {
        let fault = fault_in(&format!("[range]\nlow = \"{low}\"\nhigh = \"{high}\""));
        let words = "my.toml: the range must go up, and span at least an octave";
        assert_eq!(fault, words, "{low} {high}");
    }
    let wide = fault_in("[range]\nlow = \"C1\"\nhigh = \"C5\"");
    assert_eq!(wide, "my.toml: the range spans more than 48 notes");
}

#[test]
fn a_note_that_is_none_is_told_how_notes_are_written() {
    let fault = fault_in("[range]\nheart-low = \"H1\"");
    assert!(
        fault.starts_with("my.toml: `range.heart-low`: \"H1\" is not a note"),
        "{fault}"
    );
    assert!(fault.contains("such as \"E1\" or \"Bb2\""), "{fault}");
}

#[test]
fn a_name_with_capitals_or_blanks_or_none_at_all_is_refused() {
    for name in ["My Style", "", "süß", &"a".repeat(41)] {
        let fault = fault(&format!(
            "name = \"{name}\"\ndescription = \"Mine.\"\nextends = \"plain\""
        ));
        let shown: String = name.chars().take(40).collect();
        assert!(fault.contains(&format!("`name` is \"{shown}")), "{fault}");
        assert!(
            fault.ends_with("a name is 1 to 40 small letters, digits and hyphens"),
            "{fault}"
        );
    }
}

#[test]
fn a_style_gives_its_own_name_and_description_and_is_told_so_at_its_top() {
    for key in ["name", "description"] {
        let lines = HEAD.lines().filter(|line| !line.starts_with(key));
        let text: Vec<&str> = lines.chain(["[weights]", "step = 1"]).collect();
        let fault = fault(&text.join("\n"));
        assert!(
            fault.starts_with(&format!("my.toml:1:1: the style has no `{key}` of its own")),
            "{fault}"
        );
        assert!(
            fault.contains(&format!(
                "hint: write one at the top, before any `[table]`: `{key} = "
            )),
            "{fault}"
        );
    }
    let empty = fault(&HEAD.replace("Mine.", " "));
    assert!(empty.contains("`description` is empty"), "{empty}");
}

#[test]
fn the_name_in_the_hint_may_be_written() {
    let fault = fault("");
    let name = fault
        .rsplit("`name = ")
        .next()
        .unwrap()
        .trim_end_matches('`');
    let text = HEAD.replace("\"mine\"", name);
    let style = resolve(&Library::builtin(), "my.toml", &text).expect("a style");
    assert_eq!(format!("\"{}\"", style.name), name);
}

#[test]
fn an_unknown_parent_is_answered_with_the_nearest_style() {
    let fault = fault(&HEAD.replace("plain", "plian"));
    assert!(
        fault.starts_with("my.toml: there is no style called `plian`"),
        "{fault}"
    );
    assert!(fault.ends_with("hint: did you mean `plain`?"), "{fault}");
}

#[test]
fn a_parent_near_no_style_is_answered_with_all_of_them() {
    let fault = fault(&HEAD.replace("plain", "bassoon-quartet"));
    for name in Library::builtin_names() {
        assert!(fault.contains(name), "{name} is missing in: {fault}");
    }
}

#[test]
fn a_fault_in_a_parent_names_the_parent() {
    let mut library = Library::builtin();
    library.insert("mother", "extends = \"plain\"\nbogus = 1");
    let text = HEAD.replace("plain", "mother");
    let fault = resolve(&library, "my.toml", &text).unwrap_err();
    assert!(
        fault
            .to_string()
            .starts_with("mother:2:1: unknown field `bogus`"),
        "{fault}"
    );
}

#[test]
fn styles_that_extend_each_other_go_in_a_circle() {
    let mut library = Library::builtin();
    for (name, parent) in [("hen", "egg"), ("egg", "hen"), ("snake", "snake")] {
        let text = HEAD.replace("mine", name).replace("plain", parent);
        library.insert(name, text);
    }
    for name in ["hen", "egg", "snake"] {
        let fault = library.style(name).unwrap_err().to_string();
        let words = format!("{name}: the styles that this one extends go in a circle");
        assert!(fault.starts_with(&words), "{fault}");
    }
}

#[test]
fn a_key_that_nobody_gives_is_named() {
    assert!(fault(&HEAD.replace("extends", "#")).starts_with("my.toml: `feel` is not given"));
    let whole = Library::builtin().text("handbook").unwrap().to_owned();
    for (line, key) in [
        ("feel = \"walking\"", "feel"),
        ("high = \"G3\"", "range.high"),
        ("program = 33", "instrument.program"),
        ("largest-shift = 16", "limits.largest-shift"),
        ("phrase-bars = 4", "plan.phrase-bars"),
        ("accent = 8", "sound.accent"),
    ] {
        assert!(whole.contains(line), "{line}");
        let fault = fault(&whole.replace(line, ""));
        let words =
            format!("my.toml: `{key}` is not given, here or in a style that this one extends");
        assert!(fault.starts_with(&words), "{fault}");
        assert!(
            fault.ends_with("or extend a complete style: `extends = \"plain\"`"),
            "{fault}"
        );
    }
}

#[test]
fn a_file_over_256_kib_is_not_read() {
    let long = "#".repeat(256 * 1024 + 1);
    let fault = fault(&long);
    assert!(
        fault.starts_with("my.toml: a style file over 256 KiB is not read\n  hint: "),
        "{fault}"
    );
}

#[test]
fn a_style_that_is_not_there_is_answered_with_the_nearest_name() {
    let fault = Library::builtin().style("waltzer").unwrap_err().to_string();
    assert!(
        fault.contains("there is no style called `waltzer`"),
        "{fault}"
    );
    assert!(fault.ends_with("did you mean `waltz`?"), "{fault}");
}

#[test]
fn a_value_of_hundreds_of_signs_is_quoted_in_short() {
    let long = "x".repeat(100_000);
    for text in [
        HEAD.replace("mine", &long),
        format!("{HEAD}temperature = 1e308\n"),
        format!("{HEAD}temperature = 1e-300\n"),
        format!("{HEAD}[weights]\nstep = 1e308\n"),
        format!("{HEAD}[weights]\nstep = \"{long}\"\n"),
        format!("{HEAD}[instrument]\nname = \"{long}\"\n"),
        HEAD.replace("Mine.", &long),
        format!("{HEAD}{long} = 1\n"),
    ] {
        let fault = fault(&text);
        assert!(fault.chars().count() < 700, "{fault}");
        assert!(
            !fault.ends_with('x'),
            "what to write instead is told: {fault}"
        );
    }
}

#[test]
fn a_text_of_the_longest_length_is_taken() {
    let name = "ü".repeat(200);
    let text = format!("{HEAD}[instrument]\nname = \"{name}\"\n");
    let style = resolve(&Library::builtin(), "my.toml", &text).unwrap();
    assert_eq!(style.instrument.name, name);
}

#[test]
fn a_weight_of_a_rule_that_does_not_exist_is_told_with_its_place() {
    let told = |weights: &str| {
        let known = ["root-arrival", "step"];
        let text = format!("{HEAD}{weights}\n");
        check_rules("my.toml", &text, known.into_iter()).map_err(|fault| fault.to_string())
    };
    assert_eq!(
        told("[weights]\nstep = 1\nroot-arrival = \"never\""),
        Ok(())
    );
    assert_eq!(told("feel = \"in two\""), Ok(()));
    assert_eq!(
        told("[weights]\nstep = 1\n  root-arival = 2\nbogus = 1").unwrap_err(),
        "my.toml:6:3: there is no rule called `root-arival`\n  hint: did you mean `root-arrival`?"
    );
    let inline = told("weights = { xylophone = 1 }").unwrap_err();
    assert!(inline.starts_with("my.toml:4:13: "), "{inline}");
    let dotted = told("weights.\"ste\\u001bp\" = 1").unwrap_err();
    assert!(
        dotted.starts_with("my.toml:4:9: there is no rule called `ste\u{FFFD}p`"),
        "{dotted}"
    );
}
