//! What the built-in tables say of each quantity, by kind of source.

use spheresum_core::figure;
use spheresum_core::table::{self, Asked, Check, Input, SourceKind};
use std::collections::BTreeMap;

/// Rows about a quantity that speak for it: `gives`, `never` and `is`, snapshots left out.
#[derive(Clone, Debug, Default)]
pub struct Tally {
    /// Number of rows.
    pub rows: usize,
    /// Rows by kind of source; a row may have several.
    pub by_kind: BTreeMap<SourceKind, usize>,
    /// Rows of the kind `is`.
    pub states: usize,
}

/// Quantities beside the figures, as tables call them. Weights stand under their rule.
pub const OTHERS: [&str; 13] = [
    "noise-bias",
    "ring-weight of sine",
    "ring-weight of clenshaw-curtis",
    "mean-of-one of sine",
    "mean-of-one of clenshaw-curtis",
    "value",
    "amplitude",
    "sum",
    "mean",
    "power-change",
    "range-factor-free-space",
    "range-factor",
    "area-factor",
];

/// Every quantity that needs rows: the figures in their order, then the others.
pub fn quantities() -> Vec<String> {
    let figures = figure::specs().into_iter().map(|s| s.name.to_string());
    figures.chain(OTHERS.map(str::to_string)).collect()
}

/// The quantity that a row is about. A ratio is about what stands above the line.
fn about(of: &Asked, input: &Input) -> String {
    let (Asked::One(name) | Asked::Ratio(name, _)) = of;
    match input {
        Input::Weights { rule, .. } => {
            let word = name.split(' ').next().unwrap_or(name);
            format!("{word} of {rule}")
        }
        _ => name.clone(),
    }
}

/// Rows of all built-in tables, by what they are about.
pub fn tallies() -> BTreeMap<String, Tally> {
    let mut all: BTreeMap<String, Tally> = BTreeMap::new();
    for (name, text) in table::builtin() {
        for case in table::parse(name, text).unwrap().cases {
            for row in case.rows.iter().filter(|r| !r.is_snapshot()) {
                let of = match &row.check {
                    Check::Gives { of, .. } | Check::Never { of, .. } | Check::Is { of, .. } => of,
                    _ => continue,
                };
                let tally = all.entry(about(of, &case.input)).or_default();
                tally.rows += 1;
                tally.states += usize::from(matches!(row.check, Check::Is { .. }));
                let mut kinds: Vec<SourceKind> = row.sources.iter().map(|s| s.kind).collect();
                kinds.sort_unstable();
                kinds.dedup();
                for kind in kinds.into_iter().filter(|k| *k != SourceKind::Snapshot) {
                    *tally.by_kind.entry(kind).or_default() += 1;
                }
            }
        }
    }
    all
}
