//! `startmargin init`: a site file from flags or from questions.

use std::io::Write;
use std::path::{Path, PathBuf};

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
        write(path, &written.text)?;
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

/// Writes the whole file or nothing.
fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let failed = |source| Failure::CannotWrite { path: path.into(), source };
    let mut beside = path.as_os_str().to_owned();
    beside.push(".part");
    let beside = PathBuf::from(beside);
    let mut file = std::fs::File::create(&beside).map_err(failed)?;
    let done = file.write_all(text.as_bytes()).and_then(|()| file.sync_all());
    done.and_then(|()| std::fs::rename(&beside, path)).map_err(|source| {
        let _ = std::fs::remove_file(&beside);
        failed(source)
    })
}
