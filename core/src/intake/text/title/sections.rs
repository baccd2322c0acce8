//! Titles as sections: what a block takes over from titles above its own.

/// What a title may say once for several blocks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The frequency.
    Frequency,
    /// The polarisation.
    Polarisation,
    /// The part of a field.
    Part,
    /// The fixed angle of a cut.
    Angle,
}

const ALL: [Kind; KINDS] = [Kind::Frequency, Kind::Polarisation, Kind::Part, Kind::Angle];

/// Number of kinds.
pub const KINDS: usize = 4;

/// For each block the block whose title says each kind, if any does. `said` lists what each title says.
///
/// A title may leave out what one above it says, as a text does under outer headings: under `868.3 MHz, theta`, a title `phi`
/// keeps the frequency. That is so only where outer and inner can be told apart: of any two kinds, every title that says the one
/// says the other as well. Otherwise nothing is taken over.
#[must_use]
pub fn inherit(said: &[Vec<Kind>]) -> Vec<[Option<usize>; KINDS]> {
    // For each pair: a title says the first and not the second.
    let mut without = [[false; KINDS]; KINDS];
    for title in said {
        for kind in title {
            for other in ALL.iter().filter(|o| !title.contains(o)) {
                without[*kind as usize][*other as usize] = true;
            }
        }
    }
    let is_nested = |kind: usize| (0..KINDS).all(|o| !(without[kind][o] && without[o][kind]));
    let mut last = [None; KINDS];
    let mut found = Vec::with_capacity(said.len());
    for (block, title) in said.iter().enumerate() {
        let mut from = [None; KINDS];
        for kind in ALL {
            let at = kind as usize;
            if title.contains(&kind) {
                last[at] = Some(block);
                from[at] = last[at];
            } else if is_nested(at) {
                from[at] = last[at];
            }
        }
        found.push(from);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use Kind::{Frequency as F, Part as I, Polarisation as P};

    fn of(said: &[&[Kind]], kind: Kind) -> Vec<Option<usize>> {
        let said: Vec<Vec<Kind>> = said.iter().map(|s| s.to_vec()).collect();
        inherit(&said).iter().map(|f| f[kind as usize]).collect()
    }

    #[test]
    fn titles_are_sections() {
        let own = [Some(0), Some(1), Some(2)];
        assert_eq!(of(&[&[F, P], &[P, F], &[F, P]], F), own);
        assert_eq!(of(&[&[P, F], &[P], &[P]], F), [Some(0); 3]);
        let titles: &[&[Kind]] = &[&[F, P, I], &[I], &[P, I], &[I], &[F, P, I]];
        let want = [Some(0), Some(0), Some(0), Some(0), Some(4)];
        assert_eq!(of(titles, F), want);
        let want = [Some(0), Some(0), Some(2), Some(2), Some(4)];
        assert_eq!(of(titles, P), want);
        // Neither is inside the other: is the second block theta, or was its polarisation forgotten?
        let titles: &[&[Kind]] = &[&[F, P], &[F], &[P]];
        assert_eq!(of(titles, P), [Some(0), None, Some(2)]);
        assert_eq!(of(titles, F), [Some(0), Some(1), None]);
        // Nothing said, nothing found.
        assert_eq!(of(&[&[], &[P]], P), [None, Some(1)]);
        assert!(inherit(&[]).is_empty());
    }
}
