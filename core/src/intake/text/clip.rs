//! Texts of a file inside a message: never longer than a reader wants.

use std::fmt;

/// A text, shortened if long.
#[derive(Clone, Copy)]
pub struct Clip<'a>(pub &'a str);

impl Clip<'_> {
    /// Most characters shown.
    const MOST: usize = 60;

    fn parts(&self) -> (&str, &'static str) {
        match self.0.char_indices().nth(Self::MOST) {
            Some((end, _)) => (&self.0[..end], "…"),
            None => (self.0, ""),
        }
    }
}

impl fmt::Display for Clip<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (text, rest) = self.parts();
        write!(f, "{text}{rest}")
    }
}

impl fmt::Debug for Clip<'_> {
    /// In quotes, with escapes.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (text, rest) = self.parts();
        write!(f, "{text:?}{rest}")
    }
}

/// Some of many texts, joined.
pub fn list<T: AsRef<str>>(texts: &[T], most: usize, separator: &str) -> String {
    let mut shown: Vec<String> = texts
        .iter()
        .take(most)
        .map(|t| Clip(t.as_ref()).to_string())
        .collect();
    if texts.len() > most {
        shown.push("…".to_string());
    }
    shown.join(separator)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_texts_are_clipped() {
        assert_eq!(format!("{:?}", Clip("a\tb")), "\"a\\tb\"");
        assert_eq!(
            Clip(&"θ".repeat(100)).to_string(),
            format!("{}…", "θ".repeat(60))
        );
        assert_eq!(list(&["a", "b", "c"], 2, " | "), "a | b | …");
    }
}
