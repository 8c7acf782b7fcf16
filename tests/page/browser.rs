//! The page in a browser and on paper: nothing is fetched, nothing is complained of, nothing is cut.
//!
//! Needs chromium and poppler-utils. Where they are missing a test says so and passes, unless STARTMARGIN_BROWSER=required.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use super::{SITES, dom, folder, for_every_site, page};

/// Longer than this no browser takes for a page of some 200 kB (assumed).
const PATIENCE: Duration = Duration::from_secs(90);

/// A browser's run: what it wrote, what it complained of, what it opened.
struct Seen {
    out: String,
    complaints: String,
    network: String,
}

/// The browser's program, if there is one.
fn browser() -> Option<PathBuf> {
    let names = ["chromium", "chromium-browser"];
    let found = names.iter().find_map(|name| on_path(name));
    let poppler = ["pdftotext", "pdftoppm"].iter().all(|name| on_path(name).is_some());
    if found.is_none() || !poppler {
        let missing = "chromium or poppler-utils is not installed: the page is not looked at in a browser";
        let required = std::env::var("STARTMARGIN_BROWSER").is_ok_and(|v| v == "required");
        assert!(!required, "{missing}");
        eprintln!("skipped: {missing}");
        return None;
    }
    found
}

fn on_path(name: &str) -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path).map(|folder| folder.join(name)).find(|file| file.is_file())
}

/// Opens a file, with arguments of the test's own.
fn open(browser: &Path, folder: &Path, name: &str, html: &str, arguments: &[&str]) -> Seen {
    let file = folder.join(format!("{name}.html"));
    std::fs::write(&file, html).unwrap();
    let (log, said) = (folder.join(format!("{name}.net")), folder.join(format!("{name}.err")));
    let (profile, out) = (folder.join(format!("{name}.profile")), folder.join(format!("{name}.out")));
    let mut child = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"])
        .args(["--disable-component-update", "--disable-sync", "--disable-default-apps", "--no-first-run"])
        .args(["--disable-dev-shm-usage", "--enable-logging=stderr", "--v=0"])
        .arg(format!("--user-data-dir={}", profile.display()))
        .arg(format!("--log-net-log={}", log.display()))
        // what the browser asks for of itself gets nowhere
        .arg("--host-resolver-rules=MAP * ~NOTFOUND")
        .args(arguments)
        .arg(format!("file://{}", file.display()))
        .stdin(Stdio::null())
        .stdout(std::fs::File::create(&out).unwrap())
        .stderr(std::fs::File::create(&said).unwrap())
        .spawn()
        .unwrap();
    let begun = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        if begun.elapsed() > PATIENCE {
            child.kill().unwrap();
            child.wait().unwrap();
            panic!("{name}: the browser takes longer than {PATIENCE:?}");
        }
        std::thread::sleep(Duration::from_millis(20));
    };
    let text = |path: &Path| String::from_utf8_lossy(&std::fs::read(path).unwrap_or_default()).into_owned();
    assert!(status.success(), "{name}: {status}\n{}", text(&said));
    Seen { out: text(&out), complaints: text(&said), network: text(&log) }
}

/// What a page's console said.
fn console(seen: &Seen) -> Vec<&str> {
    seen.complaints.lines().filter(|l| l.contains(":CONSOLE")).collect()
}

/// Addresses that the page asked for. A browser asks for some of its own, whatever it shows: those are not the file's.
fn requests(seen: &Seen) -> Vec<&str> {
    let of_file = |line: &&str| line.contains("\"network_isolation_key\":\"file://");
    let address = |line: &'_ str| {
        line.split_once("\"url\":\"").map(|(before, rest)| (before.len() + 7, rest.find('"')))
    };
    let events = seen.network.lines().filter(of_file);
    events.filter_map(|line| address(line).and_then(|(from, to)| line.get(from..from + to?))).collect()
}

const PAPERS: [&str; 2] = ["A4", "letter"];

fn on_paper(html: &str, paper: &str) -> String {
    html.replacen("</style>", &format!("@page{{size:{paper}}}</style>"), 1)
}

