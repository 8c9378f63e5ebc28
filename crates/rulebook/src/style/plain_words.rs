//! What the TOML reader says about a value of the wrong kind, in a musician's
//! words.

/// The reader's message, in plain words where it names kinds of values.
pub fn plain_words(message: &str) -> String {
    if message == "wanted string or table" {
        return "text in quotes belongs here".into();
    }
    let wrong_kind = ["invalid type: ", "invalid value: "]
        .iter()
        .find_map(|start| message.strip_prefix(start))
        .and_then(|rest| rest.rsplit_once(", expected "));
    match wrong_kind {
        Some((found, wanted)) => format!("{} stands where {} belongs", the(found), a(wanted)),
        None => message.to_owned(),
    }
}

/// What was found: a kind of value, and perhaps the value.
fn the(found: &str) -> String {
    let (kind, value) = match found.find(['`', '"']) {
        Some(at) => (found[..at].trim_end(), &found[at..]),
        None => (found, ""),
    };
    let kind = match kind {
        "integer" | "floating point" => "the number",
        "string" => "the text",
        "boolean" => "the word",
        "sequence" => "a list",
        "map" => "a table",
        other => other,
    };
    // Whole numbers that are too long say how they were kept.
    let value = value.split("` as i128").next().unwrap_or(value);
    let close = if value.starts_with('`') && !value.ends_with('`') {
        "`"
    } else {
        ""
    };
    format!("{kind} {value}{close}").trim_end().to_owned()
}

/// What was wanted.
fn a(wanted: &str) -> &str {
    match wanted {
        "u8" => "a whole number from 0 to 255",
        "f64" => "a number",
        "a string" => "text in quotes",
        "a map" => "a table of keys",
        "a sequence" => "a list",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::plain_words;

    #[test]
    fn kinds_of_values_are_named_in_plain_words() {
        for (message, words) in [
            (
                "invalid value: integer `300`, expected u8",
                "the number `300` stands where a whole number from 0 to 255 belongs",
            ),
            (
                "invalid type: string \"a, expected b\", expected f64",
                "the text \"a, expected b\" stands where a number belongs",
            ),
            (
                "invalid type: sequence, expected a string",
                "a list stands where text in quotes belongs",
            ),
            (
                "invalid type: integer `99999999999999999999` as i128, expected f64",
                "the number `99999999999999999999` stands where a number belongs",
            ),
            ("wanted string or table", "text in quotes belongs here"),
        ] {
            assert_eq!(plain_words(message), words);
        }
    }

    #[test]
    fn other_messages_are_left_alone() {
        assert_eq!(plain_words("duplicate key"), "duplicate key");
    }
}
