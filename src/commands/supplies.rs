//! `startmargin supplies`: which supply starts a load.

use super::{Answer, Decision, Failure, Form, choose, runs_direct};
use crate::advise::supplies::Candidate;
use crate::report::supplies::Supplies;
use crate::site::{starters, supplies};

pub(super) fn run(asked: &Decision) -> Result<Answer, Failure> {
    let site = asked.read()?;
    let case = choose(&site, &asked.which)?;
    runs_direct(&case)?;
    let catalogue = asked.own.read()?;
    let own = site.supplies.iter().map(|figures| Candidate {
        name: figures.name.clone(),
        own: true,
        figures: figures.clone(),
    });
    let candidates = own.chain(supplies::candidates(&catalogue)).collect();
    let selection =
        Supplies::new(&case, &asked.pressures(&case.load), candidates, starters::candidates(&catalogue));
    let output = match asked.format {
        Form::Text => selection.text(),
        Form::Json => selection.json()?,
    };
    Ok(Answer { output, yes: selection.serves() })
}
