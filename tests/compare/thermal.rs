//! Thermal trip models against check points solved apart (tests/data/thermal.json).

use serde_json::Value;
use startmargin::protection::thermal::{Heat, Thermal};

/// The points have nine digits.
const WITHIN: f64 = 1e-6;

fn points(kind: &str) -> Vec<Value> {
    let text = std::fs::read_to_string("tests/data/thermal.json").unwrap();
    let all: Value = serde_json::from_str(&text).unwrap();
    all[kind].as_array().unwrap().clone()
}

fn number(point: &Value, key: &str) -> f64 {
    point[key].as_f64().unwrap()
}

fn near(what: &Value, ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() <= WITHIN * theirs.abs(), "{what}: ours {ours}, theirs {theirs}");
}

/// Of pickup 1, so that currents are multiples of it.
fn model(point: &Value) -> Thermal {
    match point.get("tau") {
        Some(tau) => Thermal::one_body(1.0, tau.as_f64().unwrap()),
        None => Thermal::two_body(1.0, number(point, "tau1"), number(point, "tau2"), number(point, "a")),
    }
}

#[test]
fn compare_times_to_trip() {
    let all = [points("one_body"), points("two_body")].concat();
    assert_eq!(all.len(), 24);
    for point in &all {
        let heat = match &point["theta0"] {
            Value::Array(two) => Heat { element: two[0].as_f64().unwrap(), body: two[1].as_f64().unwrap() },
            one => Heat { element: one.as_f64().unwrap_or(0.0), body: 0.0 },
        };
        let (thermal, k) = (model(point), number(point, "k"));
        near(point, thermal.trips_in(heat, k).unwrap(), number(point, "t_closed"));
        // the same by steps of a course
        let theirs = number(point, "t_closed");
        let before = thermal.step(thermal.step(heat, k, k, 0.3 * theirs), k, k, 0.7 * theirs);
        near(point, before.element, 1.0);
        assert_eq!(thermal.trips_on_the_way(heat, k, k, 0.999_998 * theirs), None);
        near(point, thermal.trips_on_the_way(heat, k, k, 2.0 * theirs).unwrap(), theirs);
    }
    // running steadily at 0.9 of the pickup is what the last ones begin with
    let hot = model(all.last().unwrap()).steady(0.9);
    assert!((hot.element - 0.81).abs() < 1e-15 && (hot.body - 0.405).abs() < 1e-15);
}

/// Runs a course of (time, current) until it trips; gives the time of that and the warmest before.
fn run(thermal: &Thermal, course: impl Iterator<Item = (f64, f64)>) -> (Option<f64>, f64, Heat) {
    let (mut heat, mut warmest): (Heat, f64) = (Heat::default(), 0.0);
    let mut before: Option<(f64, f64)> = None;
    for (t, k) in course {
        if let Some((t0, k0)) = before {
            if let Some(s) = thermal.trips_on_the_way(heat, k0, k, t - t0) {
                return (Some(t0 + s), 1.0, heat);
            }
            warmest = warmest.max(thermal.warmest(heat, k0, k, t - t0));
            heat = thermal.step(heat, k0, k, t - t0);
        }
        before = Some((t, k));
    }
    (None, warmest, heat)
}

#[test]
fn compare_courses_in_steps() {
    let all = points("one_body_integral");
    let stepped: Vec<&Value> = all.iter().filter(|p| p["segments"].is_array()).collect();
    assert_eq!(stepped.len(), 5);
    for point in stepped {
        let thermal = model(point);
        let (mut heat, mut t) = (Heat::default(), 0.0);
        let mut tripped = None;
        for (i, part) in point["segments"].as_array().unwrap().iter().enumerate() {
            let (k, s) = (part[0].as_f64().unwrap(), part[1].as_f64().unwrap());
            tripped = thermal.trips_on_the_way(heat, k, k, s).map(|s| t + s);
            if tripped.is_some() {
                break;
            }
            heat = thermal.step(heat, k, k, s);
            t += s;
            near(point, heat.element, point["theta_at_boundaries"][i].as_f64().unwrap());
        }
        assert_eq!(tripped.is_some(), point["trip"].is_f64(), "{point}: {tripped:?}");
        match tripped {
            Some(s) => near(point, s, number(point, "trip")),
            None => near(point, heat.element, number(point, "theta_end")),
        }
    }
}

/// `k(t) = k1 + (k0 - k1) / (1 + (t / t0)^8)`, shown in straight lines so short that they are off by 1e-7 at the most.
#[test]
fn compare_courses_of_starts() {
    let one = points("one_body_integral");
    let all: Vec<Value> =
        one.into_iter().filter(|p| p["k0"].is_f64()).chain(points("two_body_integral")).collect();
    assert_eq!(all.len(), 8);
    for point in &all {
        let [k0, k1, t0] = ["k0", "k1", "t0"].map(|key| number(point, key));
        let k = |t: f64| k1 + (k0 - k1) / (1.0 + (t / t0).powi(8));
        let thermal = model(point);
        // close while the current falls, then the tail at an even current
        let end = number(point, "t_end") + if point["trip"].is_f64() { 20.0 * t0 + 5.0 } else { 0.0 };
        let fallen = end.min(20.0 * t0);
        let fall = (0..40_000).map(|i| fallen * f64::from(i) / 40_000.0);
        let tail = (0..400).map(|i| fallen + (end - fallen) * f64::from(i) / 399.0);
        let (trip, warmest, _) = run(&thermal, fall.chain(tail).map(|t| (t, k(t))));
        assert_eq!(trip.is_some(), point["trip"].is_f64(), "{point}: {trip:?}");
        match trip {
            Some(s) => near(point, s, number(point, "trip")),
            None => {
                let key = if point["theta_max"].is_f64() { "theta_max" } else { "theta_e_max_to_end" };
                near(point, warmest, number(point, key));
            }
        }
    }
}
