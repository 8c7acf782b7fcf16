//! Days of the (Gregorian) calendar, written year-month-day.

fn days_of(year: u32, month: u32) -> Option<u32> {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    Some(match month {
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(leap),
        1..=12 => 31,
        _ => return None,
    })
}

/// Whether a text is such a day: "2027-03-31".
pub fn is_day(text: &str) -> bool {
    let fields: Vec<&str> = text.split('-').collect();
    let [year, month, day] = fields.as_slice() else { return false };
    let number = |field: &str, digits: usize| -> Option<u32> {
        let plain = field.len() == digits && field.bytes().all(|b| b.is_ascii_digit());
        plain.then(|| field.parse().ok()).flatten()
    };
    let (Some(year), Some(month), Some(day)) = (number(year, 4), number(month, 2), number(day, 2)) else {
        return false;
    };
    days_of(year, month).is_some_and(|days| (1..=days).contains(&day))
}

/// The day so many days after 1970-01-01.
pub fn day_after_1970(days: u32) -> String {
    let (mut left, mut year, mut month) = (days, 1970, 1);
    loop {
        let length = days_of(year, month).unwrap_or(31);
        if left < length {
            return format!("{year:04}-{month:02}-{:02}", left + 1);
        }
        left -= length;
        (year, month) = if month == 12 { (year + 1, 1) } else { (year, month + 1) };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        for good in ["2027-03-31", "2028-02-29", "2000-02-29", "2027-12-01"] {
            assert!(is_day(good), "{good}");
        }
        for bad in [
            "2027-02-29",
            "1900-02-29",
            "2027-13-01",
            "2027-04-31",
            "27-04-30",
            "2027-4-3",
            "soon",
            "2027-04-00",
        ] {
            assert!(!is_day(bad), "{bad}");
        }
        for (days, day) in [
            (0, "1970-01-01"),
            (58, "1970-02-28"),
            (59, "1970-03-01"),
            (11_016, "2000-02-29"),
            (19_782, "2024-02-29"),
            (20_786, "2026-11-29"),
        ] {
            assert_eq!(day_after_1970(days), day);
        }
    }
}
