//! What ways out cost, as the site file states it: nothing is priced that it does not price.

/// What a price is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// A starter before the load.
    Starter,
    /// A breaker.
    Breaker,
    /// A supply in the place of the site's.
    Supply,
    /// A smaller unit in the place of the load.
    Unit,
    /// A delay before a restart.
    Delay,
    /// A hook-up to shore power.
    Shore,
    /// A generator.
    Generator,
}

impl Part {
    /// Every part with the word the site file uses for it.
    pub const ALL: [(&'static str, Part); 7] = [
        ("starter", Part::Starter),
        ("breaker", Part::Breaker),
        ("supply", Part::Supply),
        ("unit", Part::Unit),
        ("delay", Part::Delay),
        ("shore", Part::Shore),
        ("generator", Part::Generator),
    ];
}

/// One price.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// What it is for.
    pub part: Part,
    /// Of that only the one of this name: a catalogue entry, a supply of the site, a breaker as the reports write it.
    pub name: Option<String>,
    /// What is bought, in the currency of the list.
    pub parts: f64,
    /// The work.
    pub labour: f64,
}

/// A list of prices.
#[derive(Debug, Clone, PartialEq)]
pub struct Prices {
    /// The currency, as the site file writes it.
    pub currency: String,
    /// The last day the prices hold, year-month-day.
    pub valid_until: Option<String>,
    /// The prices.
    pub items: Vec<Item>,
}

/// What a way out costs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cost {
    /// What is bought.
    pub parts: f64,
    /// The work.
    pub labour: f64,
}

impl Cost {
    /// Both together.
    pub fn total(&self) -> f64 {
        self.parts + self.labour
    }
}

impl std::ops::Add for Cost {
    type Output = Cost;

    fn add(self, other: Cost) -> Cost {
        Cost { parts: self.parts + other.parts, labour: self.labour + other.labour }
    }
}

impl Prices {
    /// The price of a part of that name: its own, else that of any of its kind; `None` where the list has neither.
    pub fn of(&self, part: Part, name: &str) -> Option<Cost> {
        let of_kind = || self.items.iter().filter(|i| i.part == part);
        let own = of_kind().find(|i| i.name.as_deref() == Some(name));
        let item = own.or_else(|| of_kind().find(|i| i.name.is_none()))?;
        Some(Cost { parts: item.parts, labour: item.labour })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_price_by_name_comes_before_that_of_its_kind() {
        let item = |name: Option<&str>, parts| Item {
            part: Part::Supply,
            name: name.map(str::to_owned),
            parts,
            labour: 10.0,
        };
        let prices = Prices {
            currency: "EUR".into(),
            valid_until: None,
            items: vec![item(None, 100.0), item(Some("large"), 300.0)],
        };
        assert_eq!(prices.of(Part::Supply, "large").map(|c| c.total()), Some(310.0));
        assert_eq!(prices.of(Part::Supply, "other").map(|c| c.total()), Some(110.0));
        assert_eq!(prices.of(Part::Starter, "large"), None);
    }
}
