//! The stock cells in four (common practice, no source).

/// By the chord's own degrees; an octave is written as 1.
const STOCK: [&str; 18] = [
    "1235", "1353", "1356", "1365", "1357", "1565", "1765", "1175", "5321", "1234", "1321", "1753",
    "1531", "1535", "1653", "1345", "1575", "3571",
];

/// Whether a cell has the degrees of a stock cell in an order that is not stock.
pub(super) fn is_reordered(cell: &[u8]) -> bool {
    let text: String = cell.iter().map(u8::to_string).collect();
    let sorted = |text: &str| {
        let mut signs: Vec<char> = text.chars().collect();
        signs.sort_unstable();
        signs
    };
    !STOCK.contains(&&*text) && STOCK.iter().any(|stock| sorted(stock) == sorted(&text))
}
