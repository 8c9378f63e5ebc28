//! No text makes the reader panic.

use linewright_rulebook::style::{Library, resolve};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::select;

/// Pieces of style files, right and wrong.
const PIECES: [&str; 40] = [
    "name = \"mine\"\ndescription = \"Mine.\"\n",
    "extends = \"plain\"\n",
    "extends = \"mine\"\n",
    "extends = \"plian\"\n",
    "feel = \"in two\"\n",
    "feel = 4\n",
    "temperature = 1e400\n",
    "temperature = -0.0\n",
    "[range]\n",
    "low = \"E1\"\n",
    "low = \"Fb9\"\n",
    "high = \"C-1\"\n",
    "high = \"ü\"\n",
    "heart-low = \"B#3\"\n",
    "heart-high = \"A1\"\n",
    "[weights]\n",
    "step = 3\n",
    "step = \"never\"\n",
    "step = 99999999999999999999\n",
    "root-arrival = -0.5\n",
    "[plan]\n",
    "phrase-bars = 0\n",
    "phrase-bars = 16\n",
    "cadences = { beat-one = 0 }\n",
    "cadences = { own-root = 1e9 }\n",
    "tension = [0, 1]\n",
    "tension = []\n",
    "tension = [nan]\n",
    "ambiguous = inf\n",
    "[sound]\n",
    "velocity = 255\n",
    "length = 0.75\n",
    "[plan.cadences]\n",
    "[[weights]]\n",
    "= 1\n",
    "\"\"\"",
    "# größer\n",
    "\u{feff}",
    "\r",
    "\0",
];

proptest! {
    #[test]
    fn arbitrary_text_is_read_or_refused_with_words(text in any::<String>()) {
        let refused = resolve(&Library::builtin(), "my.toml", &text).unwrap_err().to_string();
        prop_assert!(refused.starts_with("my.toml:"), "{}", refused);
    }

    #[test]
    fn pieces_of_styles_in_any_order_are_read_or_refused_with_words(
        pieces in vec(select(&PIECES[..]), 0..12),
    ) {
        let text = pieces.concat();
        match resolve(&Library::builtin(), "my.toml", &text) {
            // Never its parent's name.
            Ok(style) => prop_assert_eq!(style.name, "mine"),
            Err(fault) => prop_assert!(!fault.to_string().is_empty()),
        }
    }

    #[test]
    fn a_place_always_lies_in_the_text(
        before in "[a-zäö \n]{0,20}", pieces in vec(select(&PIECES[..]), 1..6),
    ) {
        let comments: String = before.lines().map(|line| format!("# {line}\n")).collect();
        let text = comments + &pieces.concat();
        if let Err(fault) = resolve(&Library::builtin(), "my.toml", &text) {
            let fault = fault.to_string();
            let mut numbers = fault.split(':').skip(1).map(|word| word.parse::<usize>());
            if let (Some(Ok(line)), Some(Ok(column))) = (numbers.next(), numbers.next()) {
                let lines: Vec<&str> = text.split('\n').collect();
                prop_assert!((1..=lines.len()).contains(&line), "{}", fault);
                let length = lines[line - 1].chars().count();
                prop_assert!((1..=length + 1).contains(&column), "{}", fault);
            }
        }
    }
}
