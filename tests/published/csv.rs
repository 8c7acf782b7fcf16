//! Tables under tests/data: comment lines, a head, rows; cells may be quoted.

use std::collections::HashMap;
use std::path::PathBuf;

/// A row by column name.
pub struct Row(HashMap<String, String>);

impl Row {
    /// The cell as text.
    pub fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}"))
    }

    /// The cell as a number; `None` where it is empty.
    pub fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| text.parse().unwrap_or_else(|_| panic!("{column}: {text:?} is no number")))
    }

    /// Half of the last digit printed in a cell.
    pub fn half_digit(&self, column: &str) -> f64 {
        let decimals = self.text(column).split_once('.').map_or(0, |(_, d)| d.len());
        0.5 * 10f64.powi(-(decimals as i32))
    }
}

/// Reads tests/data/`name`.
pub fn rows(name: &str) -> Vec<Row> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name);
    let text = std::fs::read_to_string(path).unwrap();
    let mut lines = text.lines().filter(|l| !l.starts_with('#')).map(cells);
    let head = lines.next().unwrap();
    lines
        .map(|cells| {
            assert_eq!(cells.len(), head.len(), "{cells:?}");
            Row(head.iter().cloned().zip(cells).collect())
        })
        .collect()
}

fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for c in line.chars() {
        match c {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            c => cells.last_mut().unwrap().push(c),
        }
    }
    cells
}