/// The text of each page of a PDF: line by line as it is laid out (`-layout`), or column by column as it is read (`-raw`).
fn pages(pdf: &Path, order: &str) -> Vec<String> {
    let output = Command::new("pdftotext").arg(order).arg(pdf).arg("-").output().unwrap();
    assert!(output.status.success());
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let mut pages: Vec<String> = text.split('\u{c}').map(str::to_owned).collect();
    assert_eq!(pages.pop().as_deref(), Some(""), "a form feed ends each page");
    pages
}

/// A text without anything between its letters: a line of a PDF has other spaces than the page.
fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// The page on which a sheet begins, by its first line.
fn begins(what: &str, pages: &[String], line: &str) -> usize {
    let at: Vec<usize> = (0..pages.len()).filter(|i| pages[*i].contains(line)).collect();
    assert_eq!(at.len(), 1, "{what}: {line} on pages {at:?}");
    let first = pages[at[0]].lines().find(|l| !l.trim().is_empty()).unwrap();
    assert!(first.contains(line), "{what}: {line} is not the first line of its page, but {first}");
    at[0]
}

/// One run of the browser for each site and paper: paper, console and network are looked at in the same.
#[test]
fn every_page_prints_whole_and_fetches_nothing() {
    let Some(browser) = browser() else { return };
    let folder = folder("print");
    for_every_site(|place, site| {
        let html = page(place);
        for paper in PAPERS {
            let what = format!("{site} on {paper}");
            let name = format!("{place}-{paper}");
            let pdf = folder.join(format!("{name}.pdf"));
            let print = format!("--print-to-pdf={}", pdf.display());
            let arguments = [print.as_str(), "--no-pdf-header-footer"];
            let seen = open(&browser, &folder, &name, &on_paper(html, paper), &arguments);
            assert_eq!(console(&seen), Vec::<&str>::new(), "{what}");
            assert!(seen.network.contains("\"constants\":"), "{what}: no record of the network");
            assert_eq!(requests(&seen), Vec::<&str>::new(), "{what}");
            printed(&what, &dom::read(html), &pages(&pdf, "-layout"), &pages(&pdf, "-raw"));
            if paper == "A4" {
                grey(&what, &pdf);
            }
        }
    });
    let _ = std::fs::remove_dir_all(&folder);
}

fn printed(what: &str, page: &dom::Page, pages: &[String], as_read: &[String]) {
    let customer = begins(what, pages, "For the customer");
    let engineer = begins(what, pages, "For the engineer");
    let fitter = begins(what, pages, "For the fitter");
    assert_eq!((customer, engineer), (0, 1), "{what}: the customer's sheet is not one page");
    assert!(fitter > engineer && fitter < pages.len(), "{what}");
    assert!(pages.iter().all(|p| bare(p).len() > 60), "{what}: a page with hardly anything on it");
    // the last words of each sheet are on its last page
    let text: Vec<String> = as_read.iter().map(|p| bare(p)).collect();
    let last = |page: usize, words: &str| assert!(text[page].contains(&bare(words)), "{what}: {words}");
    last(0, "the fitter's sheet has the readings.");
    last(fitter - 1, "check number of the site file");
    last(pages.len() - 1, &page.sheet("fitter").all("li").last().unwrap().text());
    // every label of a plot is on one page
    for svg in page.all("svg") {
        let labels: Vec<String> = svg.all("text").iter().map(|t| bare(&t.raw())).collect();
        assert!(labels.len() > 3, "{what}");
        let on = (0..text.len()).find(|i| labels.iter().all(|l| text[*i].contains(l)));
        let lost = || labels.iter().filter(|l| !text.iter().any(|t| t.contains(*l))).collect::<Vec<_>>();
        assert!(on.is_some(), "{what}: a plot is cut, or {:?} lost: {}", lost(), svg.below()[0].text());
    }
    heads(what, page, &pages[engineer..fitter]);
}

