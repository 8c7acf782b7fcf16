//! scratch
use startmargin::case::Path;
use startmargin::site;
use startmargin::start::Trace;
fn main() {
    for f in std::env::args().skip(1) {
        let text = std::fs::read_to_string(&f).unwrap();
        let site = site::read(&f, &text).unwrap();
        let p = Path::new(&site.case(0, 0, site.loads[0].figures.pressure.unwrap())).unwrap();
        let mut t = Trace::default();
        p.run(0, &mut t);
        println!("{:?} {:?} {} {}", t.settled, t.start_duration_s, t.steps, t.evaluations);
        for r in &t.rows { println!("{:.5} {:.4} {:.6}", r.t_s, r.line_a, r.speed / t.sync_speed); }
        let n = 20000;
        let t0 = std::time::Instant::now();
        for _ in 0..n { p.run(0, &mut t); }
        println!("{:?} each", t0.elapsed() / n);
    }
}
