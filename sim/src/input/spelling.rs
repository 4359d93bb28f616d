//! The word that was probably meant: the one with the fewest letters to change.

/// The word of `known` nearest to `word`, if any is near: at most a third of its letters differ (two
/// in a short word).
pub fn nearest<'a>(word: &str, known: &[&'a str]) -> Option<&'a str> {
    let limit = (word.chars().count() / 3).max(2);
    let ranked = known.iter().map(|&candidate| (changes(word, candidate), candidate));
    ranked.filter(|&(count, _)| count <= limit).min().map(|(_, candidate)| candidate)
}

/// Least number of letters to insert, drop or replace (Levenshtein 1966), case set aside.
fn changes(from: &str, to: &str) -> usize {
    let to: Vec<char> = to.to_lowercase().chars().collect();
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (i, letter) in from.to_lowercase().chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for (j, &other) in to.iter().enumerate() {
            let replaced = diagonal + usize::from(letter != other);
            diagonal = row[j + 1];
            row[j + 1] = replaced.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[to.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_finds_its_word_and_nonsense_does_not() {
        assert_eq!(nearest("widht", &["offset", "width"]), Some("width"));
        assert_eq!(nearest("Lag", &["lag", "map"]), Some("lag"));
        assert_eq!(nearest("quarterly", &["offset", "width"]), None);
        assert_eq!(changes("kitten", "sitting"), 3);
    }
}
