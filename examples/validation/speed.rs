//! What the timings in benches/results say. They are read, never taken here.

use std::fmt::Write as _;
use std::path::Path;

/// The newest file of the starts: the names begin with their dates.
fn newest(folder: &Path) -> Option<(String, String)> {
    let names = std::fs::read_dir(folder).ok()?.filter_map(|e| e.ok()?.file_name().into_string().ok());
    let name = names.filter(|n| n.ends_with("-starts.csv")).max()?;
    let text = std::fs::read_to_string(folder.join(&name)).ok()?;
    Some((name, text))
}

/// Shortest time of a line \[us\].
fn best(text: &str, bench: &str) -> Option<f64> {
    let line = text.lines().find(|l| l.split(',').next() == Some(bench))?;
    line.split(',').nth(1)?.parse().ok()
}

/// Of the lines that begin so, the quickest: name and time \[us\].
fn quickest<'a>(text: &'a str, stem: &str, exact: bool) -> Option<(&'a str, f64)> {
    let lines = text.lines().filter_map(|l| Some((l.split(',').next()?, best(text, l.split(',').next()?)?)));
    lines
        .filter(|(name, _)| {
            name.strip_prefix(stem)
                .is_some_and(|rest| ["RK45", "DOP853", "LSODA"].contains(&rest.trim_end_matches("_as_exact")))
        })
        .filter(|(name, _)| name.ends_with("_as_exact") == exact)
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

fn table(text: &str) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "| what | ours, us | the other, us | ratio |\n|---|---|---|---|");
    let mut row = |what: &str, ours: Option<f64>, other: Option<(&str, f64)>| {
        if let (Some(ours), Some((name, time))) = (ours, other) {
            let _ = writeln!(out, "| {what} ({name}) | {ours:.1} | {time:.1} | {:.3} |", time / ours);
        }
    };
    for level in ["waveform_equations", "envelope_equation"] {
        let name = format!("{level}_crate");
        row(
            "the same right-hand side, as exact: the kept crate",
            best(text, &format!("{level}_ours")),
            best(text, &name).map(|t| (name.as_str(), t)),
        );
    }
    let (wave, envelope) = (best(text, "waveform_start"), best(text, "envelope_start"));
    row(
        "a start of 0.5 s, waveform level: scipy at 1e-6, scalars",
        wave,
        quickest(text, "scipy_waveform_", false),
    );
    row("the same, as exact as ours", wave, quickest(text, "scipy_waveform_", true));
    row("the same at 1e-6, arrays", wave, quickest(text, "scipy_waveform_by_arrays_", false));
    let explicit = |name: &'static str| best(text, name).map(|t| (name, t));
    row("the same at 1e-6, the same pair, arrays", wave, explicit("scipy_waveform_by_arrays_RK45"));
    row(
        "a start until all has settled, envelope level: scipy at 1e-6, scalars",
        envelope,
        quickest(text, "scipy_envelope_", false),
    );
    row("the same at 1e-6, the same pair", envelope, explicit("scipy_envelope_RK45"));
    let bare = best(text, "envelope_equation_ours");
    row(
        "the bare swing equation of 0.35 s: scipy at 1e-6, scalars",
        bare,
        quickest(text, "scipy_envelope_to_speed_", false),
    );
    row("the same, as exact as ours", bare, quickest(text, "scipy_envelope_to_speed_", true));
    out
}

/// The chapter on speed.
pub fn chapter() -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/results");
    let mut out = "\n## Speed\n\n".to_owned();
    let Some((name, text)) = newest(&folder) else {
        out.push_str("No timings are at hand.\n");
        return out;
    };
    let _ = writeln!(
        out,
        "From benches/results/{name}: shortest times on one machine in one session\n\
         (`cargo bench --bench waveform_start`, then\n\
         `python3 benches/scipy_starts.py`); how they were taken stands in that file.\n"
    );
    out.push_str(&table(&text));
    out.push_str("\nA ratio above 1 says that ours is quicker. ");
    let ratio = |ours: &str, stem: &str| {
        let (_, other) = quickest(&text, stem, false)?;
        Some(other / best(&text, ours)?)
    };
    let aims = [
        ("waveform_start in 100 us", best(&text, "waveform_start").is_some_and(|t| t <= 100.0)),
        ("waveform equations not slower than the crate", not_slower(&text, "waveform_equations")),
        ("envelope equation not slower than the crate", not_slower(&text, "envelope_equation")),
        (
            "waveform level 300 times as quick as the quickest of scipy",
            ratio("waveform_start", "scipy_waveform_").is_some_and(|r| r >= 300.0),
        ),
        (
            "envelope level 300 times as quick as the quickest of scipy",
            ratio("envelope_start", "scipy_envelope_").is_some_and(|r| r >= 300.0),
        ),
    ];
    let list = |met: bool| {
        let of: Vec<&str> = aims.iter().filter(|a| a.1 == met).map(|a| a.0).collect();
        if of.is_empty() { "none".to_owned() } else { of.join("; ") }
    };
    let _ = writeln!(out, "Aims met: {}.\n**Aims missed:** {}.", list(true), list(false));
    out
}

fn not_slower(text: &str, level: &str) -> bool {
    let [ours, other] = ["ours", "crate"].map(|who| best(text, &format!("{level}_{who}")));
    ours.zip(other).is_some_and(|(ours, other)| ours <= other)
}
