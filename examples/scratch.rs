//! scratch
use startmargin::case::Path;
use startmargin::motor::*;
use startmargin::site;
use startmargin::start::Trace;
fn main() {
    let f = std::env::args().nth(1).unwrap();
    let n: u32 = std::env::args().nth(2).unwrap().parse().unwrap();
    let text = std::fs::read_to_string(&f).unwrap();
    let site = site::read(&f, &text).unwrap();
    let p = Path::new(&site.case(0, 0, site.loads[0].figures.pressure.unwrap())).unwrap();
    let mut t = Trace::default();
    p.run(0, &mut t);
    println!("steps {} evals {} rows {}", t.steps, t.evaluations, t.rows.len());
    let t0 = std::time::Instant::now();
    for _ in 0..n {
        p.run(0, &mut t);
    }
    println!("{:?} each", t0.elapsed() / n);
    let m = p.machine();
    let t0 = std::time::Instant::now();
    let mut acc = 0.0;
    let mut w = 10.0;
    for _ in 0..n * 100 {
        let q = m.at(w, Stage::RUN);
        acc += q.torque_per_v2;
        w = 10.0 + acc * 1e-9;
    }
    println!("{:?} per operating point, one after the other {acc}", t0.elapsed() / n / 100);
    if n == 1000 {
        for r in &t.rows {
            println!("{:.5} {:.3} {:.5}", r.t_s, r.line_a, r.speed / t.sync_speed);
        }
    }
}
