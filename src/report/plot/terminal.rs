//! The time-current plane in plain characters, for a terminal.

use super::Subject;
use super::plane::{Allowed, Range, course};
use super::runs::{Runs, spare};
use super::scale::Scale;
use crate::checks::say::number;

/// Columns and lines of the plane itself.
const COLUMNS: usize = 80;
const LINES: usize = 24;
/// Columns left of it.
const MARGIN: usize = 9;

/// A curve in cells with its name, which stands near a share of its length.
struct Named {
    cells: Vec<(f64, f64)>,
    share: f64,
    text: String,
}

/// Characters in cells.
struct Screen {
    cells: Vec<Vec<char>>,
}

impl Screen {
    /// A line between two places in cells.
    fn line(&mut self, a: (f64, f64), b: (f64, f64), with: char) {
        let steps = (b.0 - a.0).abs().max((b.1 - a.1).abs()).ceil().clamp(1.0, 2000.0) as usize;
        for i in 0..=steps {
            let share = i as f64 / steps as f64;
            self.put((a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)), with);
        }
    }

    fn put(&mut self, at: (f64, f64), with: char) {
        let (x, y) = (at.0.round(), at.1.round());
        if x >= 0.0
            && y >= 0.0
            && let Some(cell) = self.cells.get_mut(y as usize).and_then(|line| line.get_mut(x as usize))
        {
            *cell = with;
        }
    }

    /// Whether a text fits at a cell, over nothing but empty ones, with one to spare on either side.
    fn room(&self, x: usize, y: usize, text: &str) -> bool {
        let width = text.chars().count();
        self.cells.get(y).is_some_and(|line| {
            x + width < line.len() && line[x.saturating_sub(1)..=x + width].iter().all(|c| *c == ' ')
        })
    }

    /// Writes a text as near to a cell as there is room.
    fn name(&mut self, at: (f64, f64), text: &str) {
        let mut best: Option<(f64, usize, usize)> = None;
        let width = text.chars().count() as f64;
        for y in 0..LINES {
            for x in 1..COLUMNS {
                if !self.room(x, y, text) {
                    continue;
                }
                // a line is as high as two columns are wide
                let beside = (x as f64 - at.0).max(at.0 - x as f64 - width).max(0.0);
                let cost = beside + 2.0 * (y as f64 - at.1).abs();
                if best.is_none_or(|b| cost < b.0) {
                    best = Some((cost, x, y));
                }
            }
        }
        if let Some((_, x, y)) = best {
            for (i, c) in text.chars().enumerate() {
                self.cells[y][x + i] = c;
            }
        }
    }
}

