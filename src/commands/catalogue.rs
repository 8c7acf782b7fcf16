//! `startmargin catalogue`: the list of entries, or one of them.

use clap::{Args, ValueEnum};

use super::{Answer, Failure, OwnCatalogue};
use crate::report::catalogue;
use crate::site::catalogue::Shelf;

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Format {
    /// For reading.
    Text,
    /// For programs (docs/json.md).
    Json,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum ShelfWord {
    Loads,
    Supplies,
    Starters,
    Breakers,
    Classes,
}

#[derive(Args)]
pub(super) struct Arguments {
    /// An entry, such as roof-ac or loads/roof-ac; the list of all if not given.
    entry: Option<String>,
    /// List one shelf only.
    #[arg(long, value_enum, conflicts_with = "entry")]
    shelf: Option<ShelfWord>,
    #[command(flatten)]
    own: OwnCatalogue,
    /// Form of the answer.
    #[arg(long, value_enum, default_value = "text")]
    format: Format,
}

impl Arguments {
    pub(super) fn json(&self) -> bool {
        self.format == Format::Json
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let entries = arguments.own.read()?;
    let output = match &arguments.entry {
        Some(name) => {
            let entry = entries.find(name)?;
            let told = entries.described(entry).map_err(|mistakes| Failure::Mistakes {
                file: entry.file.clone(),
                text: String::new(),
                mistakes,
            })?;
            if arguments.json() { catalogue::entry_json(&told)? } else { catalogue::entry_text(&told) }
        }
        None => {
            let shelves: Vec<Shelf> = match arguments.shelf {
                None => Shelf::ALL.to_vec(),
                Some(ShelfWord::Loads) => vec![Shelf::Load],
                Some(ShelfWord::Supplies) => vec![Shelf::Supply],
                Some(ShelfWord::Starters) => vec![Shelf::Starter],
                Some(ShelfWord::Breakers) => vec![Shelf::Breaker],
                Some(ShelfWord::Classes) => vec![Shelf::Class],
            };
            if arguments.json() {
                catalogue::list_json(&entries, &shelves)?
            } else {
                catalogue::list_text(&entries, &shelves)
            }
        }
    };
    Ok(Answer { output, yes: true })
}
