//! The starters of the catalogue as candidates for a load.

use super::catalogue::{Catalogue, Shelf};
use super::document::Document;
use super::motors;
use crate::advise::starters::Candidate;

/// Every starter of the catalogue, in its order.
pub fn candidates(catalogue: &Catalogue) -> Vec<Candidate> {
    let shelf = catalogue.shelf(Shelf::Starter);
    let each = shelf.filter_map(|entry| {
        // read as a site file would have it; what else such a file needs does not matter here
        let text = format!("[[load]]\nname = \"load\"\nstarter = {{ use = \"{}\" }}\n", entry.id);
        let mut document = Document::read(&text, catalogue).ok()?;
        let figures = motors::starter(&mut document, "load[0]");
        Some(Candidate { name: entry.id.clone(), summary: catalogue.about(entry).summary, figures })
    });
    each.collect()
}
