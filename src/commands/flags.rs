//! Answers as flags: one option for each line of the table of answers.

use clap::error::ErrorKind;
use clap::{Arg, ArgMatches, Args, Command, FromArgMatches};

use super::Failure;
use crate::site::answers::{self, Answers, FIELDS, Mistake, Written};
use crate::site::catalogue::Catalogue;
use crate::site::{self, Note, Site};

/// What was given for each flag, as typed.
#[derive(Debug, Clone, Default)]
pub(super) struct Flags(Vec<(&'static str, String)>);

impl Args for Flags {
    fn augment_args(command: Command) -> Command {
        FIELDS.iter().fold(command, |command, field| {
            let arg = Arg::new(field.flag).long(field.flag).value_name(field.shown).help(field.help);
            // 10 degrees below zero are no option
            command.arg(arg.help_heading(field.heading).allow_negative_numbers(true))
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Self::augment_args(command)
    }
}

impl FromArgMatches for Flags {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let given = |flag: &'static str| {
            let found = matches.try_get_one::<String>(flag);
            found.map(|text| text.map(|text| (flag, text.clone())))
        };
        let flags: Result<Vec<_>, _> = FIELDS.iter().map(|field| given(field.flag)).collect();
        let flags = flags.map_err(|e| clap::Error::raw(ErrorKind::UnknownArgument, e.to_string()))?;
        Ok(Flags(flags.into_iter().flatten().collect()))
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

impl Flags {
    /// The first flag given, if any is.
    pub(super) fn first(&self) -> Option<&'static str> {
        self.0.first().map(|(flag, _)| *flag)
    }

    /// The flags as answers.
    pub(super) fn answers(&self) -> Result<Answers, Failure> {
        let mut answers = Answers::default();
        let mut mistakes = Vec::new();
        let mut refuse = |flag: &'static str, key: &str, message: String| {
            mistakes.push(Mistake { flag, key: key.to_owned(), message, help: String::new() });
        };
        let given = |flag: &str| self.0.iter().any(|(f, _)| *f == flag);
        for field in FIELDS {
            let Some((_, typed)) = self.0.iter().find(|(flag, _)| *flag == field.flag) else { continue };
            if !field.needs.is_empty() && !given(field.needs) {
                refuse(field.flag, field.key, format!("it means nothing without --{}", field.needs));
            }
            // the second of two is told
            let before = FIELDS.iter().take_while(|f| f.flag != field.flag).any(|f| f.flag == field.rival);
            if before && given(field.rival) {
                refuse(
                    field.flag,
                    field.key,
                    format!("it says the same as --{}: keep one of them", field.rival),
                );
            }
            match answers::read(field, typed) {
                Ok(said) => answers.set(field.flag, said),
                Err(message) => refuse(field.flag, field.key, message),
            }
        }
        if mistakes.is_empty() { Ok(answers) } else { Err(Failure::Answers(mistakes)) }
    }
}

/// The site that answers describe, with a note for each thing assumed; and the text of its file. Who typed flags is told the
/// flag that would tell it, who was `asked` the key of the file.
pub(super) fn site_of(
    answers: &Answers,
    catalogue: &Catalogue,
    asked: bool,
) -> Result<(Site, Written), Failure> {
    let written = answers::text(answers, catalogue).map_err(Failure::Answers)?;
    let mut site = site::read_with("as asked", &written.text, catalogue).map_err(|mistakes| {
        Failure::Answers(mistakes.iter().map(|d| answers::mistake(d, answers)).collect())
    })?;
    let assumed = written.assumed.iter().map(|a| {
        let told = if asked { a.key() } else { format!("--{}", a.flag) };
        Note { path: "assumed".into(), message: format!("{} ({told} tells it)", a.what) }
    });
    site.notes.splice(0..0, assumed);
    Ok((site, written))
}
