//! The number that a text begins with, as the shop writes it: `7.5`, `7 1/2`, `7-1/2`, `1/2`, `2½`.

/// A number and what follows it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Leading<'a> {
    /// The number.
    pub(super) number: f64,
    /// The text behind it.
    pub(super) rest: &'a str,
}

/// Fractions that are one letter.
const LETTERS: [(char, f64); 9] = [
    ('½', 1.0 / 2.0),
    ('¼', 1.0 / 4.0),
    ('¾', 3.0 / 4.0),
    ('⅓', 1.0 / 3.0),
    ('⅔', 2.0 / 3.0),
    ('⅛', 1.0 / 8.0),
    ('⅜', 3.0 / 8.0),
    ('⅝', 5.0 / 8.0),
    ('⅞', 7.0 / 8.0),
];

/// The number at the start of `text`, without space before it; none if there is none. It may be infinite where the
/// text has too many digits or a fraction of zeroths.
pub(super) fn leading(text: &str) -> Option<Leading<'_>> {
    if let Some(found) = fraction(text) {
        return Some(found);
    }
    let (digits, rest) = text.split_at(decimal_length(text));
    let Ok(number) = digits.parse::<f64>() else {
        // A fraction alone: ½.
        return letter(text).map(|(number, rest)| Leading { number, rest });
    };
    let whole = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-' || byte == b'+');
    let more = if whole { after_whole(rest) } else { None };
    let Some((part, rest)) = more else { return Some(Leading { number, rest }) };
    let number = if digits.starts_with('-') { number - part } else { number + part };
    Some(Leading { number, rest })
}

/// The fraction behind a whole number: ` 1/2`, `-1/2`, `½`.
fn after_whole(rest: &str) -> Option<(f64, &str)> {
    if let Some(found) = letter(rest.trim_start()) {
        return Some(found);
    }
    let joined = rest.strip_prefix('-').or_else(|| rest.strip_prefix(char::is_whitespace))?;
    let Leading { number, rest } = fraction(joined.trim_start())?;
    (number >= 0.0).then_some((number, rest))
}

/// `1/2`: whole numbers over and under a stroke.
fn fraction(text: &str) -> Option<Leading<'_>> {
    let (over, rest) = whole(text)?;
    let (under, rest) = whole(rest.strip_prefix('/')?)?;
    Some(Leading { number: over / under, rest })
}

/// Digits at the start of a text.
fn whole(text: &str) -> Option<(f64, &str)> {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    let (digits, rest) = text.split_at(end);
    digits.parse().ok().map(|number| (number, rest))
}

/// A fraction of one letter.
fn letter(text: &str) -> Option<(f64, &str)> {
    let first = text.chars().next()?;
    let (_, size) = LETTERS.iter().find(|(letter, _)| *letter == first)?;
    Some((*size, &text[first.len_utf8()..]))
}

/// Bytes of the decimal number that `text` begins with: sign, digits, point, exponent.
fn decimal_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let sign = |at: usize| usize::from(matches!(bytes.get(at), Some(b'+' | b'-')));
    let mut end = sign(0);
    end += digits(end);
    if bytes.get(end) == Some(&b'.') {
        end += 1 + digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let from = end + 1 + sign(end + 1);
        let count = digits(from.min(bytes.len()));
        if count > 0 {
            end = from + count;
        }
    }
    end
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_the_shop_writes_them() {
        let cases = [
            ("7.5 in", 7.5, " in"),
            ("7 1/2 in", 7.5, " in"),
            ("7-1/2\"", 7.5, "\""),
            ("1/2 lb", 0.5, " lb"),
            ("2½ lb", 2.5, " lb"),
            ("2 ½ lb", 2.5, " lb"),
            ("¾ in", 0.75, " in"),
            ("-1 1/4 m", -1.25, " m"),
            ("1e3 m", 1000.0, " m"),
            ("1.5 1/2 m", 1.5, " 1/2 m"),
            ("4 /m", 4.0, " /m"),
        ];
        for (text, number, rest) in cases {
            assert_eq!(leading(text), Some(Leading { number, rest }), "{text}");
        }
        assert_eq!(leading("m"), None);
        assert!(leading("1/0 m").is_some_and(|found| found.number.is_infinite()));
    }
}
