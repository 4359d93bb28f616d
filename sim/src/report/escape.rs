//! Text of a person in a file of another kind: it stays text.

/// For HTML, between tags and in attributes.
pub(crate) fn html(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            _ => safe.push(letter),
        }
    }
    safe
}

/// For a cell of CSV: a spreadsheet takes text that begins so for a formula, and not with an apostrophe before it.
pub(crate) fn cell(text: &str) -> String {
    let starts = |letter: char| matches!(letter, '=' | '+' | '-' | '@' | '\t' | '\r' | '\n');
    if text.trim_start_matches(' ').starts_with(starts) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::{cell, html};

    #[test]
    fn tags_and_formulas_stay_text() {
        assert_eq!(
            html("<b a=\"1\">R&D's</b>"),
            "&lt;b a=&quot;1&quot;&gt;R&amp;D&#39;s&lt;/b&gt;"
        );
        for formula in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1"] {
            assert!(cell(formula).starts_with('\''), "{formula:?}");
        }
        assert_eq!(cell("North 40"), "North 40");
    }
}
