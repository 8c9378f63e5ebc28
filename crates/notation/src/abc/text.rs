//! Text strings: characters that mean something else in a file, and accented letters.

use linewright_diagnostic::clean;

/// Accents of the standard's mnemonics: the sign after the backslash, letters, and what they make.
const ACCENTS: [(char, &str, &str); 7] = [
    ('`', "AEIOUaeiou", "ÀÈÌÒÙàèìòù"),
    ('\'', "AEIOUYaeiouy", "ÁÉÍÓÚÝáéíóúý"),
    ('^', "AEIOUaeiou", "ÂÊÎÔÛâêîôû"),
    ('~', "ANOano", "ÃÑÕãñõ"),
    ('"', "AEIOUaeiouy", "ÄËÏÖÜäëïöüÿ"),
    ('c', "Cc", "Çç"),
    ('/', "Oo", "Øø"),
];

/// Mnemonics of two letters.
const LIGATURES: [(&str, char); 9] = [
    ("AA", 'Å'),
    ("aa", 'å'),
    ("AE", 'Æ'),
    ("ae", 'æ'),
    ("OE", 'Œ'),
    ("oe", 'œ'),
    ("ss", 'ß'),
    ("DH", 'Ð'),
    ("dh", 'ð'),
];

/// Entities that are read.
const ENTITIES: [(&str, char); 6] = [
    ("quot", '"'),
    ("amp", '&'),
    ("lt", '<'),
    ("gt", '>'),
    ("copy", '©'),
    ("nbsp", ' '),
];

/// The named accents of entities, with the mnemonic's sign.
const ENTITY_ACCENTS: [(&str, char); 6] = [
    ("grave", '`'),
    ("acute", '\''),
    ("circ", '^'),
    ("tilde", '~'),
    ("uml", '"'),
    ("cedil", 'c'),
];

/// A text as it is written after a field's colon, on one line.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        match c {
            '\\' => out.push_str("\\\\"),
            '%' => out.push_str("\\%"),
            '&' if entity(&text[at..]).is_some() => out.push_str("\\&"),
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.trim().to_owned()
}

/// A text as it is written between double quotes.
pub(super) fn quoted(text: &str) -> String {
    format!("\"{}\"", escaped(text).replace('"', "&quot;"))
}

/// What a text string stands for, control characters as blanks.
pub(super) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let (character, length) = match c {
            '\\' => escape(&rest[1..]).map_or((c, 1), |(c, length)| (c, length + 1)),
            '&' => entity(rest).unwrap_or((c, 1)),
            _ => (c, c.len_utf8()),
        };
        out.push(if character.is_control() {
            ' '
        } else {
            character
        });
        rest = &rest[length..];
    }
    out.trim().to_owned()
}

/// What follows a backslash: the character and the bytes it took.
fn escape(rest: &str) -> Option<(char, usize)> {
    let mut chars = rest.chars();
    let first = chars.next()?;
    if matches!(first, '\\' | '%' | '&') {
        return Some((first, 1));
    }
    if first == 'u' {
        let digits = rest.get(1..5)?;
        let all = digits.bytes().all(|b| b.is_ascii_hexdigit());
        let code = u32::from_str_radix(digits, 16).ok().filter(|_| all)?;
        return char::from_u32(code)
            .filter(|c| !c.is_control())
            .map(|c| (c, 5));
    }
    let second = chars.next()?;
    accented(first, second)
        .or_else(|| {
            let found = LIGATURES.iter().find(|(name, _)| rest.starts_with(name));
            found.map(|&(_, c)| c)
        })
        .map(|c| (c, 2))
}

fn accented(sign: char, letter: char) -> Option<char> {
    let (_, letters, made) = ACCENTS.iter().find(|(known, ..)| *known == sign)?;
    let place = letters.chars().position(|known| known == letter)?;
    made.chars().nth(place)
}

/// An entity at the start of a text: its character and the bytes it took.
fn entity(text: &str) -> Option<(char, usize)> {
    let inner = text.strip_prefix('&')?;
    let end = inner.bytes().take(10).position(|b| b == b';')?;
    let name = inner.get(..end)?;
    let found = ENTITIES.iter().find(|(known, _)| *known == name);
    let character = found.map(|&(_, c)| c).or_else(|| {
        let (letter, accent) = name.split_at_checked(1)?;
        let (_, sign) = ENTITY_ACCENTS.iter().find(|(known, _)| *known == accent)?;
        accented(*sign, letter.chars().next()?)
    })?;
    Some((character, end + 2))
}

/// A piece of a file as a message quotes it.
pub(super) fn shown(text: &str) -> String {
    format!("`{}`", clean::shown(text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn mnemonics_entities_and_codes_are_read() {
        assert_eq!(
            plain("Caf\\'e \\u266d &eacute; &amp; \\\\ \\% \\&"),
            "Café ♭ é & \\ % &"
        );
        assert_eq!(plain("\\\"uber \\ss \\ae \\cc"), "über ß æ ç");
        assert_eq!(plain("a & b; \\q \\"), "a & b; \\q \\");
    }

    #[test]
    fn only_what_needs_it_is_escaped() {
        assert_eq!(escaped("Rock & Roll; 100%"), "Rock & Roll; 100\\%");
        assert_eq!(escaped("&amp;"), "\\&amp;");
        assert_eq!(quoted("a\"b"), "\"a&quot;b\"");
    }

    proptest! {
        #[test]
        fn what_is_escaped_is_read_back(text in "\\PC{0,30}") {
            prop_assert_eq!(plain(&escaped(&text)), text.trim());
            let inner = quoted(&text);
            prop_assert_eq!(plain(&inner[1..inner.len() - 1]), text.trim());
        }

        #[test]
        fn any_text_is_read(text in "[\\\\&;#ua-c0-9'\"é]{0,20}") {
            let read = plain(&text);
            prop_assert_eq!(plain(&escaped(&read)), read.trim());
            prop_assert!(read.chars().count() <= text.chars().count());
        }
    }
}
