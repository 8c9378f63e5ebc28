//! Tables for other programs: comma-separated values after RFC 4180.
//!
//! Lines end with CR LF, and a cell stands in quotes where it has to. A text of the user's own
//! that a spreadsheet would take for a formula, because it begins with `=`, `+`, `-` or `@`, gets
//! an apostrophe before it.

mod class;
mod learned;
mod profiled;

pub use class::class;
pub use learned::learned;
pub use profiled::{compared, profiled};

/// One line of a table.
fn row<T: AsRef<str>>(cells: impl IntoIterator<Item = T>) -> String {
    let cells: Vec<String> = cells
        .into_iter()
        .map(|cell| quoted(cell.as_ref()))
        .collect();
    cells.join(",") + "\r\n"
}

fn quoted(cell: &str) -> String {
    if cell.contains(['"', ',', '\r', '\n']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

/// A text of the user's own, so that no spreadsheet reckons with it.
fn own(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Reads a table by the grammar of RFC 4180.
    pub(in crate::csv) fn read(text: &str) -> Vec<Vec<String>> {
        let (mut rows, mut row, mut cell) = (Vec::new(), Vec::new(), String::new());
        let mut rest = text.chars().peekable();
        let mut quoted = false;
        while let Some(c) = rest.next() {
            match (c, quoted) {
                ('"', true) if rest.peek() == Some(&'"') => {
                    rest.next();
                    cell.push('"');
                }
                ('"', _) => quoted = !quoted,
                (',', false) => row.push(std::mem::take(&mut cell)),
                ('\r', false) => {
                    assert_eq!(rest.next(), Some('\n'), "lines end with CR LF");
                    row.push(std::mem::take(&mut cell));
                    rows.push(std::mem::take(&mut row));
                }
                (c, _) => cell.push(c),
            }
        }
        assert!(!quoted && cell.is_empty() && row.is_empty(), "{text:?}");
        rows
    }

    #[test]
    fn a_cell_is_quoted_only_where_it_has_to_be() {
        let text = row(["plain", "Kim, \"Slim\" Oh", "", "two\nlines"]);
        assert_eq!(text, "plain,\"Kim, \"\"Slim\"\" Oh\",,\"two\nlines\"\r\n");
    }

    #[test]
    fn no_text_of_a_user_is_a_formula() {
        assert_eq!(own("=1+1"), "'=1+1");
        assert_eq!(own("-x"), "'-x");
        assert_eq!(own("Kim = Oh"), "Kim = Oh");
    }

    proptest! {
        #[test]
        fn whatever_stands_in_a_table_is_read_back(
            cells in proptest::collection::vec("[a\",\r\n é]{0,6}", 1..5),
        ) {
            prop_assert_eq!(read(&row(&cells)), vec![cells]);
        }
    }
}
