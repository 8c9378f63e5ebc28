//! Symbols as tables of chords are often typed: `j7` for the major seventh, accidentals after
//! their number (`79b`), all extensions in a row (`7913`). They are not read, since they can be
//! taken in two ways, but answered with the symbol that is most likely meant.

use std::fmt;

use crate::Chord;
use crate::name::read_name;

/// The symbol that such a spelling means; `None` for any other text.
pub(super) fn meant(text: &str) -> Option<Chord> {
    if text.len() > super::LONGEST {
        return None;
    }
    let (_, end) = read_name(text)?;
    let (symbol, bass) = match text[end..].rfind('/') {
        Some(slash) => text.split_at(end + slash),
        None => (text, ""),
    };
    let rest = &symbol[end..];
    let begins = |at: &usize| {
        let rest = &rest[*at..];
        rest.starts_with(|c: char| c.is_ascii_digit() || "jJ".contains(c))
            || rest.starts_with("sus")
    };
    let quality = (0..rest.len())
        .filter(|at| rest.is_char_boundary(*at))
        .find(begins)?;
    let parts = Parts::read(&rest[quality..])?;
    let plain = format!("{}{parts}{bass}", &symbol[..end + quality]);
    super::read(&plain).ok()
}

/// What stands after the triad.
#[derive(Default)]
struct Parts {
    major: bool,
    sus: bool,
    /// Numbers with the accidental that is theirs.
    numbers: Vec<(Option<char>, u8)>,
    /// Whether an accidental stood after its number.
    after: bool,
}

impl Parts {
    fn read(mut rest: &str) -> Option<Parts> {
        let mut parts = Parts::default();
        while !rest.is_empty() {
            if let Some(tail) = rest.strip_prefix(['j', 'J']) {
                parts.major = true;
                rest = tail;
            } else if let Some(tail) = rest.strip_prefix("sus") {
                parts.sus = true;
                rest = tail.strip_prefix('4').unwrap_or(tail);
            } else {
                let (before, tail) = accidental(rest);
                let (number, tail) = number(tail)?;
                // A seventh and a sixth have none: what follows is that of the next number.
                let bare = before.is_none() && (number > 7 || number == 5);
                let (after, tail) = if bare { accidental(tail) } else { (None, tail) };
                parts.after |= after.is_some();
                parts.numbers.push((before.or(after), number));
                rest = tail;
            }
        }
        let odd = parts.major || parts.sus || parts.numbers.len() > 1 || parts.after;
        odd.then_some(parts)
    }
}

impl fmt::Display for Parts {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.major {
            f.write_str("maj")?;
        }
        let mut numbers = self.numbers.iter().peekable();
        match numbers.peek() {
            Some((None, number)) if *number > 5 => {
                write!(f, "{number}")?;
                numbers.next();
            }
            // An altered ninth alone is that of a seventh chord.
            Some((Some(_), number)) if *number > 7 => f.write_str("7")?,
            _ => {}
        }
        if self.sus {
            f.write_str("sus4")?;
        }
        for (accidental, number) in numbers {
            f.write_str("(")?;
            if let Some(accidental) = accidental {
                write!(f, "{accidental}")?;
            }
            write!(f, "{number})")?;
        }
        Ok(())
    }
}

/// An accidental at the start of a text, and what follows it.
fn accidental(text: &str) -> (Option<char>, &str) {
    for (signs, plain) in [(['b', '♭'], 'b'), (['#', '♯'], '#')] {
        if let Some(tail) = text.strip_prefix(signs) {
            return (Some(plain), tail);
        }
    }
    (None, text)
}

/// The number of a chord's tone at the start of a text, and what follows it.
fn number(text: &str) -> Option<(u8, &str)> {
    [13, 11, 9, 7, 6, 5]
        .into_iter()
        .find_map(|number| Some((number, text.strip_prefix(&number.to_string())?)))
}
