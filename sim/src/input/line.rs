//! Characters that have no place in a line of text: they would make it read as another one.

/// Whether a character steers what is shown and is not shown itself: control characters, ends of lines, and those that turn the
/// direction of what follows.
///
/// Unicode 15, chapters 23.1 and 23.2 and annex 9 (from memory): joiners stay, scripts need them.
pub fn steers(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{61C}' | '\u{200E}' | '\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2066}'..='\u{2069}' | '\u{FEFF}'
        )
}

#[cfg(test)]
mod tests {
    use super::steers;

    #[test]
    fn what_turns_a_line_round_has_no_place_in_it() {
        for bad in ["a\u{202E}b", "a\u{7}b", "a\nb", "a\u{2028}b", "\u{2067}a", "\u{FEFF}a"] {
            assert!(bad.contains(steers), "{bad:?}");
        }
        for good in ["Säschar 3½ µ", "می\u{200C}کارم", "種まき機", r#"the "old" \ one"#]
        {
            assert!(!good.contains(steers), "{good:?}");
        }
    }
}
