//! Starters side by side on one load and supply: candidates are handed in, each is judged in the place of the load's own.

use super::judge::{Start, Verdict, judged};
use super::{Window, every_variant};
use crate::case::{ASSIST_CUT_OUT, Case, Path, Pressure};
use crate::checks::Status;
use crate::figure::{Figure, Origin};
use crate::quantity::{Microfarad, Ratio, Second};
use crate::start::Trace;
use crate::starter::{StarterFigures, StarterKind};

/// A starter that could be put before the load.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Candidate {
    /// Its name: that of the catalogue's entry.
    pub name: String,
    /// What it is, in a line.
    pub summary: String,
    /// Its figures.
    pub figures: StarterFigures,
}

/// A candidate on one load, supply and pressure.
#[derive(Debug, Clone, PartialEq)]
pub struct Tried {
    /// The pressure.
    pub pressure: Pressure,
    /// The start, judged; the windows are there for the direct start only.
    pub start: Start,
    /// Voltage of the supply at the load, open circuit \[V\]; 0 where it cannot be run.
    pub open_v: f64,
    /// Square of the motor's current over the start \[A2 s\]; absent where it cannot be run.
    pub heat_a2s: Option<f64>,
}

/// The case with a candidate in the place of its starter.
pub fn with_starter(case: &Case, figures: &StarterFigures) -> Case {
    let mut case = case.clone();
    case.load.starter = figures.clone();
    case
}

/// Tries a candidate. The reduction windows, which take long, are looked for only if `windows`.
pub fn try_starter(case: &Case, figures: &StarterFigures, windows: bool) -> Tried {
    let mut case = with_starter(case, figures);
    case.settle_pressure();
    let start = judged(&case, windows);
    let mut trace = Trace::default();
    let path = Path::new(&case).ok();
    let open_v = path.as_ref().map_or(0.0, |path| path.open_v);
    let heat_a2s = path.map(|path| {
        let mut most: f64 = 0.0;
        every_variant(&path, &mut trace, |trace, _| most = most.max(trace.heat_a2s(path.machine().phases())));
        most
    });
    Tried { pressure: case.pressure, start, open_v, heat_a2s }
}

/// What a candidate comes to over the pressures, ready to be set beside others.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// The candidate.
    pub candidate: Candidate,
    /// Why it is none for this motor or supply, if it is not.
    pub unfit: Option<String>,
    /// The worse verdict of the pressures.
    pub worst: Verdict,
    /// By pressure, after a rest first.
    pub tried: Vec<Tried>,
    /// Largest line current \[A\]; as the figures below at the first pressure, that after a rest where it is one of them.
    pub largest_a: Option<f64>,
    /// Reduction reached: one less that current over the locked-rotor current at the supply's voltage.
    pub reduction: Option<f64>,
    /// Time to speed \[s\]; `None` if it does not get there.
    pub duration_s: Option<f64>,
    /// Torque to spare at the tightest speed, as a share of the load's.
    pub torque_reserve: Option<f64>,
    /// Heating of the motor over that of the direct start; `None` where either does not reach speed.
    pub heat_of_direct: Option<f64>,
    /// The time at rated current that heats the motor as much \[s\].
    pub heat_at_rated_s: Option<f64>,
}

