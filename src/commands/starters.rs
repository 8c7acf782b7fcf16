//! `startmargin starters`: which starter to put before a load.

use clap::Args;

use super::{Answer, Decision, Failure, Form, LevelWord, choose, runs_direct};
use crate::report::starters::Comparison;
use crate::site::starters::candidates;

#[derive(Args)]
pub(super) struct Arguments {
    #[command(flatten)]
    asked: Decision,
    /// How closely starts are simulated.
    #[arg(long, value_enum, default_value = "auto")]
    level: LevelWord,
}

impl Arguments {
    pub(super) fn json(&self) -> bool {
        self.asked.json()
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let asked = &arguments.asked;
    let mut site = asked.read()?;
    site.level = arguments.level.into();
    let case = choose(&site, &asked.which)?;
    runs_direct(&case)?;
    let comparison = Comparison::new(&case, &asked.pressures(&case.load), candidates(&asked.own.read()?));
    let output = match asked.format {
        Form::Text => comparison.text(),
        Form::Json => comparison.json()?,
    };
    Ok(Answer { output, yes: comparison.serves() })
}
