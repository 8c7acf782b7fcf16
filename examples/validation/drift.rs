//! Whether two pages say the same, figures within rounding.

/// A piece of a line: text, or a figure as written.
#[derive(Debug, PartialEq)]
enum Token<'a> {
    Text(&'a str),
    Figure(f64, usize),
}

/// Cuts a line into figures with decimals and what stands between them. A figure without decimals is text: it
/// counts something.
fn tokens(line: &str) -> Vec<Token<'_>> {
    let of_figure = |c: char| c.is_ascii_digit() || c == '.';
    let (mut tokens, mut rest) = (Vec::new(), line);
    while let Some(from) = rest.find(of_figure) {
        let length = rest[from..].find(|c| !of_figure(c)).unwrap_or(rest.len() - from);
        let word = &rest[from..from + length];
        // the sign belongs to the figure; + and nothing are the same
        let signed = rest[..from].ends_with(['-', '+']);
        let before = &rest[..from - usize::from(signed)];
        let decimals = word.split_once('.').map_or(0, |(_, d)| d.len());
        match word.parse::<f64>() {
            Ok(x) if decimals > 0 => {
                let negative = signed && rest[..from].ends_with('-');
                tokens.push(Token::Text(before));
                tokens.push(Token::Figure(if negative { -x } else { x }, decimals));
            }
            _ => tokens.push(Token::Text(&rest[..from + length])),
        }
        rest = &rest[from + length..];
    }
    tokens.push(Token::Text(rest));
    tokens
}

/// Whether two lines say the same: text equal, figures to the last digit shown, that one off by one.
fn same(a: &str, b: &str) -> bool {
    if a == b {
        return true;
    }
    let (a, b) = (tokens(a), tokens(b));
    a.len() == b.len()
        && a.iter().zip(&b).all(|pair| match pair {
            (Token::Figure(x, m), Token::Figure(y, n)) => {
                // trailing zeros are not written: the coarser of the two may just have lost one
                let unit = 10f64.powi(-(*m.max(n) as i32));
                (x - y).abs() <= 1.001 * unit
            }
            (x, y) => x == y,
        })
}

/// The lines that differ, number, committed, fresh.
pub fn differences(committed: &str, fresh: &str) -> Vec<(usize, String, String)> {
    let (a, b): (Vec<&str>, Vec<&str>) = (committed.lines().collect(), fresh.lines().collect());
    (0..a.len().max(b.len()))
        .map(|i| (i, a.get(i).copied().unwrap_or_default(), b.get(i).copied().unwrap_or_default()))
        .filter(|(i, x, y)| (*i >= a.len()) != (*i >= b.len()) || !same(x, y))
        .map(|(i, x, y)| (i + 1, x.to_owned(), y.to_owned()))
        .collect()
}