/// Sets tried candidates beside each other. `direct` is the direct start at the same pressures, `rated_a` the rated-load
/// current.
pub fn compared(candidate: Candidate, tried: Vec<Tried>, direct: &[Tried], rated_a: Option<f64>) -> Compared {
    let facts = tried.first().and_then(|t| t.start.facts.as_ref());
    let largest_a = facts.map(|f| f.largest_rms_a);
    let lra = facts.map(|f| f.locked_rotor_at_supply_a).filter(|a| a.is_finite());
    let margin = |t: &Tried| t.start.finding("acceleration").and_then(|f| f.margins).map(|m| m.modelled);
    let heat = |of: &[Tried]| of.first().filter(|t| t.start.reaches_speed()).and_then(|t| t.heat_a2s);
    let duration_s = facts.and_then(|f| f.start_duration_s);
    let torque_reserve = tried.first().and_then(margin);
    let own = heat(&tried);
    Compared {
        unfit: tried.iter().find_map(|t| t.start.unfit.clone()),
        worst: tried.iter().map(|t| t.start.verdict).max().unwrap_or(Verdict::Uncertain),
        largest_a,
        reduction: largest_a.zip(lra).map(|(a, lra)| 1.0 - a / lra),
        duration_s,
        torque_reserve,
        heat_of_direct: own.zip(heat(direct)).map(|(own, direct)| own / direct),
        heat_at_rated_s: own.zip(rated_a).map(|(heat, a)| heat / (a * a)),
        candidate,
        tried,
    }
}

/// Orders what was compared: those that are none for the motor last, those that surely start first, else by the pressures they
/// start at by the figures' values, then by verdict, then by current.
pub fn sort(rows: &mut [Compared]) {
    rows.sort_by_cached_key(|row| Rank::of(row.tried.iter().map(|t| &t.start)));
}

/// Where a starter stands by what became of its starts, after a rest first: less is better.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rank {
    unfit: bool,
    unsure: bool,
    starts: std::cmp::Reverse<usize>,
    worst: Verdict,
    leaning: Verdict,
    largest_a: f64,
}

impl Rank {
    /// That of a starter.
    pub fn of<'a>(mut starts: impl Iterator<Item = &'a Start> + Clone) -> Rank {
        let worst = starts.clone().map(|s| s.verdict).max().unwrap_or(Verdict::Uncertain);
        let leaning = starts.clone().map(|s| s.leaning);
        let facts = starts.clone().next().and_then(|s| s.facts.as_ref());
        Rank {
            unsure: worst != Verdict::Starts,
            starts: std::cmp::Reverse(leaning.clone().filter(|l| *l == Verdict::Starts).count()),
            worst,
            leaning: leaning.max().unwrap_or(Verdict::Uncertain),
            unfit: starts.any(|s| s.unfit.is_some()),
            largest_a: facts.map_or(f64::INFINITY, |f| f.largest_rms_a),
        }
    }
}

impl Eq for Rank {}

