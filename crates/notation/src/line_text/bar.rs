//! A line of bars → tokens; the signs of one bar → pieces with their lengths.

use linewright_diagnostic::{
    Diagnostic,
    clean::{disturbs, quoted, shown},
};
use linewright_theory::Note;

use super::build::Piece;
use super::source::Word;
use super::word::{self, Sign};
use crate::score::{BarLine, Ticks};

/// Most signs that share a beat.
pub(super) const MOST_IN_A_BEAT: usize = 24;

/// Most beats of a bar.
pub(super) const MOST_BEATS: usize = 32;

/// Most faults of one text line that are found; the rest of the line is then left unread.
const MOST_FAULTS: usize = 100;

/// What stands in a line of bars.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Token<'a> {
    /// A bar line.
    Bar(BarLine),
    /// `[A]`
    Section(&'a str),
    /// `(key: F)`
    Change(&'a str, &'a str),
    /// `%`
    Same,
    /// A sign of one beat.
    Word(&'a str),
    /// Signs that share a beat.
    Group(Vec<Word<'a>>),
}

/// A token, and its column in characters from 1.
pub(super) type At<'a> = (usize, Token<'a>);

/// A fault and its column.
pub(super) type FaultAt = (usize, Diagnostic);

/// Cuts a line, which begins at a column, into tokens, up to a comment.
pub(super) fn tokens(line: &str, column: usize) -> (Vec<At<'_>>, Vec<FaultAt>) {
    let (mut found, mut faults) = (Vec::new(), Vec::new());
    let fault = |faults: &mut Vec<FaultAt>, column, message: String, hint: &str| {
        faults.push((column, Diagnostic::error(message, hint)));
    };
    let (mut rest, mut column) = (line, column);
    while let Some(first) = rest.chars().next() {
        let length = match first {
            '#' => break,
            _ if first.is_whitespace() || separates(rest, 0) => first.len_utf8(),
            '|' | ':' => {
                let length = rest.find(|c| c != '|' && c != ':').unwrap_or(rest.len());
                let length = length + usize::from(rest[length..].starts_with(']'));
                match &rest[..length] {
                    "|" => found.push((column, Token::Bar(BarLine::Single))),
                    "||" => found.push((column, Token::Bar(BarLine::Double))),
                    "|]" => found.push((column, Token::Bar(BarLine::Final))),
                    sign => {
                        let repeats = sign.contains(':') && sign.contains('|');
                        let (what, hint) = if repeats {
                            (
                                "repeats a part",
                                "write the bars out: a line has no repeats",
                            )
                        } else {
                            ("is no bar line", "write `|`, `||` or `|]`")
                        };
                        fault(
                            &mut faults,
                            column,
                            format!("{} {what}", quoted(sign)),
                            hint,
                        );
                        found.push((column, Token::Bar(BarLine::Single)));
                    }
                }
                length
            }
            '[' => match rest[1..]
                .find(['[', ']', '|'])
                .map(|end| end + 1)
                .filter(|&end| rest[end..].starts_with(']'))
            {
                Some(end) => {
                    found.push((column, Token::Section(rest[1..end].trim())));
                    end + 1
                }
                None => {
                    fault(
                        &mut faults,
                        column,
                        "a section begins that does not end".into(),
                        "close its name with `]`",
                    );
                    1
                }
            },
            '(' => match rest[1..].find(['(', ')', '|']).map(|end| end + 1) {
                Some(end) if rest[end..].starts_with(')') => {
                    let inside = &rest[1..end];
                    found.push((column, parenthesis(inside, column + 1)));
                    end + 1
                }
                _ => {
                    fault(
                        &mut faults,
                        column,
                        "a parenthesis opens that does not close in its bar".into(),
                        "close it with `)` after the signs that share the beat; groups do not nest",
                    );
                    1
                }
            },
            ')' | ']' => {
                fault(
                    &mut faults,
                    column,
                    format!("`{first}` closes nothing"),
                    "leave it out, or open what it closes",
                );
                1
            }
            _ => {
                let length = sign_length(rest);
                let word = &rest[..length];
                found.push((
                    column,
                    match word {
                        "%" => Token::Same,
                        word => Token::Word(word),
                    },
                ));
                length
            }
        };
        column += rest[..length].chars().count();
        rest = &rest[length..];
        if faults.len() == MOST_FAULTS {
            break;
        }
    }
    (found, faults)
}

/// A change, or signs that share a beat.
fn parenthesis(inside: &str, column: usize) -> Token<'_> {
    if let Some((name, value)) = inside.split_once(':') {
        return Token::Change(name.trim(), value.trim());
    }
    Token::Group(signs(inside, column))
}

