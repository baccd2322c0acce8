//! The known word that is nearest to a misspelt one.

/// The nearest of the known words, by the number of letters to add, take away or change; `None` where all are far.
pub(crate) fn nearest<'k>(word: &str, known: impl Iterator<Item = &'k str>) -> Option<&'k str> {
    let letters: Vec<char> = word.to_lowercase().chars().take(MOST).collect();
    let far = (letters.len() / 3).max(2);
    known
        .map(|k| (distance(&letters, k), k))
        .min_by_key(|(d, _)| *d)
        .filter(|(d, _)| *d <= far)
        .map(|(_, k)| k)
}

/// Longest word that is looked at, in characters.
const MOST: usize = 64;

/// Levenshtein's distance, row by row (V. I. Levenshtein, 1966).
fn distance(a: &[char], b: &str) -> usize {
    let mut row: Vec<usize> = (0..=a.len()).collect();
    for (i, letter) in b.chars().take(MOST).enumerate() {
        let mut corner = i;
        row[0] = i + 1;
        for (j, other) in a.iter().enumerate() {
            let changed = corner + usize::from(letter != *other);
            corner = row[j + 1];
            row[j + 1] = changed.min(corner + 1).min(row[j] + 1);
        }
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances() {
        let of = |a: &str, b: &str| distance(&a.chars().collect::<Vec<_>>(), b);
        // Textbook: kitten → sitting takes three changes.
        assert_eq!(of("kitten", "sitting"), 3);
        assert_eq!(of("", "abc"), 3);
        assert_eq!(of("abc", ""), 3);
        assert_eq!(of("theta", "theta"), 0);
    }

    #[test]
    fn the_nearest_or_none() {
        let known = ["theta_deg", "phi_deg", "readings"];
        let of = |word: &str| nearest(word, known.iter().copied());
        assert_eq!(of("Theta_degr"), Some("theta_deg"));
        assert_eq!(of("reading"), Some("readings"));
        assert_eq!(of("colour"), None);
    }
}
