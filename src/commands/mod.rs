//! The command line: a file per subcommand, thin; results on standard output only when complete, messages on standard
//! error, exit status 0 (starts), 1 (uncertain or fails), 2 (bad input or usage).

mod ask;
mod breakers;
mod catalogue;
mod check;
mod compare;
mod flags;
mod init;
mod motor;
mod report;
mod shell;
mod starters;
mod supplies;
mod trace;

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::case::Pressure;
use crate::site::catalogue::{Catalogue, CatalogueError};
use crate::site::{self, Site};
use crate::start::Level;

/// Will this motor start on this supply behind this breaker, by what margin, and what would make it start?
#[derive(Parser)]
#[command(name = "startmargin", version, about, long_about = None, propagate_version = true)]
struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Judge every load of a site on every supply; without a site file, the built-in demonstration.
    Check(check::Arguments),
    /// Write a start against time.
    Trace(trace::Arguments),
    /// Set every starter of the catalogue beside the direct start of one load, and say what to order.
    Starters(starters::Arguments),
    /// Set every breaker of the site's standard before one load: which serve, why each other is out, which to take.
    Breakers(Decision),
    /// Set the supplies of the site and of the catalogue side by side for one load, and the least ratings that would do.
    Supplies(Decision),
    /// Set the ways out side by side for one load: as it is, a starter, another breaker, a larger supply, a smaller unit.
    Compare(Decision),
    /// Write the page for customer, engineer and fitter, or one of its plots.
    Report(report::Arguments),
    /// Show a motor's circuit and what it takes and gives at each speed.
    Motor(motor::Arguments),
    /// List the built-in loads, supplies, starters, breakers and classes, or show one.
    Catalogue(catalogue::Arguments),
    /// Begin a site file, from flags or by being asked.
    Init(init::Arguments),
    /// Print the completions of a shell.
    Completions(shell::Completions),
    /// Print the manual page (roff).
    Man,
}

/// Entries of one's own beside the built-in catalogue.
#[derive(Args)]
struct OwnCatalogue {
    /// Folder with entries of your own, laid out like appliances/; one of the same name replaces ours.
    #[arg(long = "catalogue", value_name = "DIR")]
    folder: Option<PathBuf>,
}

impl OwnCatalogue {
    fn read(&self) -> Result<Catalogue, Failure> {
        let built_in = Catalogue::built_in();
        let Some(folder) = &self.folder else { return Ok(built_in) };
        built_in.with_folder(folder).map_err(|error| match error {
            CatalogueError::Mistakes { file, text, mistakes } => Failure::Mistakes { file, text, mistakes },
            other => Failure::Catalogue(other),
        })
    }
}

/// How closely starts are simulated.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum LevelWord {
    /// Phasor circuit at each speed: rms current, duration, voltage, torque.
    Envelope,
    /// Instantaneous equations: electrical transients and pulsations too.
    Waveform,
    /// The envelope, made up for where it is known to come out short.
    Auto,
}

impl From<LevelWord> for Level {
    fn from(word: LevelWord) -> Level {
        match word {
            LevelWord::Envelope => Level::Envelope,
            LevelWord::Waveform => Level::Waveform,
            LevelWord::Auto => Level::Auto,
        }
    }
}

/// Which start of a site.
#[derive(Args)]
struct Which {
    /// Name of the load, or its place from 1; the first if not given.
    #[arg(long)]
    load: Option<String>,
    /// Name of the supply, or its place from 1; the first if not given.
    #[arg(long)]
    supply: Option<String>,
    /// Pressure at the start; the load's own, else equalised, if not given.
    #[arg(long, value_enum)]
    pressure: Option<PressureWord>,
}

#[derive(Clone, Copy, ValueEnum)]
enum PressureWord {
    Equalised,
    Unequal,
}

impl From<PressureWord> for Pressure {
    fn from(word: PressureWord) -> Pressure {
        match word {
            PressureWord::Equalised => Pressure::Equalised,
            PressureWord::Unequal => Pressure::Unequal,
        }
    }
}

/// Form of an answer.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// For reading.
    Text,
    /// For programs (docs/json.md).
    Json,
}

/// A decision about one load on one supply.
#[derive(Args)]
struct Decision {
    /// Site file; without one the built-in demonstration.
    site: Option<PathBuf>,
    #[command(flatten)]
    own: OwnCatalogue,
    #[command(flatten)]
    which: Which,
    /// Form of the answer.
    #[arg(long, value_enum, default_value = "text")]
    format: Form,
}

