//! What one line is.

use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Entry, field};

/// A `key = value`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pair<'a> {
    /// Its line.
    pub(crate) line: Line<'a>,
    /// Byte range of the key in the line.
    pub(crate) key: (usize, usize),
    /// Byte range of the value, without quotes, remarks and signs behind it.
    pub(crate) value: (usize, usize),
}

impl<'a> Pair<'a> {
    /// The key, as written.
    pub(crate) fn key_text(&self) -> &'a str {
        self.line
            .text
            .get(self.key.0..self.key.1)
            .unwrap_or_default()
    }

    /// The value, as written.
    pub(crate) fn value_text(&self) -> &'a str {
        self.line
            .text
            .get(self.value.0..self.value.1)
            .unwrap_or_default()
    }

    /// The key as keys are compared: in lower case, with one blank for several.
    pub(crate) fn name(&self) -> String {
        let words: Vec<&str> = self.key_text().split_whitespace().collect();
        words.join(" ").to_lowercase()
    }

    /// The pair as an entry of the file.
    pub(crate) fn entry(&self) -> Entry<'a> {
        Entry {
            key: self.key_text(),
            value: self.value_text(),
            line: self.line,
        }
    }
}

/// A line that parts records.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Mark<'a> {
    /// `---`, `===`, `***`.
    Rule,
    /// `[name]`, `[[name]]`.
    Section(&'a str),
    /// `{`, `name {`.
    Open(&'a str),
    /// `}`, `},`, `};`.
    Close,
}

/// What a line is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Kind<'a> {
    /// Nothing stands in it.
    Blank,
    /// A comment, with the entry it may hold.
    Comment(Option<Entry<'a>>),
    /// A line that parts records.
    Mark(Mark<'a>),
    /// A `key = value`.
    Pair(Pair<'a>),
    /// Anything else.
    Other,
}

/// What a line is.
pub(crate) fn kind(line: Line<'_>) -> Kind<'_> {
    let text = line.text.trim();
    if text.is_empty() {
        return Kind::Blank;
    }
    if field::comment(text).is_some() {
        return Kind::Comment(Entry::of(line, false));
    }
    if let Some(mark) = mark(text) {
        return Kind::Mark(mark);
    }
    pair(line).map_or(Kind::Other, Kind::Pair)
}

fn mark(text: &str) -> Option<Mark<'_>> {
    let bytes = text.as_bytes();
    let first = *bytes.first()?;
    if bytes.len() >= 3 && b"-=*_~+".contains(&first) && bytes.iter().all(|b| *b == first) {
        return Some(Mark::Rule);
    }
    if let Some(inner) = text.strip_prefix('[').and_then(|t| t.strip_suffix(']')) {
        let inner = inner
            .strip_prefix('[')
            .and_then(|t| t.strip_suffix(']'))
            .unwrap_or(inner);
        return (!inner.contains(['[', ']', '='])).then(|| Mark::Section(inner.trim()));
    }
    if matches!(text, "}" | "}," | "};") {
        return Some(Mark::Close);
    }
    let name = text.strip_suffix('{')?.trim();
    let of_name = |c: char| c.is_alphanumeric() || matches!(c, ' ' | '_' | '-' | '.' | '#');
    name.chars().all(of_name).then_some(Mark::Open(name))
}

/// The pair of a line: the first `=` or `:` parts key and value, or the only run of tabulators where there is neither.
fn pair(line: Line<'_>) -> Option<Pair<'_>> {
    let text = line.text;
    let at = match text.find(['=', ':']) {
        Some(at) => at,
        None => text.trim_end().find('\t').filter(|at| *at > 0)?,
    };
    let key = trimmed(text, 0, at);
    if !is_key(text.get(key.0..key.1)?) {
        return None;
    }
    let value = value(text, at + 1);
    // A line of tabulators is a pair only if it has two parts.
    let by_tab = text.as_bytes().get(at) == Some(&b'\t');
    let is_clear = !by_tab || !text.get(value.0..value.1)?.contains('\t');
    is_clear.then_some(Pair { line, key, value })
}

/// Keys start with a letter, and hold letters, digits, blanks and what units are written with.
fn is_key(text: &str) -> bool {
    let of_key = |c: char| c.is_alphanumeric() || " \t_-./[]()°√".contains(c);
    text.starts_with(char::is_alphabetic) && text.chars().all(of_key)
}

fn trimmed(text: &str, start: usize, end: usize) -> (usize, usize) {
    let part = text.get(start..end).unwrap_or_default();
    let start = start + part.len() - part.trim_start().len();
    (start, start + part.trim().len())
}

/// The value from an offset on: without a remark behind ` #`, one sign `,` or `;` at its end, and quotes around it.
fn value(text: &str, from: usize) -> (usize, usize) {
    let (start, end) = trimmed(text, from, text.len());
    let whole = text.get(start..end).unwrap_or_default();
    if let Some(quote) = whole.chars().next().filter(|c| matches!(c, '"' | '\''))
        && let Some(close) = whole[1..].find(quote)
        && ends_there(&whole[close + 2..])
    {
        return (start + 1, start + 1 + close);
    }
    let remark = whole
        .match_indices('#')
        .map(|(at, _)| at)
        .find(|at| *at == 0 || whole[..*at].ends_with([' ', '\t']));
    let (start, end) = trimmed(text, start, remark.map_or(end, |at| start + at));
    let bare = text.get(start..end).unwrap_or_default();
    match bare.strip_suffix([',', ';']) {
        Some(front) if !front.is_empty() => trimmed(text, start, start + front.len()),
        _ => (start, end),
    }
}

/// True for what may stand behind a closing quote.
fn ends_there(rest: &str) -> bool {
    let rest = rest.trim_start();
    let rest = rest.strip_prefix([',', ';']).unwrap_or(rest).trim_start();
    rest.is_empty() || rest.starts_with('#')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(text: &str) -> Line<'_> {
        Line {
            number: 1,
            at: 0,
            text,
        }
    }

    fn pair_of(text: &str) -> Option<(&str, &str)> {
        match kind(line(text)) {
            Kind::Pair(pair) => Some((pair.key_text(), pair.value_text())),
            _ => None,
        }
    }

    fn mark_of(text: &str) -> Option<Mark<'_>> {
        match kind(line(text)) {
            Kind::Mark(mark) => Some(mark),
            _ => None,
        }
    }

    #[test]
    fn pairs() {
        for (text, key, value) in [
            ("theta_deg = 30", "theta_deg", "30"),
            ("  Theta [deg]=30 ", "Theta [deg]", "30"),
            ("EIRP theta: -12.3 dBm", "EIRP theta", "-12.3 dBm"),
            ("phi_deg\t\t45", "phi_deg", "45"),
            ("time: exp(-jwt) = e", "time", "exp(-jwt) = e"),
            ("pol = \"theta\",  # vertical feed", "pol", "theta"),
            ("pol = 'a # b'", "pol", "a # b"),
            ("a = 5, # remark", "a", "5"),
            ("a = # remark", "a", ""),
            ("a =", "a", ""),
            ("a = b#c", "a", "b#c"),
            ("a = \"open", "a", "\"open"),
            ("θ = 3°", "θ", "3°"),
            ("a = ,", "a", ","),
        ] {
            assert_eq!(pair_of(text), Some((key, value)), "{text}");
        }
        for text in [
            "30 = a",
            "= 3",
            "theta 30",
            "a\tb\tc",
            "\"theta\": 3",
            "- theta: 3",
            "0,0,-12.5",
        ] {
            assert!(matches!(kind(line(text)), Kind::Other), "{text}");
        }
    }

    #[test]
    fn marks() {
        assert_eq!(mark_of("-----"), Some(Mark::Rule));
        assert_eq!(mark_of("[reading 12]"), Some(Mark::Section("reading 12")));
        assert_eq!(mark_of("[[reading]]"), Some(Mark::Section("reading")));
        assert_eq!(mark_of(" {"), Some(Mark::Open("")));
        assert_eq!(mark_of("reading 12 {"), Some(Mark::Open("reading 12")));
        assert_eq!(mark_of("},"), Some(Mark::Close));
        for text in ["--", "-=-", "[a] b", "{ a = 1 }", "} {", "[a = 1]"] {
            assert_eq!(mark_of(text), None, "{text}");
        }
    }

    #[test]
    fn names_are_compared_without_case() {
        let name = |text| match kind(line(text)) {
            Kind::Pair(pair) => pair.name(),
            _ => String::new(),
        };
        assert_eq!(name("EIRP   Theta = 1"), name("eirp theta: 2"));
    }
}
