//! A line of music as signs.

use linewright_theory::Letter;

/// Most passes that an ending may name.
const MAX_PASSES: usize = 32;

/// Most bytes in which the end of grace notes is looked for.
const LONGEST_GRACE: usize = 400;

/// A length after a note, as a multiple of the unit.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct Length {
    pub over: u32,
    pub under: u32,
}

/// A note as written.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) struct NoteSign {
    pub accidental: Option<i8>,
    /// The accidental has a fraction after it.
    pub microtone: bool,
    pub letter: Letter,
    /// The octave: `C` is in octave 4.
    pub octave: i8,
    pub length: Length,
}

/// How a bar line is drawn.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub(super) enum Stroke {
    Single,
    Double,
    Final,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Bar {
    /// The colons before it.
    pub ends: u8,
    /// Colons after it.
    pub opens: bool,
    pub stroke: Stroke,
    /// The ending that begins with it.
    pub ending: Vec<u8>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Sign<'a> {
    Note(NoteSign),
    Rest {
        visible: bool,
        length: Length,
    },
    Measures {
        visible: bool,
        count: u32,
    },
    /// `[` of a chord.
    Open,
    /// `]` of a chord, with its length.
    Close(Length),
    Tuplet {
        count: u32,
        time: Option<u32>,
        notes: Option<u32>,
    },
    /// `>` (positive) or `<`, so many.
    Broken(i32),
    Tie,
    Quoted(&'a str),
    /// A quotation without an end.
    Unclosed(&'a str),
    Decoration(&'a str),
    /// A decoration of one letter.
    Letter(char),
    Bar(Bar),
    Ending(Vec<u8>),
    Field(char, &'a str),
    Grace,
    Blank,
    Overlay,
    Unknown(char),
}

/// Reads the signs of a line, each with its column, from 1.
pub(super) struct Lexer<'a> {
    rest: &'a str,
    column: usize,
}

impl<'a> Lexer<'a> {
    pub fn new(line: &'a str) -> Self {
        Lexer {
            rest: without_comment(line),
            column: 1,
        }
    }

    fn peek(&self) -> Option<char> {
        self.rest.chars().next()
    }

    fn second(&self) -> Option<char> {
        self.rest.chars().nth(1)
    }

    fn bump(&mut self) -> Option<char> {
        let c = self.peek()?;
        self.rest = &self.rest[c.len_utf8()..];
        self.column += 1;
        Some(c)
    }

    fn eat(&mut self, wanted: char) -> bool {
        let found = self.peek() == Some(wanted);
        if found {
            self.bump();
        }
        found
    }

    /// Takes a piece of the rest, in bytes.
    fn take(&mut self, length: usize) -> &'a str {
        let (taken, rest) = self.rest.split_at(length);
        self.column += taken.chars().count();
        self.rest = rest;
        taken
    }

    /// A number; absurd ones stop growing.
    fn number(&mut self) -> Option<u32> {
        let mut number: Option<u32> = None;
        while let Some(digit) = self.peek().and_then(|c| c.to_digit(10)) {
            self.bump();
            let so_far = number.unwrap_or(0);
            number = Some((so_far * 10 + digit).min(1_000_000));
        }
        number
    }

    fn length(&mut self) -> Length {
        let over = self.number().unwrap_or(1);
        let mut under: u32 = 1;
        let mut slashes = 0;
        while self.eat('/') {
            slashes += 1;
            under = (under * 2).min(1 << 16);
        }
        if slashes == 1 {
            under = self.number().unwrap_or(2);
        }
        Length { over, under }
    }

    fn note(&mut self) -> Option<Sign<'a>> {
        let mut accidental = None;
        let mut microtone = false;
        while let Some(c @ ('^' | '_' | '=')) = self.peek() {
            self.bump();
            let step = match c {
                '^' => 1,
                '_' => -1,
                _ => 0,
            };
            accidental = Some((accidental.unwrap_or(0) + step).clamp(-2, 2));
        }
        if accidental.is_some() && matches!(self.peek(), Some('/' | '0'..='9')) {
            microtone = true;
            self.length();
        }
        let c = self.peek()?;
        let letter = Letter::from_char(c.to_ascii_uppercase())?;
        self.bump();
        let mut octave: i8 = if c.is_ascii_lowercase() { 5 } else { 4 };
        loop {
            match self.peek() {
                Some(',') => octave = octave.saturating_sub(1),
                Some('\'') => octave = octave.saturating_add(1),
                _ => break,
            }
            self.bump();
        }
        Some(Sign::Note(NoteSign {
            accidental,
            microtone,
            letter,
            octave,
            length: self.length(),
        }))
    }

    fn bracket(&mut self) -> Sign<'a> {
        match (self.second(), self.rest.chars().nth(2)) {
            (Some('|'), _) => self.bar(),
            (Some(name), Some(':')) if name.is_ascii_alphabetic() => {
                let end = self.rest.find(']').unwrap_or(self.rest.len());
                let inner = self.take(end);
                self.eat(']');
                Sign::Field(name, inner[3..].trim())
            }
            (Some(c), _) if c.is_ascii_digit() => {
                self.bump();
                Sign::Ending(self.passes())
            }
            _ => {
                self.bump();
                Sign::Open
            }
        }
    }

    /// The passes of an ending: `1`, `1,3`, `1-3`.
    fn passes(&mut self) -> Vec<u8> {
        let mut passes: Vec<u8> = Vec::new();
        let mut from: Option<u8> = None;
        while let Some(number) = self.number() {
            let number = number.min(255) as u8;
            let first = from.map_or(number, |from| from.saturating_add(1));
            passes.extend((first..=number).take(MAX_PASSES.saturating_sub(passes.len())));
            let more = self.second().is_some_and(|c| c.is_ascii_digit());
            from = match self.peek() {
                Some(',' | '.') if more => None,
                Some('-') if more => Some(number),
                _ => break,
            };
            self.bump();
        }
        if self.peek() == Some('.') {
            self.bump();
        }
        passes
    }

    fn bar(&mut self) -> Sign<'a> {
        let mut length = 0;
        let mut before = ' ';
        for (at, c) in self.rest.char_indices() {
            let fits = match c {
                '|' | ':' => true,
                '[' => self.rest[at + 1..].starts_with('|'),
                ']' => before == '|',
                '.' => at == 0,
                _ => false,
            };
            if !fits {
                break;
            }
            before = c;
            length = at + 1;
        }
        let drawn = self.take(length);
        let inner = drawn.trim_matches(':');
        let leading = drawn.len() - drawn.trim_start_matches(':').len();
        let middle = inner.is_empty() || inner.contains(':');
        let ends = if inner.is_empty() {
            1
        } else {
            leading.max(usize::from(middle))
        };
        let stroke = match inner {
            "[|]" => Stroke::Single,
            _ if inner.ends_with(']') => Stroke::Final,
            _ if inner.contains("||") || inner.contains("[|") => Stroke::Double,
            _ => Stroke::Single,
        };
        let ending = if self.peek().is_some_and(|c| c.is_ascii_digit()) {
            self.passes()
        } else {
            Vec::new()
        };
        Sign::Bar(Bar {
            ends: ends.min(200) as u8,
            opens: middle || drawn.ends_with(':'),
            stroke,
            ending,
        })
    }

    /// A decoration between two marks on one line, if it looks like one.
    fn decoration(&mut self, mark: char) -> Option<Sign<'a>> {
        let inner = &self.rest[1..];
        let end = inner.bytes().take(32).position(|b| b == mark as u8)?;
        let name = &inner[..end];
        let plain = !name.is_empty()
            && match mark {
                '+' => name.chars().all(|c| c.is_ascii_alphabetic() || c == '.'),
                _ => !name.contains(['|', '"', '[', ']']) && !name.starts_with(' '),
            };
        plain.then(|| {
            self.take(end + 2);
            Sign::Decoration(name)
        })
    }

    fn tuplet(&mut self) -> Option<Sign<'a>> {
        let count = self.number()?;
        let mut parts = [None; 2];
        for part in &mut parts {
            if !self.eat(':') {
                break;
            }
            *part = self.number();
        }
        Some(Sign::Tuplet {
            count,
            time: parts[0],
            notes: parts[1],
        })
    }

    fn quotation(&mut self) -> Sign<'a> {
        self.bump();
        let mut escaped = false;
        let end = self.rest.char_indices().find(|&(_, c)| {
            let ends = c == '"' && !escaped;
            escaped = c == '\\' && !escaped;
            ends
        });
        match end {
            Some((end, _)) => {
                let text = self.take(end);
                self.bump();
                Sign::Quoted(text)
            }
            None => Sign::Unclosed(self.take(self.rest.len())),
        }
    }

    /// One sign, or none for what means nothing.
    fn sign(&mut self, c: char) -> Option<Sign<'a>> {
        Some(match c {
            'A'..='G' | 'a'..='g' | '^' | '_' | '=' => {
                return Some(self.note().unwrap_or(Sign::Unknown(c)));
            }
            '|' => self.bar(),
            ':' if matches!(self.second(), Some('|' | ':')) => self.bar(),
            '.' if self.second() == Some('|') => self.bar(),
            '[' => self.bracket(),
            '"' => self.quotation(),
            '{' => {
                let end = self
                    .rest
                    .bytes()
                    .take(LONGEST_GRACE)
                    .position(|b| b == b'}');
                let end = end.map_or(1, |end| end + 1);
                self.take(end);
                Sign::Grace
            }
            '!' | '+' => match self.decoration(c) {
                Some(sign) => sign,
                None => {
                    self.bump();
                    // A lone `!` was a line break once.
                    return (c == '+').then_some(Sign::Unknown(c));
                }
            },
            _ => {
                self.bump();
                return self.single(c);
            }
        })
    }

    /// A sign that begins with a character that is taken already.
    fn single(&mut self, c: char) -> Option<Sign<'a>> {
        Some(match c {
            'z' | 'x' => Sign::Rest {
                visible: c == 'z',
                length: self.length(),
            },
            'Z' | 'X' => Sign::Measures {
                visible: c == 'Z',
                count: self.number().unwrap_or(1),
            },
            'y' => {
                self.length();
                Sign::Blank
            }
            ']' => Sign::Close(self.length()),
            '(' => return self.tuplet(),
            '-' => Sign::Tie,
            '>' | '<' => {
                let mut count = 1;
                while self.eat(c) {
                    count += 1;
                }
                Sign::Broken(if c == '>' { count } else { -count })
            }
            '&' => Sign::Overlay,
            'H'..='W' | 'h'..='w' | '~' | '.' => Sign::Letter(c),
            c if c.is_whitespace() => Sign::Blank,
            ')' | '\\' | '`' | '*' | '$' | ';' => return None,
            c => Sign::Unknown(c),
        })
    }
}

