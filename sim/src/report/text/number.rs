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

/// With as many digits as it takes to see on which side of its bound (`at least 1`) it lies.
pub(super) fn telling(value: f64, bound: &str) -> String {
    let limit = bound.rsplit([' ', '±']).next().and_then(|word| word.parse::<f64>().ok());
    let tells = |text: &String| {
        let shown = text.parse::<f64>().map_or(f64::NAN, f64::abs);
        limit.is_none_or(|limit| !(shown - limit).abs().le(&1e-12))
    };
    let digits = (2..9).map(|places| plain(value, places)).find(tells);
    digits.unwrap_or_else(|| value.to_string())
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
    fn a_miss_by_a_hair_shows_the_hair() {
        assert_eq!(telling(96.104, "at least 97.5"), "96.10");
        assert_eq!(telling(0.998_77, "at least 1"), "0.999");
        assert_eq!(telling(-0.100_02, "within ±0.1"), "-0.10002");
        assert_eq!(telling(f64::NAN, "at least 1"), "–");
    }

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
