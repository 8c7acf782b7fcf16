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

/// The lines that differ, as a list of what went (`-`) and what came (`+`), each with its number in its page: the fewest that
/// turn one page into the other, so that a line put in does not make all the rest differ.
pub fn differences(committed: &str, fresh: &str) -> Vec<String> {
    let (a, b): (Vec<&str>, Vec<&str>) = (committed.lines().collect(), fresh.lines().collect());
    let alike = a.iter().zip(&b).take_while(|(x, y)| same(x, y)).count();
    let (a, b) = (&a[alike..], &b[alike..]);
    // longest common part of what is left, from the end
    let wide = b.len() + 1;
    let mut common = vec![0usize; (a.len() + 1) * wide];
    for i in (0..a.len()).rev() {
        for j in (0..b.len()).rev() {
            common[i * wide + j] = if same(a[i], b[j]) {
                1 + common[(i + 1) * wide + j + 1]
            } else {
                common[(i + 1) * wide + j].max(common[i * wide + j + 1])
            };
        }
    }
    let (mut i, mut j, mut out) = (0, 0, Vec::new());
    while i < a.len() || j < b.len() {
        if i < a.len() && j < b.len() && same(a[i], b[j]) {
            (i, j) = (i + 1, j + 1);
        } else if j == b.len() || (i < a.len() && common[(i + 1) * wide + j] >= common[i * wide + j + 1]) {
            out.push(format!("-{}: {}", alike + i + 1, a[i]));
            i += 1;
        } else {
            out.push(format!("+{}: {}", alike + j + 1, b[j]));
            j += 1;
        }
    }
    out
}
