//! Which known word a misspelt one was meant to be.

/// The candidate nearest to a word, if one is near enough to be what was meant; of equally near ones the first.
///
/// Near is by the fewest letters that are put in, left out, changed or swapped with their neighbour (optimal string alignment;
/// letters of ASCII without regard to case), and at most one for each three letters of the word, one at least. Words of more than
/// 64 characters have no neighbour.
///
/// ```
/// use spheresum_core::spelling::nearest;
/// assert_eq!(nearest("delimted", ["cuts", "delimited"]), Some("delimited"));
/// assert_eq!(nearest("spreadsheet", ["cuts", "delimited"]), None);
/// ```
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let letters = letters(word)?;
    let most = (letters.len() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        let Some(other) = self::letters(candidate) else {
            continue;
        };
        if other.len().abs_diff(letters.len()) > most {
            continue;
        }
        let distance = distance(&letters, &other);
        // A word of which nothing is left is another word.
        let kept = distance < letters.len().max(other.len());
        if kept && distance <= most && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// The characters of a word, unless they are too many to be compared.
fn letters(word: &str) -> Option<Vec<char>> {
    const MOST: usize = 64;
    let letters: Vec<char> = word.chars().take(MOST + 1).collect();
    (letters.len() <= MOST).then(|| letters.iter().map(char::to_ascii_lowercase).collect())
}

/// Optimal string alignment distance: row by row, each from the two rows before.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, y) in b.iter().enumerate() {
            let changed = last[j] + usize::from(x != y);
            let mut least = changed.min(last[j + 1] + 1).min(row[j] + 1);
            if i > 0 && j > 0 && *x == b[j - 1] && a[i - 1] == *y {
                least = least.min(before[j - 1] + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut last, row);
    }
    last.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances_are_the_textbook_ones() {
        let between = |a: &str, b: &str| {
            let of = |w: &str| w.chars().collect::<Vec<_>>();
            distance(&of(a), &of(b))
        };
        // From memory of the textbooks: the usual examples for Levenshtein and for optimal string alignment.
        for (a, b, want) in [
            ("", "", 0),
            ("abc", "", 3),
            ("", "abc", 3),
            ("kitten", "sitting", 3),
            ("sunday", "saturday", 3),
            ("ab", "ba", 1),
            ("ca", "abc", 3),
            ("φθ", "θφ", 1),
        ] {
            assert_eq!(between(a, b), want, "{a} {b}");
            assert_eq!(between(b, a), want, "{b} {a}");
        }
    }

    #[test]
    fn what_is_near_is_found() {
        let ids = ["delimited", "matrix", "cuts", "json"];
        for (word, want) in [
            ("delimited", Some("delimited")),
            ("Delimetid", Some("delimited")),
            ("CUTS", Some("cuts")),
            ("cust", Some("cuts")),
            ("cut", Some("cuts")),
            ("jsn", Some("json")),
            ("xml", None),
            ("", None),
            ("touchstone", None),
        ] {
            assert_eq!(nearest(word, ids), want, "{word}");
        }
        assert_eq!(nearest("b", ["a", "c"]), None);
        assert_eq!(nearest("ab", ["ac", "ad"]), Some("ac"));
        let long = "a".repeat(1 << 20);
        assert_eq!(nearest(&long, [long.as_str()]), None);
        assert_eq!(nearest("a", [long.as_str()]), None);
    }
}