/// The time-current plane of a subject in at most 100 columns of plain ASCII; `None` where [`super::Plot::TimeCurrent`] has
/// none.
pub fn terminal(subject: &Subject) -> Option<String> {
    let runs = Runs::new(subject);
    let direct = runs.direct.as_ref()?;
    let path = &direct.path;
    if path.edges.is_none() && path.surge.is_empty() {
        return None;
    }
    let range = Range::of(&runs, direct);
    let x = Scale::logarithmic(range.amps[0], range.amps[1], 0.0, COLUMNS as f64 - 1.0);
    let y = Scale::logarithmic(range.seconds[0], range.seconds[1], LINES as f64 - 1.0, 0.0);
    let mut screen = Screen { cells: vec![vec![' '; COLUMNS]; LINES] };
    let mut draw = |points: &[(f64, f64)], with: char| -> Vec<(f64, f64)> {
        let cells: Vec<(f64, f64)> = points.iter().map(|p| (x.place(p.0), y.place(p.1))).collect();
        cells.windows(2).for_each(|pair| screen.line(pair[0], pair[1], with));
        cells
    };
    let decided = course(direct, &range);
    let k = decided.nearest.filter(|_| !decided.by_supply).map_or(1.0, |n| 1.0 + n.margin);
    let mut names: Vec<Named> = Vec::new();
    if let Some(edges) = &path.edges {
        let cells = draw(&Allowed::cold(&edges.slow).points(&range), '#');
        names.push(Named { cells, share: 0.3, text: "# must trip beyond".into() });
        if let Some(fast) =
            direct.margins("breaker").and_then(|(_, trace)| Allowed::breaker(direct, trace, k))
        {
            let cells = draw(&fast.points(&range), '-');
            names.push(Named {
                cells,
                share: 0.5,
                text: format!("- {} A breaker's usual curve", path.breaker_a.map_or(String::new(), number)),
            });
        }
    }
    if let Some(supply) = Allowed::supply(direct) {
        let cells = draw(&supply.points(&range), '=');
        names.push(Named { cells, share: 0.7, text: format!("= {}: surge", path.supply_words()) });
    }
    if let Some(run) = &runs.reduced {
        let cells = draw(&course(run, &range).points, 'o');
        names.push(Named { cells, share: 0.6, text: format!("o {}", plain(&run.told.label)) });
    }
    let cells = draw(&decided.points, '*');
    names.push(Named { cells, share: 0.5, text: format!("* {}", plain(&subject.direct.label)) });
    if let Some(nearest) = decided.nearest {
        screen.put((x.place(nearest.start.0), y.place(nearest.start.1)), 'X');
        screen.put((x.place(nearest.limit.0), y.place(nearest.limit.1)), 'X');
    }
    for Named { cells, share, text } in names.iter().rev() {
        screen.name(visible(cells, *share), text);
    }
    let mut out = format!("{:>MARGIN$} how long\n", "");
    let times = y.times();
    for (row, line) in screen.cells.iter().enumerate() {
        let tick = times.iter().find(|t| y.place(t.at).round() as usize == row);
        let (label, edge) = tick.map_or(("", '|'), |t| (t.label.as_str(), '+'));
        let line: String = line.iter().collect();
        out.push_str(format!("{label:>MARGIN$} {edge}{line}").trim_end());
        out.push('\n');
    }
    let (mut edge, mut below) = (vec!['-'; COLUMNS], vec![' '; COLUMNS + 6]);
    let mut free = 0;
    for tick in x.decades().iter().filter(|t| !t.label.is_empty()) {
        let at = x.place(tick.at).round() as usize;
        if at >= COLUMNS {
            continue;
        }
        edge[at] = '+';
        let from = at.saturating_sub(tick.label.len() / 2);
        if from >= free {
            for (i, c) in tick.label.chars().enumerate() {
                below[from + i] = c;
            }
            free = from + tick.label.len() + 1;
        }
    }
    let set = |line: Vec<char>| line.into_iter().collect::<String>();
    out.push_str(&format!("{:>MARGIN$} +{}\n", "", set(edge)));
    out.push_str(&format!("{:>MARGIN$}  {}\n", "A a line", set(below).trim_end()));
    if let Some(nearest) = decided.nearest {
        let what = if nearest.check == "surge" { path.supply_words() } else { "breaker" };
        out.push_str(&format!(
            "X: {what}, {} A asked, {} A allowed for a start this long: {}\n",
            number(nearest.start.0),
            number(nearest.limit.0),
            spare(nearest.margin)
        ));
    }
    Some(out)
}

/// A cell of a curve that is on the screen, so far along what is.
fn visible(cells: &[(f64, f64)], share: f64) -> (f64, f64) {
    let on = |p: &(f64, f64)| {
        (0.0..COLUMNS as f64 - 0.5).contains(&p.0) && (0.0..LINES as f64 - 0.5).contains(&p.1)
    };
    // between points, too: a step has but two
    let fine: Vec<(f64, f64)> = cells
        .windows(2)
        .flat_map(|pair| {
            (0..20).map(move |i| {
                let s = f64::from(i) / 20.0;
                (pair[0].0 + s * (pair[1].0 - pair[0].0), pair[0].1 + s * (pair[1].1 - pair[0].1))
            })
        })
        .filter(on)
        .collect();
    fine.get((share * fine.len() as f64) as usize).or(fine.first()).copied().unwrap_or_default()
}

/// A label in ASCII, not too long.
fn plain(text: &str) -> String {
    let kept: String =
        text.chars().map(|c| if c.is_ascii() && !c.is_control() { c } else { '?' }).take(40).collect();
    kept.trim_end().to_owned()
}
