//! Lines up the cells of a table: words to the left, numbers to the right.

/// The table; the first row is its head, and the columns of `words` start at the left.
pub(super) fn columns(rows: &[Vec<String>], words: &[usize]) -> String {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let length =
        |row: &Vec<String>, column| row.get(column).map_or(0, |cell: &String| cell.chars().count());
    let widths: Vec<usize> = (0..count)
        .map(|column| rows.iter().map(|row| length(row, column)).max().unwrap_or(0))
        .collect();
    let line = |row: &Vec<String>| {
        let cells = row.iter().zip(&widths).enumerate().map(|(column, (cell, &width))| {
            if words.contains(&column) {
                format!("{cell:<width$}")
            } else {
                format!("{cell:>width$}")
            }
        });
        let line = cells.collect::<Vec<_>>().join("  ");
        format!("  {}\n", line.trim_end())
    };
    rows.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::columns;

    #[test]
    fn words_start_at_the_left_and_numbers_end_at_the_right() {
        let rows = [["what", "n"], ["ab", "10"], ["±", "9"]];
        let rows = rows.map(|row| row.map(str::to_owned).to_vec());
        assert_eq!(columns(&rows, &[0]), "  what   n\n  ab    10\n  ±      9\n");
    }
}
