//! Tables under tests/data: comment lines, a head, rows; cells may be quoted.

use std::collections::HashMap;

/// A row by column name.
#[derive(Debug, Clone, Default)]
pub struct Cells(HashMap<String, String>);

impl Cells {
    /// The cell as text; empty where there is no such column.
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).map_or("", String::as_str)
    }

    /// The cell as a number; `None` where it is empty or none.
    pub fn number(&self, column: &str) -> Option<f64> {
        self.text(column).parse().ok()
    }

    /// The same; what is no number is not a number, and no comparison with it holds.
    pub fn n(&self, column: &str) -> f64 {
        self.number(column).unwrap_or(f64::NAN)
    }

    /// Half of the last digit printed in a cell.
    pub fn half_digit(&self, column: &str) -> f64 {
        let decimals = self.text(column).split_once('.').map_or(0, |(_, d)| d.len());
        0.5 * 10f64.powi(-(decimals as i32))
    }
}

/// Reads a table.
pub fn rows(text: &str) -> Vec<Cells> {
    let mut lines = text.lines().filter(|l| !l.starts_with('#')).map(cells);
    let head = lines.next().unwrap_or_default();
    lines.map(|cells| Cells(head.iter().cloned().zip(cells).collect())).collect()
}

fn cells(line: &str) -> Vec<String> {
    let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(std::mem::take(&mut cell)),
            c => cell.push(c),
        }
    }
    cells.push(cell);
    cells
}
