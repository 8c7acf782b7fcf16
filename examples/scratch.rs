use startmargin::motor::*;
use startmargin::start::*;
use startmargin::starter::*;
use startmargin::supply::Thevenin;
use num_complex::Complex64;
fn main() {
    let m = TwoWinding::new(2, 60.0, [0.624, 0.601, 16.249, 0.76, 0.628], 0.0016)
        .with_auxiliary(Auxiliary { r_ohm: 2.351, x_ohm: 1.217, turns_ratio: 1.967 })
        .with_run_capacitor(Capacitor { farad: 45e-6, ohm: 0.0 });
    let l = SpeedTorque { rated_nm: 3.23, rated_speed: 3450.0 * std::f64::consts::TAU / 60.0, shares: [0.1, 0.65, 0.0], breakaway: 0.12, build_up_s: 8.0 };
    let src = Thevenin { v: 115.0, z: Complex64::ZERO, fold_a: None };
    let mut out = [Trace::default()];
    let lra = m.at(0.0, Stage::START).y.norm() * 115.0;
    for (tol, r, assist) in [(1e-4, 0.0, 0.0), (1e-6, 0.0, 0.0), (1e-9, 0.0, 0.0), (1e-6, 0.27, 0.0), (1e-6, 0.28, 0.0), (1e-6,0.29,0.), (1e-6, 0.7, 160e-6), (1e-6, 0.72, 160e-6)] {
        let m = m.clone().with_assist((assist > 0.0).then_some(Capacitor { farad: assist, ohm: 0.0 }));
        let st = Limiter { amps: (1.0 - r) * lra };
        let st: &dyn Starter = if r == 0.0 { &Direct } else { &st };
        let b = Branch { machine: &m, load: &l, starter: st, assist_cut_out: (assist > 0.0).then_some(0.75), conductor: Complex64::ZERO, closes_at_s: 0.0, longest_start_s: 3.0 };
        envelope(&src, Running::default(), &[b], Options { tolerance: tol }, &mut out);
        let t = &out[0];
        println!("tol {tol:e} r {r} {:?} dur {:?} settle {:?} largest {:.4} settled {:?} steps {} evals {} rows {} events {:?}", t.outcome, t.start_duration_s, t.settling_time_s(), t.largest_rms_a(), t.settled.map(|s| (s.line_a, s.speed/t.sync_speed)), t.steps, t.evaluations, t.rows.len(), t.events);
        if std::env::args().len() > 1 { for r in &t.rows { println!("{:.6} {:.4} {:.5}", r.t_s, r.line_a, r.speed / t.sync_speed); } return }
    }
    let b = Branch { machine: &m, load: &l, starter: &Direct, assist_cut_out: None, conductor: Complex64::ZERO, closes_at_s: 0.0, longest_start_s: 3.0 };
    let n: u32 = std::env::var("RUNS").ok().and_then(|v| v.parse().ok()).unwrap_or(10000);
    let t0 = std::time::Instant::now();
    for _ in 0..n { envelope(&src, Running::default(), &[b], Options::default(), &mut out); }
    println!("{:?} each", t0.elapsed() / n);
    let t0 = std::time::Instant::now(); let mut acc = 0.0; for i in 0..n*100 { acc += m.at(f64::from(i) * 1e-4, Stage::START).torque_per_v2; } println!("at {:?} {acc}", t0.elapsed() / n / 100);
}