impl Decision {
    fn json(&self) -> bool {
        self.format == Form::Json
    }

    /// The site.
    fn read(&self) -> Result<Site, Failure> {
        Ok(read(self.site.as_deref(), &self.own)?.0)
    }

    /// The pressure asked for, else those that the load is run at.
    fn pressures(&self, load: &crate::case::LoadFigures) -> Vec<Pressure> {
        self.which.pressure.map_or_else(|| crate::report::pressures_of(load), |word| vec![word.into()])
    }
}

/// Why a command ends with exit status 2.
#[derive(Debug, thiserror::Error)]
enum Failure {
    /// The file could not be read.
    #[error("cannot read {path}: {source}")]
    Unreadable { path: PathBuf, source: std::io::Error },
    /// The file is not text.
    #[error("{path}: line {line}, column {column}: not UTF-8 text; save the file as UTF-8")]
    NotText { path: PathBuf, line: usize, column: usize },
    /// The site file has mistakes.
    #[error("{file}: {} mistakes", mistakes.len())]
    Mistakes { file: String, text: String, mistakes: Vec<site::Diagnostic> },
    /// No load or supply of that name.
    #[error("there is no {what} `{name}`; the site has: {have}")]
    NoSuch { what: &'static str, name: String, have: String },
    /// The start cannot be run.
    #[error("{load}: {lack}")]
    CannotRun { load: String, lack: crate::case::Lack },
    /// A number of the command line makes no sense.
    #[error("{0}")]
    Usage(String),
    /// Flags, or answers to questions, that cannot be used.
    #[error("{} mistakes in what was given", .0.len())]
    Answers(Vec<site::answers::Mistake>),
    /// A catalogue of one's own that cannot be used.
    #[error(transparent)]
    Catalogue(CatalogueError),
    /// No such entry of the catalogue.
    #[error(transparent)]
    NotFound(#[from] site::described::NotFound),
    /// The file to be written is there already.
    #[error("{path} is there already: name another, or add --force")]
    Exists { path: PathBuf },
    /// The file could not be written.
    #[error("cannot write {path}: {source}")]
    CannotWrite { path: PathBuf, source: std::io::Error },
    /// The result could not be put into words.
    #[error("cannot write the result: {0}")]
    Unwritable(#[from] serde_json::Error),
}

/// What a command hands back: text for standard output, and whether the answer is yes.
struct Answer {
    output: String,
    yes: bool,
}

/// Runs the program.
pub fn main() -> ExitCode {
    let line = match CommandLine::try_parse() {
        Ok(line) => line,
        Err(error) => {
            // help and version are answers, anything else is a mistake of usage; a closed pipe is neither
            let _ = error.print();
            return if error.use_stderr() { ExitCode::from(2) } else { ExitCode::SUCCESS };
        }
    };
    let (answer, json) = match line.command {
        Command::Check(a) => (check::run(&a), a.json()),
        Command::Trace(a) => (trace::run(&a), false),
        Command::Starters(a) => (starters::run(&a), a.json()),
        Command::Breakers(a) => (breakers::run(&a), a.json()),
        Command::Supplies(a) => (supplies::run(&a), a.json()),
        Command::Compare(a) => (compare::run(&a), a.json()),
        Command::Report(a) => (report::run(&a), false),
        Command::Motor(a) => (motor::run(&a), a.json()),
        Command::Catalogue(a) => (catalogue::run(&a), a.json()),
        Command::Init(a) => (init::run(&a), false),
        Command::Completions(a) => (shell::completions(&a), false),
        Command::Man => (shell::manual(), false),
    };
    match answer {
        Ok(answer) => {
            let mut out = std::io::stdout().lock();
            // whoever closed the pipe does not want the rest
            let _ = out.write_all(answer.output.as_bytes()).and_then(|()| out.flush());
            if answer.yes { ExitCode::SUCCESS } else { ExitCode::from(1) }
        }
        Err(failure) => {
            eprint!("{}", complaint(&failure, json));
            ExitCode::from(2)
        }
    }
}

fn complaint(failure: &Failure, json: bool) -> String {
    if json {
        let errors = match failure {
            Failure::Mistakes { file, mistakes, .. } => {
                serde_json::to_string_pretty(&site::errors(file, mistakes))
            }
            Failure::NotText { path, line, column } => serde_json::to_string_pretty(&one_error(
                &path.display().to_string(),
                [*line, *column],
                "not UTF-8 text",
                "save the file as UTF-8",
            )),
            Failure::Answers(mistakes) => serde_json::to_string_pretty(&serde_json::json!({ "format": 1,
                "errors": mistakes.iter().map(|m| serde_json::json!({ "file": "", "line": 1, "column": 1,
                    "key": format!("--{}", m.flag), "message": m.message, "help": m.help })).collect::<Vec<_>>() })),
            other => serde_json::to_string_pretty(&one_error("", [1, 1], &other.to_string(), "")),
        };
        return errors.unwrap_or_default() + "\n";
    }
    match failure {
        Failure::Mistakes { file, text, mistakes } => {
            site::render(file, text, mistakes, std::io::stderr().is_terminal())
        }
        Failure::Answers(mistakes) => mistakes
            .iter()
            .map(|m| {
                let help = if m.help.is_empty() { String::new() } else { format!("  {}\n", m.help) };
                format!("startmargin: --{}: {}\n{help}", m.flag, m.message)
            })
            .collect(),
        other => format!("startmargin: {other}\n"),
    }
}

fn one_error(file: &str, [line, column]: [usize; 2], message: &str, help: &str) -> serde_json::Value {
    serde_json::json!({ "format": 1, "errors": [
        { "file": file, "line": line, "column": column, "key": "", "message": message, "help": help } ] })
}

/// The built-in demonstration site.
const DEMONSTRATION: &str = include_str!("../../docs/examples/demonstration.toml");

/// Reads a site file, or the demonstration.
fn read(path: Option<&Path>, own: &OwnCatalogue) -> Result<(Site, String), Failure> {
    let catalogue = own.read()?;
    let (file, text) = match path {
        None => ("demonstration.toml".to_owned(), DEMONSTRATION.to_owned()),
        Some(path) => {
            let bytes =
                std::fs::read(path).map_err(|source| Failure::Unreadable { path: path.into(), source })?;
            let text = String::from_utf8(bytes).map_err(|error| {
                let good = &error.as_bytes()[..error.utf8_error().valid_up_to()];
                let line = 1 + good.iter().filter(|&&b| b == b'\n').count();
                let start = good.iter().rposition(|&b| b == b'\n').map_or(0, |i| i + 1);
                let column = 1 + String::from_utf8_lossy(&good[start..]).chars().count();
                Failure::NotText { path: path.into(), line, column }
            })?;
            (path.display().to_string(), text)
        }
    };
    match site::read_with(&file, &text, &catalogue) {
        Ok(site) => Ok((site, text)),
        Err(mistakes) => Err(Failure::Mistakes { file, text, mistakes }),
    }
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

/// The case that `which` names.
fn choose(site: &Site, which: &Which) -> Result<crate::case::Case, Failure> {
    let (load, supply) = places(site, which)?;
    let pressure = match which.pressure {
        Some(word) => word.into(),
        None => site.loads[load].figures.pressure.unwrap_or(Pressure::Equalised),
    };
    Ok(site.case(load, supply, pressure))
}

/// Sees to it that the load can be run straight on the line.
fn runs_direct(case: &crate::case::Case) -> Result<(), Failure> {
    let none = crate::starter::StarterFigures::default();
    let direct = crate::advise::starters::with_starter(case, &none);
    match crate::case::Path::new(&direct) {
        Ok(_) => Ok(()),
        Err(lack) => Err(Failure::CannotRun { load: case.load.name.clone(), lack }),
    }
}

/// Which load and which supply, by their places from 0.
fn places(site: &Site, which: &Which) -> Result<(usize, usize), Failure> {
    let loads: Vec<&str> = site.loads.iter().map(|l| l.figures.name.as_str()).collect();
    let supplies: Vec<&str> = site.supplies.iter().map(|s| s.name.as_str()).collect();
    let load = place("load", which.load.as_deref(), &loads)?;
    Ok((load, place("supply", which.supply.as_deref(), &supplies)?))
}

fn place(what: &'static str, name: Option<&str>, names: &[&str]) -> Result<usize, Failure> {
    let Some(name) = name else { return Ok(0) };
    let by_name = names.iter().position(|n| *n == name);
    let by_place = name.parse::<usize>().ok().filter(|n| (1..=names.len()).contains(n)).map(|n| n - 1);
    by_name.or(by_place).ok_or_else(|| Failure::NoSuch { what, name: name.into(), have: names.join(", ") })
}
