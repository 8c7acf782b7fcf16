//! `startmargin init`: a site file from flags or from questions.

use std::path::PathBuf;

use clap::Args;

use super::flags::{Flags, site_of};
use super::{Answer, Failure, OwnCatalogue, ask};
use crate::advise::Verdict;
use crate::report::{self, Report};
use crate::site::answers::{Answers, Said};

#[derive(Args)]
pub(super) struct Arguments {
    /// Ask, at most ten questions, then judge.
    #[arg(long)]
    ask: bool,
    /// Write to this file, not to standard output.
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
    /// Write over a file that is there.
    #[arg(long, requires = "output")]
    force: bool,
    #[command(flatten)]
    own: OwnCatalogue,
    #[command(flatten)]
    flags: Flags,
}

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let catalogue = arguments.own.read()?;
    if let Some(path) = arguments.output.as_deref().filter(|path| !arguments.force && path.exists()) {
        return Err(Failure::Exists { path: path.into() });
    }
    let mut answers = arguments.flags.answers()?;
    if arguments.ask {
        // what flags say has to hold before more is asked
        site_of(&ask::completed(&answers), &catalogue, false)?;
        ask::questions(&mut answers, &catalogue, &mut std::io::stdin().lock(), &mut std::io::stderr().lock());
        answers = ask::completed(&answers);
    } else {
        fill(&mut answers);
    }
    let (site, written) = site_of(&answers, &catalogue, arguments.ask)?;
    if let Some(path) = &arguments.output {
        super::write(path, &written.text)?;
    }
    if arguments.ask {
        let mut report = Report::new(&site, &written.text);
        report.written = arguments.output.as_ref().map(|p| p.display().to_string());
        return Ok(Answer { output: report::text(&report, false), yes: report.verdict == Verdict::Starts });
    }
    let output = match &arguments.output {
        Some(path) => format!("{} is written; startmargin check {0} judges it.\n", path.display()),
        None => written.text,
    };
    Ok(Answer { output, yes: true })
}

/// What stands in a new file where nothing is said, for the user to put right: a camper's roof unit on its inverter.
fn fill(answers: &mut Answers) {
    if !answers.names_a_load() {
        answers.assume("load", Said::Word("roof-ac".into()));
    }
    ask::some_supply(answers);
}
