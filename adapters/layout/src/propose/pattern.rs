//! A pattern from lines that are alike: words that are the same stay, words that differ become placeholders.

use crate::propose::guess;
use crate::propose::titles::Found;
use spheresum_core::intake::text::{Unit, number};

/// The pattern of some lines; `None` where they are not alike.
pub(super) fn pattern(texts: &[&str]) -> Option<Found> {
    let lines: Vec<Vec<&str>> = texts
        .iter()
        .map(|t| t.split_whitespace().collect())
        .collect();
    let first = lines.first()?;
    if first.is_empty() || lines.iter().any(|l| l.len() != first.len()) {
        return None;
    }
    let mut words: Vec<String> = Vec::new();
    let (mut remarks, mut taken): (Vec<String>, Vec<String>) = (Vec::new(), Vec::new());
    let mut used: Vec<String> = Vec::new();
    for at in 0..first.len() {
        let column: Vec<&str> = lines.iter().filter_map(|l| l.get(at).copied()).collect();
        // A lone sign, as in `Phi = 30`, is no key.
        let names = |w: &&String| w.contains(char::is_alphabetic) && !w.contains('{');
        let before = words.iter().rev().take(2).find(names).cloned();
        let behind = first.get(at + 1).copied();
        let Some((front, values, back)) = differing(&column, behind) else {
            words.push(escaped(first.get(at)?)?);
            continue;
        };
        let key = if front.is_empty() {
            before.unwrap_or_default()
        } else {
            front.to_string()
        };
        let unit = if back.is_empty() {
            behind.unwrap_or_default()
        } else {
            back
        };
        let mut guessed = guess::placeholder(&key, &values, unit);
        if used.contains(&guessed.placeholder) && guessed.placeholder != "{skip}" {
            guessed = guess::Placeholder::unknown();
        }
        used.push(guessed.placeholder.clone());
        if !guessed.remark.is_empty() {
            remarks.push(guessed.remark);
        }
        taken.extend(guessed.words);
        words.push(format!(
            "{}{}{}",
            escaped(front)?,
            guessed.placeholder,
            escaped(back)?
        ));
    }
    Some(Found {
        pattern: words.join(" "),
        remark: remarks.join("; "),
        words: taken,
    })
}

/// Braces cannot stand in a pattern.
fn escaped(text: &str) -> Option<String> {
    (!text.contains(['{', '}'])).then(|| text.to_string())
}

/// The part of a word that differs between lines, with what stands around it; `None` where nothing differs. A number in front of a
/// unit of frequency counts as one that could differ.
fn differing<'a>(
    column: &[&'a str],
    behind: Option<&str>,
) -> Option<(&'a str, Vec<&'a str>, &'a str)> {
    let first = *column.first()?;
    if column.iter().all(|w| *w == first) {
        let is_frequency = behind
            .and_then(|b| Unit::parse(b.trim_end_matches([',', ';', '.', ')'])))
            .is_some_and(|u| matches!(u, Unit::Frequency(_)));
        let is_number = number::whole(first, b'.').or_else(|| number::whole(first, b','));
        return (is_frequency && is_number.is_some()).then(|| ("", column.to_vec(), ""));
    }
    let prefix = column.iter().fold(first, |p, w| common_front(p, w));
    // The cut is never inside a number or a word.
    let front = prefix.trim_end_matches(is_of_value);
    let rests: Vec<&str> = column.iter().filter_map(|w| w.get(front.len()..)).collect();
    let suffix = rests.iter().fold(*rests.first()?, |s, w| common_back(s, w));
    let back = suffix.trim_start_matches(is_of_value);
    let values: Vec<&str> = rests.iter().filter_map(|w| w.strip_suffix(back)).collect();
    if values.iter().any(|v| v.is_empty()) {
        return Some(("", column.to_vec(), ""));
    }
    Some((front, values, back))
}

fn common_front<'a>(a: &'a str, b: &str) -> &'a str {
    let same = a.char_indices().zip(b.chars()).find(|((_, x), y)| x != y);
    let end = same.map_or(a.len().min(b.len()), |((at, _), _)| at);
    a.get(..end).unwrap_or_default()
}

fn common_back<'a>(a: &'a str, b: &str) -> &'a str {
    let same = a
        .char_indices()
        .rev()
        .zip(b.chars().rev())
        .find(|((_, x), y)| x != y);
    let start = match same {
        Some(((at, c), _)) => at + c.len_utf8(),
        None => a.len().saturating_sub(b.len()),
    };
    a.get(start..).unwrap_or_default()
}

fn is_of_value(c: char) -> bool {
    c.is_alphanumeric() || matches!(c, '.' | ',' | '-' | '+')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(texts: &[&str]) -> Option<String> {
        pattern(texts).map(|f| f.pattern)
    }

    #[test]
    fn what_differs_becomes_a_placeholder() {
        for (texts, want) in [
            (
                [
                    "Polarisation: V  Frequency: 868.3 MHz",
                    "Polarisation: H  Frequency: 868.3 MHz",
                ],
                "Polarisation: {polarisation} Frequency: {frequency} MHz",
            ),
            (["Phi = 0", "Phi = 30"], "Phi = {phi_deg}"),
            (["phi=0 deg", "phi=30 deg"], "phi={phi} deg"),
            (["phi=0° (cut", "phi=90° (cut"], "phi={phi}° (cut"),
            (
                ["Scan 1 of 12: x", "Scan 2 of 12: x"],
                "Scan {skip} of 12: x",
            ),
            (["roll 5", "roll 50"], "roll {?}"),
            (["Frequency: 868.3", "Frequency: 869.5"], "Frequency: {?}"),
        ] {
            assert_eq!(of(&texts).as_deref(), Some(want));
        }
        assert_eq!(of(&["a b", "a b c"]), None);
        assert_eq!(of(&["a {b} 1", "a {b} 2"]), None);
    }
}
