//! `startmargin breakers`: which breaker to put before a load.

use super::{Answer, Decision, Failure, Form, places};
use crate::report::breakers::Selection;

pub(super) fn run(asked: &Decision) -> Result<Answer, Failure> {
    let site = asked.read()?;
    let (load, supply) = places(&site, &asked.which)?;
    let selection = Selection::new(&site, load, supply, &asked.pressures(&site.loads[load].figures));
    let output = match asked.format {
        Form::Text => selection.text(),
        Form::Json => selection.json()?,
    };
    Ok(Answer { output, yes: selection.pick().is_some() })
}
