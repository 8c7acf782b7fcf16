//! `startmargin trace`: a start against time.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{Answer, Failure, LevelWord, OwnCatalogue, Which, choose, read};
use crate::case::Path;
use crate::report::csv;
use crate::start::waveform::{Cycles, Sampler};
use crate::start::{Level, Trace};

#[derive(Clone, Copy, ValueEnum)]
enum Format {
    /// Comma-separated values.
    Csv,
}

#[derive(Args)]
pub(super) struct Arguments {
    /// Site file; the built-in demonstration if not given.
    site: Option<PathBuf>,
    #[command(flatten)]
    own: OwnCatalogue,
    #[command(flatten)]
    which: Which,
    /// Form of the answer.
    #[arg(long, value_enum, default_value = "csv")]
    format: Format,
    /// How closely the start is simulated; waveform gives instantaneous values, the others root mean squares.
    #[arg(long, value_enum, default_value = "envelope")]
    level: LevelWord,
    /// Angle of the voltage at switch-on: 0 switches on at the crest of phase a, 90 at its zero. A motor's start knows it at the
    /// waveform level alone (0 if not given), that of any other load always (the angle with the largest crest if not given).
    #[arg(long, value_name = "DEGREES", allow_negative_numbers = true)]
    closing_angle_deg: Option<f64>,
    /// A row every so many seconds, instead of at the moments of the simulation; a 200th of a cycle at the waveform level.
    #[arg(long, value_name = "SECONDS")]
    step_s: Option<f64>,
}

/// More rows than anybody plots: a step that gives more is a slip.
const MOST_ROWS: f64 = 5e6;

pub(super) fn run(arguments: &Arguments) -> Result<Answer, Failure> {
    let Format::Csv = arguments.format;
    if arguments.step_s.is_some_and(|s| !(1e-6..=3600.0).contains(&s)) {
        return Err(Failure::Usage("--step-s: from 0.000001 to 3600 seconds".into()));
    }
    let given = arguments.closing_angle_deg;
    if given.is_some_and(|deg| !deg.is_finite() || deg.abs() > 3600.0) {
        return Err(Failure::Usage("--closing-angle-deg: from -3600 to 3600 degrees".into()));
    }
    let (mut site, _) = read(arguments.site.as_deref(), &arguments.own)?;
    // instants have a run of their own, beside which the envelope is enough
    site.level =
        if arguments.level == LevelWord::Waveform { Level::Envelope } else { arguments.level.into() };
    let case = choose(&site, &arguments.which)?;
    if given.is_some() && arguments.level != LevelWord::Waveform && case.load.inrush.is_none() {
        return Err(Failure::Usage(
            "--closing-angle-deg: only the waveform level knows when it is switched on; add --level waveform"
                .into(),
        ));
    }
    let mut path =
        Path::new(&case).map_err(|lack| Failure::CannotRun { load: case.load.name.clone(), lack })?;
    // a motor's angle is told to its instants
    path.close_inrush_at(given.map(f64::to_radians));
    let angle = given.map_or(path.closing_angle, f64::to_radians);
    let output = match arguments.level {
        LevelWord::Waveform => instants(&path, angle, arguments.step_s)?,
        LevelWord::Envelope | LevelWord::Auto => csv::trace(&worse(&path), arguments.step_s),
    };
    Ok(Answer { output, yes: true })
}

/// The start with the running loads behaving in the way that draws more, where there are two.
fn worse(path: &Path) -> Trace {
    let mut worse = Trace::default();
    for variant in 0..path.variants() {
        let mut trace = Trace::default();
        path.run(variant, &mut trace);
        if trace.largest_supply_a() > worse.largest_supply_a() || worse.rows.is_empty() {
            worse = trace;
        }
    }
    worse
}

/// The same at the waveform level, instant by instant, until it is settled.
fn instants(path: &Path, angle: f64, step_s: Option<f64>) -> Result<String, Failure> {
    let step_s = step_s.unwrap_or(1.0 / (200.0 * path.frequency_hz));
    if path.longest_start_s / step_s > MOST_ROWS {
        return Err(Failure::Usage(format!(
            "--step-s: {step_s} s over up to {} s makes more than five million rows; take a longer step",
            path.longest_start_s
        )));
    }
    let phases = path.machine().phases();
    let mut most: Option<(f64, Sampler)> = None;
    for variant in 0..path.variants() {
        let mut trace = Trace::default();
        path.run(variant, &mut trace);
        let mut cycles = Cycles::new(path.frequency_hz, phases);
        if let Some(settled) = trace.settled {
            cycles = cycles.until_settled(settled.line_a, settled.speed);
        }
        let mut watch = (Sampler::new(step_s), cycles);
        if path.watch(variant, angle, &mut trace, &mut watch).is_none() {
            return Err(Failure::Usage(
                "--level waveform: there are no instantaneous equations of this load".into(),
            ));
        }
        let asked = trace.largest_supply_a();
        if most.as_ref().is_none_or(|(before, _)| asked > *before) {
            most = Some((asked, watch.0));
        }
    }
    Ok(csv::instants(&most.map(|(_, sampler)| sampler.samples).unwrap_or_default(), phases))
}