/// The length of the sign at the start of a text.
fn sign_length(text: &str) -> usize {
    let ends = |(at, c): &(usize, char)| {
        c.is_whitespace() || "|:[]()".contains(*c) || separates(text, *at)
    };
    let end = text.char_indices().find(ends);
    end.map_or(text.len(), |(at, _)| at)
}

/// Whether a comma stands here between two signs: `F1, G1` or `F,G`. One that a number follows
/// does not, nor one of several: in other notations they tell the octave.
fn separates(text: &str, at: usize) -> bool {
    let tail = text[at..].strip_prefix(',');
    let next = tail.and_then(|tail| tail.chars().next());
    tail.is_some()
        && !text[..at].ends_with(',')
        && next.is_none_or(|c| c.is_whitespace() || c.is_alphabetic() || ".|)%(".contains(c))
}

/// The signs in a text that begins at a column, between blanks or commas.
fn signs(text: &str, column: usize) -> Vec<Word<'_>> {
    let mut signs = Vec::new();
    let (mut rest, mut column) = (text, column);
    while let Some(first) = rest.chars().next() {
        let between = first.is_whitespace() || separates(rest, 0);
        let length = if between {
            first.len_utf8()
        } else {
            sign_length(rest).max(first.len_utf8())
        };
        let (sign, tail) = rest.split_at(length);
        if !between {
            signs.push(Word { column, text: sign });
        }
        column += sign.chars().count();
        rest = tail;
    }
    signs
}

/// The words between blanks in a text that begins at a column.
pub(super) fn words(text: &str, column: usize) -> Vec<Word<'_>> {
    let mut words = Vec::new();
    let (mut rest, mut column) = (text, column);
    while !rest.is_empty() {
        let blank = rest.chars().next().is_some_and(char::is_whitespace);
        let end = rest.find(|c: char| c.is_whitespace() != blank);
        let (word, tail) = rest.split_at(end.unwrap_or(rest.len()));
        if !blank {
            words.push(Word { column, text: word });
        }
        column += word.chars().count();
        rest = tail;
    }
    words
}

/// Reads the signs of bars one after the other.
#[derive(Default)]
pub(super) struct Reader {
    /// The last note, which hints keep close to.
    last: Option<Note>,
    /// Whether there was a sign that could be held.
    begun: bool,
    /// Whether it was said how names without an octave are taken.
    told_octaves: bool,
}

impl Reader {
    /// The pieces of a bar in beats of so many ticks. What cannot be read rests for its beat.
    pub(super) fn pieces(
        &mut self,
        signs: &[At<'_>],
        beat: Ticks,
        faults: &mut Vec<FaultAt>,
    ) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for (nth, (column, token)) in signs.iter().enumerate() {
            if nth == MOST_BEATS {
                faults.push((
                    *column,
                    Diagnostic::error(
                        format!("the bar has more than {MOST_BEATS} beats"),
                        "put a bar line `|` before this beat, or earlier",
                    ),
                ));
                break;
            }
            match token {
                Token::Word(text) => pieces.push(Piece {
                    ticks: beat,
                    sign: self.sign(text, *column, faults),
                }),
                Token::Group(words) => self.group(words, *column, beat, &mut pieces, faults),
                _ => {}
            }
        }
        pieces
    }

