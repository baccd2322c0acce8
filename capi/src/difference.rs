//! A figure of two runs, compared.

use crate::finding::known;
use crate::handle::{Tagged, handle, peek};
use crate::string::Lazy;
use spheresum_core::compare::{ComparedFigure, FigureVerdict};
use std::ffi::c_char;

/// Number of a difference: value of the reference, in the figure's unit.
pub const SPHERESUM_DIFFERENCE_REFERENCE: i32 = 0;
/// Number of a difference: value of the test, in the figure's unit.
pub const SPHERESUM_DIFFERENCE_TEST: i32 = 1;
/// Number of a difference: test - reference, dB.
pub const SPHERESUM_DIFFERENCE_DB: i32 = 2;
/// Number of a difference: not less than this, dB.
pub const SPHERESUM_DIFFERENCE_LOWER_DB: i32 = 3;
/// Number of a difference: not more than this, dB.
pub const SPHERESUM_DIFFERENCE_UPPER_DB: i32 = 4;
/// Number of a difference: power of the test over that of the reference.
pub const SPHERESUM_DIFFERENCE_POWER_RATIO: i32 = 5;
/// Number of a difference: share of the power that is lost, per cent.
pub const SPHERESUM_DIFFERENCE_SHARE_LOST_PERCENT: i32 = 6;
/// Number of a difference: range of the test over that of the reference in free space.
pub const SPHERESUM_DIFFERENCE_RANGE_FACTOR_FREE_SPACE: i32 = 7;
/// Number of a difference: the same with the path-loss exponent of the options.
pub const SPHERESUM_DIFFERENCE_RANGE_FACTOR: i32 = 8;
/// Number of a difference: standard uncertainty, dB.
pub const SPHERESUM_DIFFERENCE_STANDARD_UNCERTAINTY_DB: i32 = 9;
/// Number of a difference: expanded uncertainty, dB.
pub const SPHERESUM_DIFFERENCE_EXPANDED_UNCERTAINTY_DB: i32 = 10;
/// Number of a difference: coverage factor of the expanded uncertainty.
pub const SPHERESUM_DIFFERENCE_COVERAGE_FACTOR: i32 = 11;

/// Verdict on a difference: larger than its expanded uncertainty.
pub const SPHERESUM_RESOLVED: i32 = 0;
/// Verdict on a difference: not larger than its expanded uncertainty.
pub const SPHERESUM_NOT_RESOLVED: i32 = 1;
/// Verdict on a difference: only a bound is known.
pub const SPHERESUM_BOUND_ONLY: i32 = 2;
/// Verdict on a difference: no uncertainty was given.
pub const SPHERESUM_NOT_ASSESSED: i32 = 3;

pub(crate) struct Inner {
    figure: ComparedFigure,
    texts: [Lazy; 2],
}

/// A figure of two runs, compared. Borrowed from the comparison.
pub struct SpheresumDifference(Tagged<Inner>);
handle!(
    SpheresumDifference,
    Inner,
    "spheresum_difference",
    b"sph-diff"
);

impl SpheresumDifference {
    pub(crate) fn all(figures: &[ComparedFigure]) -> Vec<Self> {
        let one = |f: &ComparedFigure| {
            Self::make(Inner {
                figure: f.clone(),
                texts: Default::default(),
            })
        };
        figures.iter().map(one).collect()
    }
}

/// Name of the figure, such as trp.
///
/// @param difference in: a difference, or NULL
/// @return text, never NULL; borrowed, valid as long as the difference
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_difference_name(
    difference: *const SpheresumDifference,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(difference) }.map_or(c"".as_ptr(), |d| d.texts[0].get(&d.figure.name))
}

/// Unit of the figure, such as dBm.
///
/// @param difference in: a difference, or NULL
/// @return text, never NULL; borrowed, valid as long as the difference
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_difference_unit(
    difference: *const SpheresumDifference,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(difference) }.map_or(c"".as_ptr(), |d| d.texts[1].get(d.figure.unit.symbol()))
}

/// Whether the measurement can tell the two apart.
///
/// @param difference in: a difference, or NULL
/// @return SPHERESUM_RESOLVED, _NOT_RESOLVED, _BOUND_ONLY or _NOT_ASSESSED, which it is for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_difference_verdict(
    difference: *const SpheresumDifference,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    match unsafe { peek(difference) }.map(|d| d.figure.verdict) {
        Some(FigureVerdict::Resolved) => SPHERESUM_RESOLVED,
        Some(FigureVerdict::NotResolved) => SPHERESUM_NOT_RESOLVED,
        Some(FigureVerdict::BoundOnly) => SPHERESUM_BOUND_ONLY,
        _ => SPHERESUM_NOT_ASSESSED,
    }
}

/// A number of a difference.
///
/// @param difference in: a difference, or NULL
/// @param which in: SPHERESUM_DIFFERENCE_...
/// @param out_number out, optional: the number; not written where it is not known
/// @return 1 where the number is known, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_difference_number(
    difference: *const SpheresumDifference,
    which: i32,
    out_number: *mut f64,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    let found = unsafe { peek(difference) }.and_then(|d| number(&d.figure, which));
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { known(found, out_number) }
}

fn number(figure: &ComparedFigure, which: i32) -> Option<f64> {
    match which {
        SPHERESUM_DIFFERENCE_REFERENCE => figure.reference,
        SPHERESUM_DIFFERENCE_TEST => figure.test,
        SPHERESUM_DIFFERENCE_DB => figure.difference_db,
        SPHERESUM_DIFFERENCE_LOWER_DB => figure.difference_lower_db,
        SPHERESUM_DIFFERENCE_UPPER_DB => figure.difference_upper_db,
        SPHERESUM_DIFFERENCE_POWER_RATIO => figure.power_ratio,
        SPHERESUM_DIFFERENCE_SHARE_LOST_PERCENT => figure.share_lost_percent,
        SPHERESUM_DIFFERENCE_RANGE_FACTOR_FREE_SPACE => figure.range_factor_free_space,
        SPHERESUM_DIFFERENCE_RANGE_FACTOR => figure.range_factor,
        SPHERESUM_DIFFERENCE_STANDARD_UNCERTAINTY_DB => figure.standard_uncertainty_db,
        SPHERESUM_DIFFERENCE_EXPANDED_UNCERTAINTY_DB => figure.expanded_uncertainty_db,
        SPHERESUM_DIFFERENCE_COVERAGE_FACTOR => figure.coverage_factor,
        _ => None,
    }
}