impl<'a> Iterator for Lexer<'a> {
    /// The column of a sign, and the sign.
    type Item = (usize, Sign<'a>);

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let column = self.column;
            let c = self.peek()?;
            if let Some(sign) = self.sign(c) {
                return Some((column, sign));
            }
        }
    }
}

/// A line of music without the comment at its end; in quotation marks `\%` is no comment.
fn without_comment(line: &str) -> &str {
    let (mut inside, mut escaped) = (false, false);
    for (at, c) in line.char_indices() {
        match c {
            _ if escaped => escaped = false,
            '\\' if inside => escaped = true,
            '"' => inside = !inside,
            '%' => return &line[..at],
            _ => {}
        }
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn signs(line: &str) -> Vec<Sign<'_>> {
        Lexer::new(line).map(|(_, sign)| sign).collect()
    }

    fn bar(line: &str) -> (u8, bool, Stroke, Vec<u8>) {
        match signs(line).as_slice() {
            [Sign::Bar(bar)] => (bar.ends, bar.opens, bar.stroke, bar.ending.clone()),
            other => panic!("{line}: {other:?}"),
        }
    }

    #[test]
    fn bar_lines_are_known_in_every_shape() {
        use Stroke::*;
        assert_eq!(bar("|"), (0, false, Single, vec![]));
        assert_eq!(bar(".|"), (0, false, Single, vec![]));
        assert_eq!(bar("||"), (0, false, Double, vec![]));
        assert_eq!(bar("[|"), (0, false, Double, vec![]));
        assert_eq!(bar("|]"), (0, false, Final, vec![]));
        assert_eq!(bar("[|]"), (0, false, Single, vec![]));
        assert_eq!(bar("|:"), (0, true, Single, vec![]));
        assert_eq!(bar(":|"), (1, false, Single, vec![]));
        assert_eq!(bar(":|]"), (1, false, Final, vec![]));
        assert_eq!(bar("::|"), (2, false, Single, vec![]));
        for both in ["::", ":|:", ":||:", "|::|", ":|]|:"] {
            let (ends, opens, ..) = bar(both);
            assert_eq!((ends, opens), (1, true), "{both}");
        }
        assert_eq!(bar("|1"), (0, false, Single, vec![1]));
        assert_eq!(bar(":|2"), (1, false, Single, vec![2]));
        assert_eq!(bar("|1,3-5"), (0, false, Single, vec![1, 3, 4, 5]));
    }

    #[test]
    fn brackets_are_chords_endings_fields_or_bars() {
        assert_eq!(signs("[1"), [Sign::Ending(vec![1])]);
        assert_eq!(signs("[1. "), [Sign::Ending(vec![1]), Sign::Blank]);
        assert_eq!(signs("[K: Gm]"), [Sign::Field('K', "Gm")]);
        assert!(matches!(
            signs("[CE]2")[..],
            [
                Sign::Open,
                Sign::Note(_),
                Sign::Note(_),
                Sign::Close(Length { over: 2, under: 1 })
            ]
        ));
    }

    #[test]
    fn notes_have_accidental_octave_and_length() {
        let note = |line| match signs(line)[..] {
            [Sign::Note(note)] => note,
            ref other => panic!("{line}: {other:?}"),
        };
        let low = note("^^C,,3/2");
        assert_eq!((low.accidental, low.octave), (Some(2), 2));
        assert_eq!(low.length, Length { over: 3, under: 2 });
        assert_eq!(note("c'").octave, 6);
        assert_eq!(note("=b").accidental, Some(0));
        assert_eq!(note("A//").length, Length { over: 1, under: 4 });
        assert_eq!(note("A3/").length, Length { over: 3, under: 2 });
        assert!(note("^/F").microtone);
    }

    #[test]
    fn decorations_stand_between_marks_on_one_line() {
        assert_eq!(signs("!D.C.!"), [Sign::Decoration("D.C.")]);
        assert_eq!(signs("+segno+"), [Sign::Decoration("segno")]);
        assert_eq!(signs("!"), []);
        assert_eq!(signs("T~"), [Sign::Letter('T'), Sign::Letter('~')]);
    }

    #[test]
    fn comments_end_a_line_and_quotations_do_not_hold_one_by_accident() {
        assert_eq!(signs("\"A\\%b\"%c"), [Sign::Quoted("A\\%b")]);
        assert_eq!(signs("\"A"), [Sign::Unclosed("A")]);
        assert_eq!(signs("\\%x"), []);
    }

    proptest! {
        #[test]
        fn every_line_comes_to_an_end_within_its_columns(line in "[A-Ga-gz0-9/|:\\[\\]()!+\"{}^_=,'<> -]{0,60}") {
            let columns: Vec<usize> = Lexer::new(&line).map(|(column, _)| column).collect();
            prop_assert!(columns.is_sorted());
            prop_assert!(columns.iter().all(|column| *column <= line.chars().count()));
        }

        #[test]
        fn no_text_is_too_strange(line in "\\PC{0,40}") {
            let columns: Vec<usize> = Lexer::new(&line).map(|(column, _)| column).collect();
            prop_assert!(columns.is_sorted());
            prop_assert!(columns.iter().all(|column| *column <= line.chars().count()));
        }
    }
}
