//! The tokens of one music line.

use linewright_diagnostic::{Diagnostic, clean::quoted};

/// A longer parenthesis is no part of a chord symbol, in characters.
const MAX_PARENTHESIS: usize = 40;

/// The sign that says how often.
const TIMES: [char; 3] = ['x', 'X', '×'];

/// A bar line as it was typed.
#[derive(Copy, Clone, PartialEq, Eq, Debug, Default)]
pub(crate) struct BarSign {
    /// `:|` – a repeat ends here.
    pub close: bool,
    /// `|:` – a repeat begins here.
    pub open: bool,
    /// `||`
    pub double: bool,
    /// `|]`
    pub last: bool,
}

impl BarSign {
    /// A sign that also works as the plain end of a part, so that it may stand
    /// next to another bar line.
    pub(crate) fn ends_part(self) -> bool {
        self.close || self.double || self.last
    }
}

#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) enum Token<'a> {
    Bar(BarSign),
    /// `x3` or `3x` after `:|`.
    Times(&'a str),
    /// `[A]`
    Section(&'a str),
    /// `(key: Eb)`, without the parentheses.
    Directive(&'a str),
    /// `1.` or `1,2.`
    Ending(&'a str),
    /// Something in brackets that could not be read; its fault is noted.
    Broken,
    /// `%`
    Same,
    /// A run of `/`: one held beat each.
    Hold(usize),
    /// A chord symbol, `N.C.` or something that should have been one.
    Word(&'a str),
}

/// Cuts a music line into tokens with their offsets in the line. A `#` at the
/// start of a token begins a comment.
pub(crate) fn tokens(line: &str) -> (Vec<(usize, Token<'_>)>, Vec<Diagnostic>) {
    let mut found = Vec::new();
    let mut faults = Vec::new();
    let mut at = 0;
    while let Some(first) = line[at..].chars().next() {
        let rest = &line[at..];
        let length = match first {
            '#' => break,
            _ if first.is_whitespace() => first.len_utf8(),
            '|' | ':' => {
                let length = sign_length(rest);
                match bar_sign(&rest[..length]) {
                    Some(sign) => found.push((at, Token::Bar(sign))),
                    None => faults.push(
                        Diagnostic::error(
                            format!("{} is no bar line", quoted(&rest[..length])),
                            "the bar lines are `|`, `||`, `|]`, `|:`, `:|` and `:|:`",
                        )
                        .at(at),
                    ),
                }
                length
            }
            '[' | '(' => {
                let close = if first == '[' { ']' } else { ')' };
                // What is in brackets ends before the next bar line.
                let end = rest[1..].find([close, first, '|']).map(|end| end + 1);
                match end {
                    Some(end) if rest[end..].starts_with(close) => {
                        let inside = rest[1..end].trim();
                        found.push(if first == '[' {
                            (at, Token::Section(inside))
                        } else {
                            (at, Token::Directive(inside))
                        });
                        end + 1
                    }
                    _ => {
                        let what = if first == '[' { "section" } else { "directive" };
                        let hint = if rest[1..].starts_with(|c: char| c.is_ascii_digit()) {
                            "write an ending without a bracket, as in `|1. C7 :|2. F7 |`".into()
                        } else {
                            format!("write a `{close}` after its name")
                        };
                        let message = format!("the {what} that begins here is not closed");
                        faults.push(Diagnostic::error(message, hint).at(at));
                        found.push((at, Token::Broken));
                        end.unwrap_or(rest.len())
                    }
                }
            }
            ']' | ')' => {
                let open = if first == ']' { '[' } else { '(' };
                faults.push(
                    Diagnostic::error(
                        format!("`{first}` closes nothing"),
                        format!("write `{open}` before the name, or leave it out"),
                    )
                    .at(at),
                );
                1
            }
            _ => {
                let length = word_length(rest);
                found.push((at, word(&rest[..length])));
                length
            }
        };
        at += length;
    }
    (found, faults)
}

/// The length of the bar line at the start of the text.
fn sign_length(rest: &str) -> usize {
    let run = rest.find(|c| c != '|' && c != ':').unwrap_or(rest.len());
    let last = rest[..run].ends_with('|') && rest[run..].starts_with(']');
    run + usize::from(last)
}

fn bar_sign(text: &str) -> Option<BarSign> {
    let plain = BarSign::default();
    Some(match text {
        "|" => plain,
        "||" => BarSign {
            double: true,
            ..plain
        },
        "|]" => BarSign {
            last: true,
            ..plain
        },
        "|:" | "||:" => BarSign {
            open: true,
            ..plain
        },
        ":|" | ":||" | ":|]" => BarSign {
            close: true,
            ..plain
        },
        ":|:" | ":||:" => BarSign {
            close: true,
            open: true,
            ..plain
        },
        _ => return None,
    })
}

/// The length of the word at the start of the text. A parenthesis at its start
/// would be a directive's; inside a word it is the chord's, and blanks in it
/// do not end the word, so that `C7(b9, #11)` is one chord.
fn word_length(rest: &str) -> usize {
    let mut inside = false;
    for (at, character) in rest.char_indices() {
        match character {
            '|' | ':' | '[' | ']' => return at,
            '(' => inside = is_closed(&rest[at..]),
            ')' => inside = false,
            _ if character.is_whitespace() && !inside => return at,
            _ => {}
        }
    }
    rest.len()
}

/// Whether the parenthesis that opens here closes within a chord symbol's
/// reach.
fn is_closed(rest: &str) -> bool {
    rest.chars()
        .take(MAX_PARENTHESIS)
        .skip(1)
        .find(|c| matches!(c, ')' | '(' | '|' | '['))
        == Some(')')
}

fn word(text: &str) -> Token<'_> {
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    if text == "%" {
        Token::Same
    } else if text.bytes().all(|byte| byte == b'/') {
        Token::Hold(text.len())
    } else if let Some(number) = text
        .strip_prefix(TIMES)
        .or_else(|| text.strip_suffix(TIMES))
        .filter(|number| digits(number))
    {
        Token::Times(number)
    } else if let Some(numbers) = text.strip_suffix('.')
        && numbers.starts_with(|c: char| c.is_ascii_digit())
        && numbers
            .bytes()
            .all(|b| b.is_ascii_digit() || b".,".contains(&b))
    {
        Token::Ending(numbers)
    } else {
        Token::Word(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kinds(line: &str) -> Vec<Token<'_>> {
        let (tokens, faults) = tokens(line);
        assert!(faults.is_empty(), "{faults:?}");
        tokens.into_iter().map(|(_, token)| token).collect()
    }

    #[test]
    fn a_line_is_cut_at_bar_lines_even_without_blanks() {
        let bar = Token::Bar(BarSign::default());
        assert_eq!(
            kinds("|F7|Bb7 / // F#m7b5|%|"),
            [
                bar.clone(),
                Token::Word("F7"),
                bar.clone(),
                Token::Word("Bb7"),
                Token::Hold(1),
                Token::Hold(2),
                Token::Word("F#m7b5"),
                bar.clone(),
                Token::Same,
                bar,
            ]
        );
    }

    #[test]
    fn repeat_signs_endings_and_counts_are_told_apart() {
        let close = Token::Bar(BarSign {
            close: true,
            ..BarSign::default()
        });
        let last = Token::Bar(BarSign {
            last: true,
            ..BarSign::default()
        });
        assert_eq!(
            kinds("C7:|3x [A] 1,2. C7 (D.C.) |]"),
            [
                Token::Word("C7"),
                close,
                Token::Times("3"),
                Token::Section("A"),
                Token::Ending("1,2"),
                Token::Word("C7"),
                Token::Directive("D.C."),
                last,
            ]
        );
    }

    #[test]
    fn a_sharp_is_no_comment_and_a_comment_is_no_chord() {
        assert_eq!(kinds("F#7 # G7"), [Token::Word("F#7")]);
        assert!(kinds("# | C7 |").is_empty());
    }

    #[test]
    fn blanks_inside_parentheses_belong_to_the_chord() {
        assert_eq!(
            kinds("C7(b9, #11) F"),
            [Token::Word("C7(b9, #11)"), Token::Word("F")]
        );
        let open = kinds("C7(b9 F");
        assert_eq!(open, [Token::Word("C7(b9"), Token::Word("F")]);
    }

    #[test]
    fn strange_signs_and_open_brackets_are_faults_at_their_offset() {
        for (line, at) in [
            ("C |||", 2),
            ("C : D", 2),
            ("[A", 0),
            ("C (key: F", 2),
            ("C ]", 2),
        ] {
            let (_, faults) = tokens(line);
            assert_eq!(
                faults
                    .iter()
                    .map(|fault| fault.place().byte())
                    .collect::<Vec<_>>(),
                [at],
                "{line}"
            );
        }
    }
}
