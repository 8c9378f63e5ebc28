//! Names that were mistyped.

/// More characters of a typed name are not compared: no known name is as long.
const MOST: usize = 64;

/// The known name nearest to a mistyped one, when it is near enough to be meant: one of three
/// letters may be wrong, and two in any case. Small and capital letters are the same. Ties go to
/// the earlier name.
pub fn nearest<'n>(typed: &str, known: impl IntoIterator<Item = &'n str>) -> Option<&'n str> {
    let typed = folded(typed);
    known
        .into_iter()
        .map(|name| (edits(&typed, name), name))
        .filter(|(edits, name)| *edits <= 2.max(name.chars().count() / 3))
        .min_by_key(|(edits, _)| *edits)
        .map(|(_, name)| name)
}

/// Whether one letter too many, too few, another or two swapped make the typed name of the known
/// one.
pub fn is_slip_of(typed: &str, known: &str) -> bool {
    edits(&folded(typed), known) == 1
}

/// Insertions, deletions, replacements and swaps of neighbours.
fn edits(typed: &str, known: &str) -> usize {
    strsim::damerau_levenshtein(typed, &folded(known))
}

fn folded(name: &str) -> String {
    name.to_lowercase().chars().take(MOST).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_finds_its_name_and_a_stranger_finds_none() {
        let known = ["root-arrival", "third-arrival", "oscillation"];
        assert_eq!(nearest("root-arival", known), Some("root-arrival"));
        assert_eq!(nearest("oscilation", known), Some("oscillation"));
        assert_eq!(nearest("xylophone", known), None);
        assert_eq!(nearest(&"o".repeat(1 << 20), known), None);
    }

    #[test]
    fn capitals_do_not_count_and_the_earlier_of_two_is_taken() {
        assert_eq!(nearest("titel", ["title", "tempo"]), Some("title"));
        assert_eq!(nearest("Tempi", ["title", "tempo"]), Some("tempo"));
        assert_eq!(nearest("composer", ["title", "tempo"]), None);
        assert_eq!(nearest("cat", ["rat", "bat"]), Some("rat"));
    }

    #[test]
    fn a_slip_is_one_letter() {
        for (typed, known) in [
            ("titel", "title"),
            ("titl", "title"),
            ("tempos", "tempo"),
            ("kez", "key"),
        ] {
            assert!(is_slip_of(typed, known), "{typed}");
        }
        for typed in ["line", "style", "seed", "ti", ""] {
            let known = ["title", "time", "key", "tempo", "feel", "pickup"];
            assert!(
                !known.iter().any(|known| is_slip_of(typed, known)),
                "{typed}"
            );
        }
    }
}
