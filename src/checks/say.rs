//! Figures in words, shared by the checks' explanations.

/// A current or other figure with three significant digits.
pub fn number(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return format!("{x}");
    }
    let digits = (2 - x.abs().log10().floor() as i32).clamp(0, 4) as usize;
    let text = format!("{x:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// "50 A for up to 0.5 s".
pub fn held(amps: f64, for_s: Option<f64>) -> String {
    match for_s {
        Some(s) => format!("{} A for up to {}", number(amps), seconds(s)),
        None => format!("{} A", number(amps)),
    }
}

/// "12 A too much" or "12 A to spare".
pub fn difference(demand: f64, limit: f64, unit: &str) -> String {
    let words = if demand > limit { "too much" } else { "to spare" };
    format!("{} {unit} {words}", number((demand - limit).abs()))
}

/// A time: "8 ms", "0.22 s", "2 min", "1 h".
pub fn seconds(s: f64) -> String {
    if s < 0.0995 {
        format!("{} ms", number(s * 1e3))
    } else if s < 120.0 {
        format!("{} s", number(s))
    } else if s < 7200.0 {
        format!("{} min", number(s / 60.0))
    } else {
        format!("{} h", number(s / 3600.0))
    }
}
