//! Days as a person writes them: year, month and day as ISO 8601 has them.

/// Whether `text` is a day of the calendar: `2026-04-02`.
pub fn is_day(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let digits = |part: &&str| part.bytes().all(|byte| byte.is_ascii_digit());
    let lengths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
    if lengths != [4, 2, 2] || !parts.iter().all(digits) {
        return false;
    }
    let numbers: Vec<u32> = parts.iter().filter_map(|part| part.parse().ok()).collect();
    let [year, month, day] = numbers[..] else { return false };
    (1..=days(year, month)).contains(&day)
}

/// Days of a month of the Gregorian calendar; none of a month that is none.
const fn days(year: u32, month: u32) -> u32 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 0,
    }
}

#[cfg(test)]
mod tests {
    use super::is_day;

    #[test]
    fn days_of_the_calendar_are_days() {
        for day in ["2026-04-02", "2024-02-29", "2000-02-29", "1999-12-31"] {
            assert!(is_day(day), "{day}");
        }
        for day in [
            "2026-4-2",
            "2026-02-29",
            "1900-02-29",
            "2026-13-01",
            "2026-04-31",
            "2026-04-00",
            "+026-04-02",
            "x",
            "",
        ] {
            assert!(!is_day(day), "{day}");
        }
    }
}
