//! scratch
use startmargin::advise::judge;
use startmargin::site;
fn main() {
    for f in std::env::args().skip(1) {
        eprintln!("{f}");
        let text = std::fs::read_to_string(&f).unwrap();
        let site = site::read(&f, &text).unwrap();
        let t = std::time::Instant::now();
        let s = judge(&site.case(0, 0, site.loads[0].figures.pressure.unwrap()));
        println!("{f} {:?} {:?} {:?}", t.elapsed(), s.verdict, s.facts);
    }
}