/// A table that goes on on the next page has its head there too.
fn heads(what: &str, page: &dom::Page, pages: &[String]) {
    let sheet = page.sheet("engineer");
    let figures: Vec<(String, String)> =
        sheet.classed("figures")[0].rows().iter().map(|r| (r[0].text(), r[1].text())).collect();
    let checks: Vec<String> =
        sheet.classed("findings").iter().flat_map(|t| t.rows()).map(|r| r[0].text()).collect();
    let (mut of_figures, mut of_checks) = (0, 0);
    for page in pages {
        let lines = || page.lines().map(str::trim);
        let is_figure = |l: &str| {
            figures.iter().any(|(of, name)| l.starts_with(of.as_str()) && l.contains(name.as_str()))
        };
        let is_check = |l: &str| {
            let result = ["pass", "uncertain", "fail"];
            let check = checks.iter().find_map(|c| l.strip_prefix(c.as_str()));
            check.is_some_and(|rest| result.iter().any(|r| rest.trim_start().starts_with(r)))
        };
        let position = |of: &dyn Fn(&str) -> bool| lines().position(of);
        if let Some(row) = position(&is_figure) {
            let head = position(&|l| l.starts_with("Of ") && l.ends_with("Source or rule"));
            assert!(head.is_some_and(|head| head < row), "{what}: figures without their head:\n{page}");
            of_figures += 1;
        }
        if let Some(row) = position(&is_check) {
            let head = position(&|l| l.starts_with("Check ") && l.ends_with("What decides"));
            assert!(head.is_some_and(|head| head < row), "{what}: findings without their head:\n{page}");
            of_checks += 1;
        }
    }
    assert!(of_figures > 0 && of_checks > 0, "{what}: no table was found");
}

/// The first page as a printer without colours sets it: white paper, dark text, and nothing readable paler than that.
fn grey(what: &str, pdf: &Path) {
    let output = Command::new("pdftoppm")
        .args(["-gray", "-r", "100", "-f", "1", "-l", "1"])
        .arg(pdf)
        .output()
        .unwrap();
    // P5, width and height, 255, then a byte for each point
    let head: Vec<&[u8]> = output.stdout.splitn(4, |b| b.is_ascii_whitespace()).collect();
    assert_eq!(head[0], b"P5", "{what}");
    let width: usize = std::str::from_utf8(head[1]).unwrap().parse().unwrap();
    let height: usize = std::str::from_utf8(head[2]).unwrap().parse().unwrap();
    let points = &output.stdout[output.stdout.len() - width * height..];
    let share =
        |of: &dyn Fn(u8) -> bool| points.iter().filter(|p| of(**p)).count() as f64 / points.len() as f64;
    assert!(share(&|p| p == 255) > 0.6, "{what}: the paper is not white");
    assert!(share(&|p| p < 64) > 0.01, "{what}: hardly any dark text");
    // each line of text has points at least as dark as the palest ink: 4.5 to 1 on white is 0x76 (WCAG 2.2, 1.4.3)
    let row = |y: usize| &points[y * width..(y + 1) * width];
    let mut band: Vec<usize> = Vec::new();
    for y in 0..height {
        if row(y).iter().any(|p| *p < 230) {
            band.push(y);
            continue;
        }
        // of a line of text: a hairline alone is none
        if band.len() >= 6 {
            let darkest = band.iter().flat_map(|y| row(*y)).min().unwrap();
            assert!(*darkest <= 0x76, "{what}: pale text in lines {band:?}: {darkest}");
        }
        band.clear();
    }
}

#[test]
fn a_browser_reads_the_page_as_it_was_written() {
    let Some(browser) = browser() else { return };
    let folder = folder("dump");
    let place = SITES.iter().position(|s| s.ends_with("camper-120.toml")).unwrap();
    let seen = open(&browser, &folder, "dump", page(place), &["--dump-dom"]);
    assert_eq!(console(&seen), Vec::<&str>::new());
    assert_eq!(requests(&seen), Vec::<&str>::new());
    let (read, written) = (dom::read(&seen.out), dom::read(page(place)));
    let names = |page: &dom::Page| page.elements().iter().map(|e| e.name().to_owned()).collect::<Vec<_>>();
    assert_eq!(names(&read), names(&written), "the browser mends the page");
    assert_eq!(read.all("main")[0].text(), written.all("main")[0].text());
    // the record of the network and the console do tell
    let loud = page(place).replacen(
        "</main>",
        "<script>console.error('loud')</script><img alt=\"\" src=\"http://192.0.2.1/x.png\"></main>",
        1,
    );
    let seen = open(&browser, &folder, "loud", &loud, &["--dump-dom", "--timeout=2000"]);
    assert_eq!(console(&seen).len(), 1, "{}", seen.complaints);
    assert!(requests(&seen).iter().any(|r| r.contains("192.0.2.1")), "no request was seen");
    let _ = std::fs::remove_dir_all(&folder);
}
