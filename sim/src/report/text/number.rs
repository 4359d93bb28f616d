//! Numbers as the table shows them.

/// With `places` digits after the point; a dash where there is no number.
pub(super) fn plain(value: f64, places: usize) -> String {
    if value.is_nan() {
        return "–".to_owned();
    }
    let text = format!("{value:.places$}");
    unsigned_zero(text)
}

/// The same with its sign, plus included; nothing has no sign.
pub(super) fn signed(value: f64, places: usize) -> String {
    if value.is_nan() {
        return "–".to_owned();
    }
    let text = unsigned_zero(format!("{value:+.places$}"));
    if text.contains(|c: char| ('1'..='9').contains(&c)) || value.is_infinite() {
        return text;
    }
    text.trim_start_matches('+').to_owned()
}

/// `1 scenario`, `2 scenarios`.
pub(super) fn count(number: usize, noun: &str) -> String {
    let ending = if number == 1 { "" } else { "s" };
    format!("{number} {noun}{ending}")
}

/// `-0.00` is `0.00`.
fn unsigned_zero(text: String) -> String {
    if text.chars().all(|c| matches!(c, '-' | '0' | '.')) {
        return text.trim_start_matches('-').to_owned();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_carry_a_sign_only_where_it_says_something() {
        assert_eq!(plain(99.404, 2), "99.40");
        assert_eq!(plain(-0.001, 2), "0.00");
        assert_eq!(plain(f64::NAN, 2), "–");
        assert_eq!(signed(0.126, 2), "+0.13");
        assert_eq!(signed(-0.126, 2), "-0.13");
        assert_eq!(signed(0.001, 2), "0.00");
        assert_eq!(signed(-0.001, 2), "0.00");
        assert_eq!(signed(f64::INFINITY, 2), "+inf");
    }
}
