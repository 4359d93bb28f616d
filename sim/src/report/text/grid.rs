//! Lines up cells under heads that span several columns.

/// Columns that share a head.
#[derive(Debug)]
pub(super) struct Group {
    /// Two lines above the columns.
    pub head: [&'static str; 2],
    /// The columns.
    pub columns: Vec<Column>,
}

/// A column with its cells, top to bottom.
#[derive(Debug)]
pub(super) struct Column {
    /// The line above the cells.
    pub head: String,
    /// Text starts at the left (words) or ends at the right (numbers).
    pub words: bool,
    /// The cells.
    pub cells: Vec<String>,
}

/// Between columns of a group, and between groups.
const GAPS: [usize; 2] = [1, 2];

/// The table: two lines of group heads, one of column heads, the rows.
pub(super) fn lines(groups: &[Group]) -> String {
    let rows = groups.iter().flat_map(|it| &it.columns).map(|it| it.cells.len()).max().unwrap_or(0);
    let mut lines = vec![String::new(); rows + 3];
    for (index, group) in groups.iter().enumerate() {
        let gap = if index == 0 { 0 } else { GAPS[1] };
        for (line, block) in lines.iter_mut().zip(block(group, rows)) {
            line.push_str(&" ".repeat(gap));
            line.push_str(&block);
        }
    }
    lines.iter().fold(String::new(), |text, line| text + line.trim_end() + "\n")
}

/// A group's own lines, all of one width.
fn block(group: &Group, rows: usize) -> Vec<String> {
    let mut widths: Vec<usize> = group.columns.iter().map(Column::width).collect();
    let inner = widths.iter().sum::<usize>() + GAPS[0] * widths.len().saturating_sub(1);
    let head = group.head.iter().map(|line| length(line)).max().unwrap_or(0);
    if let Some(first) = widths.first_mut() {
        *first += head.saturating_sub(inner);
    }
    let width = inner.max(head);
    let words = group.columns.iter().all(|column| column.words);
    let mut lines: Vec<String> =
        group.head.iter().map(|line| aligned(line, width, words)).collect();
    for row in 0..=rows {
        let cells = group.columns.iter().zip(&widths).map(|(column, &width)| {
            let cell = if row == 0 { Some(&column.head) } else { column.cells.get(row - 1) };
            aligned(cell.map_or("", String::as_str), width, column.words)
        });
        lines.push(cells.collect::<Vec<_>>().join(" "));
    }
    lines
}

impl Column {
    fn width(&self) -> usize {
        self.cells.iter().chain([&self.head]).map(|cell| length(cell)).max().unwrap_or(0)
    }
}

/// `text` filled up to `width` characters.
fn aligned(text: &str, width: usize, words: bool) -> String {
    if words { format!("{text:<width$}") } else { format!("{text:>width$}") }
}

/// Characters, not bytes.
fn length(text: &str) -> usize {
    text.chars().count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_wide_group_head_pushes_its_columns_to_the_right() {
        let column = |head: &str, cell: &str, words| Column {
            head: head.to_owned(),
            words,
            cells: vec![cell.to_owned()],
        };
        let groups = [
            Group { head: ["", ""], columns: vec![column("name", "ab", true)] },
            Group { head: ["share", "within"], columns: vec![column("±3", "9", false)] },
        ];
        assert_eq!(lines(&groups), "       share\n      within\nname      ±3\nab         9\n");
    }
}
