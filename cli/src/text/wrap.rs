//! Breaking text into lines.

use super::WIDTH;
use unicode_width::UnicodeWidthStr;

/// A blank that lines are not broken at; it is printed as a plain one.
const GLUE: &str = "\u{a0}";

/// A text that stays on one line.
pub fn together(text: &str) -> String {
    text.replace(' ', GLUE)
}

/// Lines of at most `width` characters, broken at blanks. A word that is longer stands alone.
pub fn lines(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_ascii_whitespace() {
        if !line.is_empty() && line.width() + 1 + word.width() > width {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(&word.replace(GLUE, " "));
    }
    lines.push(line);
    lines
}

/// A paragraph with an indent, and a line feed at its end.
pub fn paragraph(text: &str, indent: usize) -> String {
    hanging(&" ".repeat(indent), text, indent)
}

/// A paragraph whose first line starts with `first` and whose others are indented. Style codes in `first` count for nothing.
pub fn hanging(first: &str, text: &str, indent: usize) -> String {
    let mut out = first.to_string();
    for (n, line) in lines(text, WIDTH.saturating_sub(indent)).iter().enumerate() {
        if n > 0 {
            out.push_str(&" ".repeat(indent));
        }
        out.push_str(line);
        out.push('\n');
    }
    out
}
