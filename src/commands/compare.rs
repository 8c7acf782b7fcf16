//! `startmargin compare`: ways out side by side.

use super::{Answer, Decision, Failure, Form, OwnCatalogue, choose, runs_direct};
use crate::advise::supplies::Candidate;
use crate::advise::ways::Offer;
use crate::report::compare::WaysOut;
use crate::site::{Site, starters, supplies};

pub(super) fn run(asked: &Decision) -> Result<Answer, Failure> {
    let site = asked.read()?;
    let case = choose(&site, &asked.which)?;
    runs_direct(&case)?;
    let ways = WaysOut::new(&case, &asked.pressures(&case.load), offer(&site, &asked.own)?);
    let output = match asked.format {
        Form::Text => ways.text(),
        Form::Json => ways.json()?,
    };
    Ok(Answer { output, yes: ways.serves() })
}

/// What a site has to choose from: its own supplies, the catalogue's supplies and starters, its prices.
pub(super) fn offer(site: &Site, own: &OwnCatalogue) -> Result<Offer, Failure> {
    let catalogue = own.read()?;
    let of_site = site.supplies.iter().map(|figures| Candidate {
        name: figures.name.clone(),
        own: true,
        figures: figures.clone(),
    });
    Ok(Offer {
        starters: starters::candidates(&catalogue),
        supplies: of_site.chain(supplies::candidates(&catalogue)).collect(),
        prices: site.prices.clone(),
    })
}
