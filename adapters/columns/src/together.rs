//! Numbers that run together: `-12.345-123.456`.

use spheresum_core::intake::text::fortran::{Style, number};

/// Most texts that are taken apart at once, and their longest.
const MOST_TEXTS: usize = 8;
const LONGEST: usize = 80;
/// Steps of a search.
const STEPS: usize = 20_000;
/// Most ways that are worth showing.
const MOST_WAYS: usize = 4;

/// How a row's texts may be taken apart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Ways {
    /// Not into as many numbers as are wanted.
    None,
    /// In these ways; the parts of the texts that can be taken apart.
    Few(Vec<String>),
    /// In too many to show.
    Many,
}

/// True for a text that may be several numbers, or stars, without blanks between them.
pub(crate) fn is_open(text: &str) -> bool {
    let of_numbers = |b: u8| b.is_ascii_digit() || b"+-.,eEdDqQ*".contains(&b);
    let both_signs = text.contains(',') && (text.contains('.') || text.ends_with(','));
    !both_signs
        && text.bytes().all(of_numbers)
        && text.bytes().any(|b| b.is_ascii_digit())
        && number(text).is_none_or(|n| n.style == Style::Letterless)
}

/// The ways to make `wanted` numbers of a row's texts.
pub(crate) fn ways(texts: &[&str], wanted: usize) -> Ways {
    let open: Vec<&str> = texts.iter().copied().filter(|t| is_open(t)).collect();
    let closed = texts.len() - open.len();
    let Some(wanted) = wanted.checked_sub(closed).filter(|w| *w >= open.len()) else {
        return Ways::None;
    };
    if open.is_empty() {
        return Ways::None;
    }
    if open.len() > MOST_TEXTS || open.iter().any(|t| t.len() > LONGEST) {
        return Ways::Many;
    }
    let mut search = Search {
        texts: &open,
        wanted,
        steps: 0,
        found: Vec::new(),
    };
    search.go(0, 0, &mut Vec::new());
    match search.found.len() {
        _ if search.steps > STEPS => Ways::Many,
        0 => Ways::None,
        n if n > MOST_WAYS => Ways::Many,
        _ => Ways::Few(search.found),
    }
}

/// True for a number as a format writes it behind another: an exponent has two digits or more, and a decimal sign in front of it
/// where its letter is left out; only behind an exponent may a decimal sign come first.
fn is_part(text: &str, before: Option<&str>) -> bool {
    let digits = |e: &str| e.trim_start_matches(['+', '-']).len();
    let open_start = !text.starts_with('.')
        || before.is_none_or(|b| number(b).is_none_or(|n| n.exponent.is_some()));
    open_start
        && number(text).is_some_and(|n| {
            n.exponent.is_none_or(|e| digits(e) >= 2)
                && (n.style != Style::Letterless || n.has_decimal_sign())
        })
}

struct Search<'s, 't> {
    texts: &'s [&'t str],
    wanted: usize,
    steps: usize,
    found: Vec<String>,
}

impl<'t> Search<'_, 't> {
    fn go(&mut self, index: usize, at: usize, parts: &mut Vec<&'t str>) {
        self.steps += 1;
        let Some(text) = self.texts.get(index) else {
            if parts.len() == self.wanted {
                self.found.push(parts.join(" | "));
            }
            return;
        };
        let rest = text.get(at..).unwrap_or_default();
        let too_many = parts.len() + (self.texts.len() - index) > self.wanted;
        if too_many || self.steps > STEPS || self.found.len() > MOST_WAYS {
            return;
        }
        for end in 1..=rest.len() {
            let (part, behind) = rest.split_at(end);
            let stars = part.bytes().all(|b| b == b'*') && !behind.starts_with('*');
            if !stars && !is_part(part, parts.last().copied().filter(|_| at > 0)) {
                continue;
            }
            parts.push(part);
            match behind.is_empty() {
                true => self.go(index + 1, 0, parts),
                false => self.go(index, at + end, parts),
            }
            parts.pop();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn few(texts: &[&str], wanted: usize) -> Vec<String> {
        match ways(texts, wanted) {
            Ways::Few(ways) => ways,
            Ways::None => Vec::new(),
            Ways::Many => vec!["many".to_string()],
        }
    }

    #[test]
    fn possible_ways() {
        assert_eq!(
            few(&["30.0", "-12.345-123.456"], 3),
            ["-12.345 | -123.456", "-12.345-123 | .456"]
        );
        assert_eq!(
            few(&["0.000000D+000.100000D+01"], 2),
            ["0.000000D+00 | 0.100000D+01", "0.000000D+000 | .100000D+01"]
        );
        assert_eq!(few(&["1.0-103"], 2), ["1.0 | -103"]);
        assert_eq!(few(&["****-1.5"], 2), ["**** | -1.5"]);
        assert_eq!(few(&["12.345123.456"], 2), ["many"]);
        assert_eq!(few(&["-1.5-2.5"], 5), [""; 0]);
        assert_eq!(few(&["1.5", "2.5"], 3), [""; 0]);
        assert_eq!(
            few(&["-1.5-2.5", "-3.5-4.5"], 4),
            ["-1.5 | -2.5 | -3.5 | -4.5"]
        );
    }

    #[test]
    fn hostile_texts_end() {
        let long = "1-1".repeat(26);
        assert_eq!(ways(&[long.as_str(); 8], 200), Ways::Many);
        assert_eq!(ways(&["1-1".repeat(9000).as_str()], 20), Ways::Many);
    }
}