    fn group(
        &mut self,
        words: &[Word<'_>],
        column: usize,
        beat: Ticks,
        pieces: &mut Vec<Piece>,
        faults: &mut Vec<FaultAt>,
    ) {
        if words.is_empty() || words.len() > MOST_IN_A_BEAT {
            let message = match words.len() {
                0 => "nothing stands in this parenthesis".to_owned(),
                many => format!("{many} signs share one beat"),
            };
            faults.push((
                column,
                Diagnostic::error(
                    message,
                    format!(
                        "write the 2 to {MOST_IN_A_BEAT} signs that share the beat, for example \
                         `(F2 A2)`"
                    ),
                ),
            ));
            pieces.push(Piece {
                ticks: beat,
                sign: Sign::Rest,
            });
            return;
        }
        let parts = words.len() as Ticks;
        for (nth, word) in (0..).zip(words) {
            // Where a beat does not divide evenly, the parts still add up to it.
            let ticks = beat * (nth + 1) / parts - beat * nth / parts;
            let sign = self.sign(word.text, word.column, faults);
            pieces.push(Piece { ticks, sign });
        }
    }

    fn sign(&mut self, text: &str, column: usize, faults: &mut Vec<FaultAt>) -> Sign {
        let begun = std::mem::replace(&mut self.begun, true);
        let sign = word::read(text, self.last).unwrap_or_else(|fault| {
            faults.push((column, fault));
            Sign::Rest
        });
        match sign {
            Sign::Note { note, .. } => {
                self.last = Some(note);
                if !word::tells_octave(text) && !std::mem::replace(&mut self.told_octaves, true) {
                    faults.push((column, word::octave_taken(text, note)));
                }
            }
            Sign::Hold if !begun => faults.push((
                column,
                Diagnostic::error(
                    "`.` holds the note before, and there is none yet",
                    "begin the line with a note or with `r`",
                ),
            )),
            _ => {}
        }
        sign
    }
}

/// A section's name as it is kept: 1 to 40 characters with single blanks.
pub(super) fn section(name: &str) -> Result<String, Diagnostic> {
    const MOST: usize = 40;
    let kept = name.split_whitespace().collect::<Vec<_>>().join(" ");
    let size = kept.chars().count();
    if (1..=MOST).contains(&size) && !kept.chars().any(disturbs) {
        return Ok(kept);
    }
    Err(Diagnostic::error(
        format!("\"[{}]\" is no name of a section", shown(name)),
        format!("write `[A]`, with 1 to {MOST} characters between the brackets"),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_cut_into_bar_lines_signs_groups_and_what_stands_before_them() {
        let (found, faults) = tokens("[A] |(key: Dm) F1 (F2 . A2)x|]# no", 1);
        assert!(faults.is_empty(), "{faults:?}");
        let word = |column, text| Word { column, text };
        assert_eq!(
            found,
            [
                (1, Token::Section("A")),
                (5, Token::Bar(BarLine::Single)),
                (6, Token::Change("key", "Dm")),
                (16, Token::Word("F1")),
                (
                    19,
                    Token::Group(vec![word(20, "F2"), word(23, "."), word(25, "A2")])
                ),
                (28, Token::Word("x")),
                (29, Token::Bar(BarLine::Final)),
            ]
        );
    }

    #[test]
    fn commas_separate_signs_where_they_do_not_tell_an_octave() {
        let texts = |line| -> Vec<String> {
            let (found, faults) = tokens(line, 1);
            assert!(faults.is_empty(), "{faults:?}");
            let text = |(column, token): At<'_>| match token {
                Token::Word(word) => format!("{column} {word}"),
                Token::Group(words) => {
                    let words = words
                        .iter()
                        .map(|word| format!("{} {}", word.column, word.text));
                    format!("({})", words.collect::<Vec<_>>().join(" "))
                }
                _ => column.to_string(),
            };
            found.into_iter().map(text).collect()
        };
        assert_eq!(texts("F1, G1,A1 , C2"), ["1 F1", "5 G1", "8 A1", "13 C2"]);
        assert_eq!(
            texts("F,Bb,.,r,xC,|"),
            ["1 F", "3 Bb", "6 .", "8 r", "10 xC", "13"]
        );
        assert_eq!(texts("(F2, A2) (F,r)"), ["(2 F2 6 A2)", "(11 F 13 r)"]);
        assert_eq!(
            texts("F,2 F,, G,' ,3"),
            ["1 F,2", "5 F,,", "9 G,'", "13 ,3"]
        );
    }

    #[test]
    fn a_sharp_begins_no_comment_and_unclosed_signs_are_faults_at_their_column() {
        assert_eq!(tokens("F#1", 1).0, [(1, Token::Word("F#1"))]);
        for (line, column) in [
            ("|: F1", 1),
            ("F1 :|", 4),
            ("♭ [A", 3),
            ("F1 (F2 | A2)", 4),
            ("F1 ((F2)", 4),
            ("F1 )", 4),
            ("F1 |||", 4),
        ] {
            let columns: Vec<usize> = tokens(line, 1).1.iter().map(|f| f.0).collect();
            assert_eq!(columns.first(), Some(&column), "{line}");
        }
    }

    #[test]
    fn a_group_always_adds_up_to_its_beat() {
        for parts in 1..=MOST_IN_A_BEAT {
            let text = format!("({})", "r ".repeat(parts));
            let (found, _) = tokens(&text, 1);
            let mut faults = Vec::new();
            let pieces = Reader::default().pieces(&found, 6720, &mut faults);
            assert_eq!(faults, []);
            assert_eq!(pieces.iter().map(|p| p.ticks).sum::<Ticks>(), 6720);
            assert_eq!(pieces.len(), parts);
        }
    }
}