impl PartialOrd for Rank {
    fn partial_cmp(&self, other: &Rank) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Rank {
    fn cmp(&self, other: &Rank) -> std::cmp::Ordering {
        let key = |r: &Rank| (r.unfit, r.unsure, r.starts, r.worst, r.leaning);
        key(self).cmp(&key(other)).then(self.largest_a.total_cmp(&other.largest_a))
    }
}

/// What to order.
#[derive(Debug, Clone, PartialEq)]
pub enum Order {
    /// No starter is needed.
    None,
    /// None would help, and why.
    NoUse(String),
    /// By the figures' values the direct start passes: which figure to pin down, by its path below the case.
    Pin(String),
    /// A soft starter.
    Soft {
        /// The start capacitor it brings \[uF\], if it needs one.
        capacitor_uf: Option<f64>,
        /// Least reduction at which everything passes.
        least: f64,
        /// Largest reduction that the motor gets through with.
        most: f64,
        /// The same of one that works by phase control.
        most_chopped: f64,
        /// Whether that holds over the figures' ranges.
        sure: bool,
        /// Whether a restart straight after stopping is to be held off.
        hold_off: bool,
        /// Checks that one set so does not pass for certain after a rest ([`prove`]).
        open: Vec<&'static str>,
    },
}

/// What to order, by the direct start at each pressure with its windows.
pub fn order(case: &Case, direct: &[Tried]) -> Order {
    if let Some(inrush) = &case.load.inrush {
        return Order::NoUse(inrush.kind.no_starter().into());
    }
    if case.load.electronic {
        let why = "electronics of the unit's own start its motor: nothing may stand before them";
        return Order::NoUse(why.into());
    }
    if direct.iter().all(|t| t.start.verdict == Verdict::Starts) {
        return Order::None;
    }
    let Some(rest) = direct.first() else { return Order::NoUse("the start could not be run".into()) };
    let beyond = |id: &str| {
        !matches!(id, "surge" | "breaker" | "acceleration" | "peak-current" | "breaker-instantaneous")
    };
    let incurable = rest.start.findings.iter().find(|f| f.at_value == Status::Fail && beyond(f.id));
    if let Some(finding) = incurable.filter(|f| f.id != "conductor") {
        return Order::NoUse(format!("{}, which no starter cures", finding.told.sentence));
    }
    let pin = || {
        let open = direct.iter().filter(|t| t.start.verdict != Verdict::Starts);
        let key = open.filter_map(|t| t.start.deciding()).find_map(|f| f.depends_on.first());
        key.cloned().filter(|_| direct.iter().all(|t| t.start.leaning == Verdict::Starts))
    };
    let soft = match soft(case, rest, direct.get(1)) {
        Ok(soft) => soft,
        Err(why) => return pin().map_or(Order::NoUse(why), Order::Pin),
    };
    match (&soft, pin()) {
        (Order::Soft { sure: false, .. }, Some(key)) => Order::Pin(key),
        _ => soft,
    }
}

/// The soft starter to order, by the windows of the direct start at one pressure or two; or why none is.
fn soft(case: &Case, rest: &Tried, other: Option<&Tried>) -> Result<Order, String> {
    // as a soft starter would be judged before this motor
    let assumed = |share: f64| Some(Figure::exact(Ratio(share), Origin::Assumed));
    let ramp_s = Some(Figure::exact(Second(1.0), Origin::Assumed));
    let probe = StarterFigures {
        kind: StarterKind::Ramp,
        initial_fraction: assumed(1.0),
        ramp_s,
        ..StarterFigures::default()
    };
    if let Some(why) = Path::new(&with_starter(case, &probe)).ok().and_then(|path| path.unfit) {
        return Err(why);
    }
    let window = |t: &Tried, capacitor: bool| -> Option<Window> {
        let r = t.start.reduction.as_ref()?;
        if capacitor { r.with_capacitor.clone() } else { Some(r.plain.clone()) }
    };
    let plain = span(window(rest, false), other.and_then(|t| window(t, false)));
    let with = span(window(rest, true), other.and_then(|t| window(t, true)));
    // a starter without capacitor is the cheaper one: taken where it is as sure and has nearly the room
    let capacitor = match (&plain, &with) {
        (_, None) => false,
        (None, Some(_)) => true,
        (Some(plain), Some(with)) => {
            let rank = |s: &Span| (s.sure, s.both);
            rank(with) > rank(plain) || rank(with) == rank(plain) && with.width() > plain.width() + 0.02
        }
    };
    let Some(best) = (if capacitor { with } else { plain }) else {
        return Err("no setting of one passes everything".into());
    };
    let uf = rest.start.reduction.as_ref().and_then(|r| r.capacitor.as_ref()).map(|(uf, _)| uf.get());
    Ok(Order::Soft {
        capacitor_uf: uf.filter(|_| capacitor),
        least: best.least,
        most: best.most,
        most_chopped: best.most_chopped,
        sure: best.sure,
        hold_off: other.is_some() && !best.both,
        open: Vec::new(),
    })
}

/// Soft starters set within what an order says, working by phase control: in the middle first, then nearer to the motor's limit,
/// which brings the first crest down too. With the setting as a reduction.
pub fn made_to_order(case: &Case, order: &Order) -> Vec<(f64, StarterFigures)> {
    let Order::Soft { capacitor_uf, least, most, most_chopped, .. } = order else { return Vec::new() };
    let [from, to] = [*least, most.min(*most_chopped).max(*least)].map(|r| r.clamp(0.0, 0.99));
    let exact = |share: f64| Figure::exact(Ratio(share), Origin::Assumed);
    let cut_out = case.load.assist_cut_out_speed.clone().unwrap_or_else(|| exact(ASSIST_CUT_OUT));
    let set = |share: f64| {
        let reduction = 0.01 * (100.0 * (from + share * (to - from))).floor().max((100.0 * from).ceil());
        let figures = StarterFigures {
            kind: StarterKind::Limiter,
            reduction: Some(exact(reduction)),
            assist_capacitor_uf: capacitor_uf.map(|uf| Figure::exact(Microfarad(uf), Origin::Assumed)),
            cut_out_speed: capacitor_uf.map(|_| cut_out.clone()),
            phase_control: Some(true),
            ..StarterFigures::default()
        };
        (reduction, figures)
    };
    [0.5, 0.75, 0.9].map(set).into()
}

/// Judges what is ordered, as the windows leave some checks out: what of a start after a rest stays open goes into the order.
#[must_use]
pub fn prove(case: &Case, mut order: Order) -> Order {
    let mut least: Option<Vec<&'static str>> = None;
    for (_, figures) in made_to_order(case, &order) {
        let start = judged(&with_starter(case, &figures), false);
        let left: Vec<&'static str> =
            start.findings.iter().filter(|f| f.status != Status::Pass).map(|f| f.id).collect();
        if least.as_ref().is_none_or(|least| left.len() < least.len()) {
            least = Some(left);
        }
        if least.as_ref().is_some_and(Vec::is_empty) {
            break;
        }
    }
    if let (Order::Soft { open, sure, .. }, Some(least)) = (&mut order, least) {
        *sure &= least.iter().all(|id| *id == "peak-current");
        *open = least;
    }
    order
}

/// Reductions to be ordered by.
struct Span {
    least: f64,
    most: f64,
    most_chopped: f64,
    sure: bool,
    both: bool,
}

impl Span {
    fn width(&self) -> f64 {
        self.most - self.least
    }
}

/// The widest part of a window that leaves a whole per cent, over ranges if it can be, at both pressures if it can be.
fn span(rest: Option<Window>, other: Option<Window>) -> Option<Span> {
    let rest = rest?;
    let widest = |list: &[[f64; 2]]| {
        let whole = list.iter().copied().filter(|[a, b]| (100.0 * a).ceil() <= (100.0 * b).floor());
        whole.max_by(|a, b| (a[1] - a[0]).total_cmp(&(b[1] - b[0])))
    };
    let meet = |a: &[[f64; 2]], b: &[[f64; 2]]| -> Vec<[f64; 2]> {
        let pairs = a.iter().flat_map(|a| b.iter().map(move |b| [a[0].max(b[0]), a[1].min(b[1])]));
        pairs.filter(|[a, b]| a < b).collect()
    };
    let both = |pick: fn(&Window) -> &Vec<[f64; 2]>| {
        other.as_ref().and_then(|other| widest(&meet(pick(&rest), pick(other))))
    };
    let found = both(|w| &w.passes_over_ranges)
        .map(|s| (s, true, true))
        .or_else(|| widest(&rest.passes_over_ranges).map(|s| (s, true, false)))
        .or_else(|| both(|w| &w.passes).map(|s| (s, false, true)))
        .or_else(|| widest(&rest.passes).map(|s| (s, false, false)))?;
    let ([least, mut most], sure, both) = found;
    // what the motor gets through with at its worse bounds, where that leaves anything
    if let Some(low) = rest.most_low.filter(|low| *low > least) {
        most = most.min(low);
    }
    // what harmonics take, they take at the other pressure and at worse bounds too
    let taken = rest.most.zip(rest.most_chopped).map_or(0.0, |(most, chopped)| most - chopped);
    Some(Span { least, most, most_chopped: (most - taken).max(least), sure, both })
}
