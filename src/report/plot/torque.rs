//! Torque against speed: what the motor gives as it starts, what its load asks, and what is left.

use super::canvas::{Axes, Canvas, Role, Type};
use super::place::{Anchor, Bounds, Spot};
use super::runs::{Run, Runs, isolated};
use super::scale::{Scale, round_up};
use super::{Picture, Plot};
use crate::case::Hookup;
use crate::checks::say::number;
use crate::motor::{LoadTorque, SpeedTorque, Stage};
use crate::quantity::Rpm;
use crate::start::Trace;

/// Points of a curve that is worked out and not simulated.
const POINTS: u32 = 240;

pub(super) fn draw(runs: &Runs<'_>) -> Option<Picture> {
    let direct = runs.direct.as_ref().filter(|r| !r.path.is_inrush())?;
    let sync = direct.worst().sync_speed;
    if sync <= 0.0 {
        return None;
    }
    let per_cent = |speed: f64| 100.0 * speed / sync;
    let full: Vec<(f64, f64)> = at_full_voltage(direct).iter().map(|p| (per_cent(p.0), p.1)).collect();
    let given =
        |run: &Run<'_>| -> Vec<(f64, f64)> { forwards(run.worst()).map(|r| (per_cent(r.0), r.1)).collect() };
    let asked =
        |run: &Run<'_>| -> Vec<(f64, f64)> { load(run).iter().map(|p| (per_cent(p.0), p.1)).collect() };
    let most = |points: &[(f64, f64)]| points.iter().fold(0.0, |m: f64, p| m.max(p.1));
    let (own, own_load) = (given(direct), asked(direct));
    let restart_load = runs.restart.as_ref().map(asked);
    let top = [&full, &own, &own_load].into_iter().chain(&restart_load).map(|p| most(p)).fold(0.0, f64::max);
    if top <= 0.0 {
        return None;
    }
    let mut canvas = Canvas::new(Plot::Torque, 720.0, 440.0);
    let [title, head] = runs.title("Torque against speed");
    canvas.head(&head);
    let bounds = Bounds { left: 62.0, top: 58.0, right: 704.0, bottom: 394.0 };
    let axes = canvas.add(Axes {
        bounds,
        x: Scale::linear(0.0, 102.0, bounds.left, bounds.right),
        y: Scale::linear(0.0, round_up(1.04 * top, 8.0), bounds.bottom, bounds.top),
    });
    canvas.text(Type::Tick, "N m", Spot { x: 16.0, y: bounds.top - 9.0, anchor: Anchor::Start });
    let (across, up) = (canvas.axes(axes).x.steps(10.0), canvas.axes(axes).y.steps(6.0));
    let field = format!("speed, % of full speed ({} rpm without load)", number(Rpm::from_rad_per_s(sync).0));
    let below = Spot { x: bounds.right, y: bounds.bottom + 34.0, anchor: Anchor::End };
    canvas.text(Type::Tick, &field, below);

    // what is left over the load, in the start that has the least of it
    let tight = runs.reduced.as_ref().filter(|run| run.worst().starts()).unwrap_or(direct);
    let mut reserve = given(tight);
    reserve
        .extend(forwards_load(tight.worst()).map(|p| (per_cent(p.0), p.1)).collect::<Vec<_>>().iter().rev());
    canvas.area(axes, Role::Promised, &reserve);
    canvas.ticks_across(axes, &across, true);
    canvas.ticks_up(axes, &up);

    let full = canvas.curve(axes, Role::Other, "full voltage", &full);
    let rested = canvas.curve(axes, Role::Limit, "load", &own_load);
    let other = restart_load.and_then(|p| canvas.curve(axes, Role::Certain, "load, other pressure", &p));
    let reduced =
        runs.reduced.as_ref().and_then(|run| canvas.curve(axes, Role::Reduced, &run.told.label, &given(run)));
    let line = canvas.curve(axes, Role::Direct, &direct.told.label, &own);

    let motor = |run: &Run<'_>| {
        let lost = if run.worst().starts() { "" } else { ": not up to speed" };
        format!("motor, {}{lost}", isolated(&run.told.label))
    };
    canvas.name(line, Type::Strong, &motor(direct), 0.35);
    if let Some(run) = &runs.reduced {
        canvas.name(reduced, Type::Strong, &motor(run), 0.4);
    }
    let pressure = |run: &Run<'_>| if run.path.warm { "straight after stopping" } else { "rested" };
    let both = other.is_some();
    let words = if both || direct.path.warm { format!("load, {}", pressure(direct)) } else { "load".into() };
    canvas.name(rested, Type::Label, &words, 0.6);
    if let Some(run) = &runs.restart {
        canvas.name(other, Type::Label, &format!("load, {}", pressure(run)), 0.5);
    }
    canvas.name(full, Type::Label, "motor at the supply's full voltage", 0.6);
    if let Some(at) =
        widest(&given(tight), &forwards_load(tight.worst()).map(|p| (per_cent(p.0), p.1)).collect::<Vec<_>>())
    {
        let frame = canvas.axes(axes);
        let at = (frame.x.place(at.0), frame.y.place(at.1));
        canvas.name_point(axes, Type::Label, "left to speed it up", &[at]);
    }
    let said = description(runs, direct);
    Some(canvas.finish(title, said))
}

