//! Prices of ways out, and who a report is for.

use super::day::is_day;
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
