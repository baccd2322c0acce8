//! Titles of blocks, from the lines that stand above each of them.

use crate::propose::pattern;

/// A pattern with a remark on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Found {
    /// The pattern.
    pub(super) pattern: String,
    /// What is a guess in it.
    pub(super) remark: String,
    /// Words that it takes for polarisations.
    pub(super) words: Vec<String>,
}

/// The patterns of the lines above the blocks, and how many lines they are. `None`: the blocks do not have the same lines.
pub(super) fn titles(gaps: &[Vec<&str>]) -> Option<(Vec<Found>, usize)> {
    let count = gaps.get(1)?.len();
    let others_alike = gaps.iter().skip(1).all(|g| g.len() == count);
    let first = gaps.first()?;
    if count == 0 || !others_alike || first.len() < count {
        return None;
    }
    let first = first.get(first.len() - count..)?;
    let mut found = Vec::new();
    for line in 0..count {
        let mut texts = vec![*first.get(line)?];
        for gap in gaps.iter().skip(1) {
            texts.push(gap.get(line)?);
        }
        found.push(pattern::pattern(&texts)?);
    }
    Some((found, count))
}