/// The motor's torque over the start, speeds rising \[rad/s, N m\].
fn forwards(trace: &Trace) -> impl Iterator<Item = (f64, f64)> + '_ {
    rising(trace).map(|r| (r.speed, r.torque_nm))
}

/// The load's likewise.
fn forwards_load(trace: &Trace) -> impl Iterator<Item = (f64, f64)> + '_ {
    rising(trace).map(|r| (r.speed, r.load_nm))
}

/// The rows in which the rotor gains speed: the way up, without what the torque that builds up later takes of it.
fn rising(trace: &Trace) -> impl Iterator<Item = &crate::start::Row> + '_ {
    let mut fastest = f64::NEG_INFINITY;
    trace.rows.iter().filter(move |row| {
        let gains = row.speed >= fastest;
        fastest = fastest.max(row.speed);
        gains
    })
}

/// The motor on its own at the supply's open voltage, its start switch open from its speed on.
fn at_full_voltage(run: &Run<'_>) -> Vec<(f64, f64)> {
    let path = &run.path;
    let machine = path.machine();
    let sync = machine.sync_speed();
    let v = if path.hookup == Hookup::ThreePhase { path.open_v / 3f64.sqrt() } else { path.open_v };
    let cut_out = machine.own_cut_out();
    (0..=POINTS)
        .map(|i| {
            let speed = sync * f64::from(i) / f64::from(POINTS);
            let own_start = cut_out.is_some_and(|share| speed < share * sync);
            (speed, machine.at(speed, Stage { own_start, assist: false }).torque_per_v2 * v * v)
        })
        .collect()
}

/// The load's torque: as it was met in the start, and at the speeds that a start did not reach as it would be met at its end.
fn load(run: &Run<'_>) -> Vec<(f64, f64)> {
    let trace = run.worst();
    let mut points: Vec<(f64, f64)> = forwards_load(trace).collect();
    let reached = points.last().map_or(0.0, |p| p.0);
    let end_s = trace.rows.last().map_or(0.0, |r| r.t_s);
    if let (false, Some(torque)) = (trace.starts(), torque(run)) {
        let left = trace.sync_speed - reached;
        let ahead = (1..=POINTS).map(|i| reached + left * f64::from(i) / f64::from(POINTS));
        points.extend(ahead.map(|speed| (speed, torque.at(speed, end_s))));
    }
    points
}

fn torque(run: &Run<'_>) -> Option<SpeedTorque> {
    let rated = run.path.fit.as_ref().map(|f| (f.rated_nm(), Rpm(f.rated_rpm())));
    Some(run.told.case.torque()?.load(rated.unwrap_or((f64::NAN, Rpm(f64::NAN)))))
}

/// The middle of where the motor leaves most over its load, over a stretch of speeds \[%\] that a label takes.
fn widest(motor: &[(f64, f64)], load: &[(f64, f64)]) -> Option<(f64, f64)> {
    const HALF: f64 = 10.0;
    let reserve = |p: &(&(f64, f64), &(f64, f64))| p.0.1 - p.1.1;
    let least = |speed: f64| {
        let near = motor.iter().zip(load).filter(|p| (p.0.0 - speed).abs() <= HALF);
        near.map(|p| reserve(&p)).fold(f64::INFINITY, f64::min)
    };
    let places = (1..=16u32).map(|i| HALF + 5.0 * f64::from(i - 1));
    let (speed, most) = places
        .map(|speed| (speed, least(speed)))
        .filter(|(_, least)| least.is_finite() && *least > 0.0)
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let asked = load.iter().find(|p| p.0 >= speed)?.1;
    Some((speed, asked + 0.5 * most))
}

/// The picture in sentences.
fn description(runs: &Runs<'_>, direct: &Run<'_>) -> String {
    let mut said = vec!["Torque of motor and load against speed, as the start goes.".to_owned()];
    for run in [Some(direct), runs.reduced.as_ref(), runs.restart.as_ref()].into_iter().flatten() {
        let ratio = run.worst().least_torque_ratio();
        if ratio.is_finite() {
            let label = &run.told.label;
            said.push(format!(
                "{label}: at the tightest speed the motor gives {} times what its load asks.",
                number(ratio)
            ));
        }
    }
    said.join(" ")
}
