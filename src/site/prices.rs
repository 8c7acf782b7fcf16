//! Prices of ways out, and who a report is for.

use super::document::{Document, join};
use crate::advise::prices::{Item, Part, Prices};

/// Who a report is for and from: what the site file says, printed as it stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Heading {
    /// The business that answers for it.
    pub business: Option<String>,
    /// How to reach it.
    pub contact: Option<String>,
    /// The customer.
    pub customer: Option<String>,
    /// Where the installation is.
    pub place: Option<String>,
    /// The job, by the business's own number.
    pub job: Option<String>,
}

/// The prices, if stated.
pub(super) fn prices(document: &mut Document<'_>) -> Option<Prices> {
    let at = document.inner("", "prices")?;
    let valid_until = document.text(&at, "valid_until").map(str::to_owned);
    if valid_until.as_deref().is_some_and(|day| !is_day(day)) {
        let help = "write year, month and day: \"2027-03-31\"";
        let span = document.span(&at, "valid_until");
        document.refuse(span, &join(&at, "valid_until"), "this is no day", help);
    }
    let mut items = Vec::new();
    for item in document.list(&at, "item") {
        let word = document.text(&item, "what").unwrap_or_default();
        let Some((_, part)) = Part::ALL.iter().find(|(w, _)| *w == word) else { continue };
        let part = *part;
        if !document.has(&item, "parts") && !document.has(&item, "labour") {
            let help = "give parts, labour or both";
            let span = document.span(&item, "what");
            document.refuse(span, &join(&item, "parts"), "a price without an amount", help);
            continue;
        }
        let amount = |key: &str| if document.has(&item, key) { document.number(&item, key) } else { 0.0 };
        items.push(Item {
            part,
            name: document.text(&item, "name").map(str::to_owned),
            parts: amount("parts"),
            labour: amount("labour"),
        });
    }
    Some(Prices {
        currency: document.text(&at, "currency").unwrap_or_default().to_owned(),
        valid_until,
        items,
    })
}

/// Whether a text is a day of the calendar, year-month-day.
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
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        4 | 6 | 9 | 11 => 30,
        2 => 28 + u32::from(leap),
        1..=12 => 31,
        _ => return false,
    };
    (1..=days).contains(&day)
}

/// Who a report is for; all empty where nothing is stated.
pub(super) fn heading(document: &Document<'_>) -> Heading {
    let Some(at) = document.inner("", "report") else { return Heading::default() };
    let said = |key: &str| document.text(&at, key).map(str::to_owned);
    Heading {
        business: said("business"),
        contact: said("contact"),
        customer: said("customer"),
        place: said("place"),
        job: said("job"),
    }
}

#[cfg(test)]
mod tests {
    use super::is_day;

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
    }
}
