//! `startmargin completions` and `startmargin man`: what a shell and a manual need to know of the command line.

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use super::{Answer, CommandLine, Failure};

#[derive(Args)]
pub(super) struct Completions {
    /// The shell.
    shell: Shell,
}

pub(super) fn completions(arguments: &Completions) -> Result<Answer, Failure> {
    let mut out = Vec::new();
    clap_complete::generate(arguments.shell, &mut CommandLine::command(), "startmargin", &mut out);
    answer(out)
}

pub(super) fn manual() -> Result<Answer, Failure> {
    let mut out = Vec::new();
    let mut command = CommandLine::command();
    command.build();
    let page = clap_mangen::Man::new(command.clone());
    let written = page.render(&mut out).and_then(|()| {
        // the options of each command below the page of the whole
        command.get_subcommands().filter(|c| c.get_name() != "help").try_for_each(|c| {
            let name = c.get_name().to_uppercase();
            out.extend(format!(".SH {name}\n").into_bytes());
            let page = clap_mangen::Man::new(c.clone());
            page.render_synopsis_section(&mut out)?;
            page.render_description_section(&mut out)?;
            page.render_options_section(&mut out)
        })
    });
    written.map_err(|error| Failure::Usage(error.to_string()))?;
    answer(out)
}

fn answer(bytes: Vec<u8>) -> Result<Answer, Failure> {
    let output = String::from_utf8(bytes).map_err(|error| Failure::Usage(error.to_string()))?;
    Ok(Answer { output, yes: true })
}
