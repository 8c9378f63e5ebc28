//! The signs of a symbol: looking ahead, taking words, numbers and accidentals.

use linewright_diagnostic::Diagnostic;

use super::Reader;

const TOKENS_MAJOR: [&str; 7] = ["maj", "Maj", "MAJ", "ma", "Ma", "MA", "M"];
const TOKENS_MINOR: [&str; 8] = ["min", "Min", "MIN", "mi", "Mi", "MI", "m", "-"];

impl Reader<'_> {
    pub(super) fn peek(&self) -> Option<char> {
        self.ahead(0)
    }

    pub(super) fn ahead(&self, n: usize) -> Option<char> {
        self.signs.get(self.next + n).map(|&(_, c)| c)
    }

    pub(super) fn at(&self) -> usize {
        self.signs
            .get(self.next)
            .map_or(self.text.len(), |&(at, _)| at)
    }

    pub(super) fn eat(&mut self, token: &str) -> bool {
        let count = token.chars().count();
        let fits = token
            .chars()
            .enumerate()
            .all(|(n, c)| self.ahead(n) == Some(c));
        if fits {
            self.next += count;
        }
        fits
    }

    pub(super) fn error<T>(&self, at: usize, message: String, hint: &str) -> Result<T, Diagnostic> {
        Err(Diagnostic::error(message, hint).at(at))
    }

    /// `maj`, but not the `ma` of `madd9`, nor the `M` of `MI7`.
    pub(super) fn eat_major(&mut self) -> bool {
        if self.eat("Δ") {
            return true;
        }
        TOKENS_MAJOR.iter().any(|token| {
            let next = self.ahead(token.len());
            let other_word = match *token {
                "M" => matches!(next, Some('I' | 'i')),
                "ma" | "Ma" | "MA" => matches!(next, Some('d' | 'l' | 'u')),
                _ => false,
            };
            !other_word && self.eat(token)
        })
    }

    /// `m` and its kin.
    pub(super) fn eat_minor(&mut self) -> bool {
        TOKENS_MINOR.iter().any(|token| self.eat(token))
    }

    /// `o` for diminished, but not that of `omit`.
    pub(super) fn eat_small_o(&mut self) -> bool {
        self.ahead(1) != Some('m') && self.eat("o")
    }

    /// A number of at most two digits.
    pub(super) fn digits(&mut self) -> Option<u32> {
        let first = self.peek()?.to_digit(10)?;
        self.next += 1;
        let second = self.peek().and_then(|c| c.to_digit(10));
        match (first, second) {
            (1, Some(second)) => {
                self.next += 1;
                Some(10 + second)
            }
            (6, Some(9)) => {
                self.next += 1;
                Some(69)
            }
            _ => Some(first),
        }
    }

    pub(super) fn accidental(&mut self) -> Option<i8> {
        let alter = match self.peek()? {
            '#' | '+' => 1,
            'b' | '-' => -1,
            _ => return None,
        };
        self.next += 1;
        Some(alter)
    }
}

/// One sign for all the ways to write it.
pub(super) fn folded(c: char) -> char {
    match c {
        '♭' => 'b',
        '♯' => '#',
        '−' | '–' | '‑' => '-',
        '∆' | '△' => 'Δ',
        'º' | '˚' => '°',
        'Ø' | '∅' | '⌀' => 'ø',
        other => other,
    }
}
