//! Figures of a result.

use crate::finding::known;
use crate::handle::{Tagged, handle, peek};
use crate::string::Lazy;
use crate::{
    SPHERESUM_FIGURE_NOT_ABOVE_ZERO, SPHERESUM_FIGURE_REFUSED, SPHERESUM_FIGURE_VALUE,
    SPHERESUM_FIGURE_ZERO,
};
use spheresum_core::figure::{Figure, FigureState};
use std::ffi::c_char;

/// Number of a figure: its value, in the figure's unit.
pub const SPHERESUM_NUMBER_VALUE: i32 = 0;
/// Number of a figure: not less than this, under its assumption; of sensitivities the better side.
pub const SPHERESUM_NUMBER_LOWER: i32 = 1;
/// Number of a figure: not more than this, under its assumption.
pub const SPHERESUM_NUMBER_UPPER: i32 = 2;
/// Number of a figure: lower end of the interval that holds the true value with the coverage.
pub const SPHERESUM_NUMBER_INTERVAL_LOWER: i32 = 3;
/// Number of a figure: upper end of that interval.
pub const SPHERESUM_NUMBER_INTERVAL_UPPER: i32 = 4;
/// Number of a figure: probability of that interval, 0..1.
pub const SPHERESUM_NUMBER_COVERAGE: i32 = 5;
/// Number of a figure: standard uncertainty, dB.
pub const SPHERESUM_NUMBER_STANDARD_UNCERTAINTY_DB: i32 = 6;
/// Number of a figure: part of the standard uncertainty by noise, dB.
pub const SPHERESUM_NUMBER_NOISE_DB: i32 = 7;
/// Number of a figure: part of the standard uncertainty by filled gaps, dB.
pub const SPHERESUM_NUMBER_GAPS_DB: i32 = 8;
/// Number of a figure: direction that it belongs to, angle from the z axis, degrees.
pub const SPHERESUM_NUMBER_THETA_DEG: i32 = 9;
/// Number of a figure: direction that it belongs to, angle around the z axis, degrees.
pub const SPHERESUM_NUMBER_PHI_DEG: i32 = 10;

pub(crate) struct Inner {
    figure: Figure,
    texts: [Lazy; 6],
}

/// A figure of a result. Borrowed from the result.
pub struct SpheresumFigure(Tagged<Inner>);
handle!(SpheresumFigure, Inner, "spheresum_figure", b"sph-figu");

impl SpheresumFigure {
    pub(crate) fn all(figures: Vec<Figure>) -> Vec<Self> {
        figures.into_iter().map(Self::of).collect()
    }

    /// A copy of the figure.
    pub(crate) fn figure(&self) -> Figure {
        self.inner().figure.clone()
    }

    fn of(figure: Figure) -> Self {
        Self::make(Inner {
            figure,
            texts: Default::default(),
        })
    }

    pub(crate) fn name(&self) -> &str {
        &self.inner().figure.name
    }
}

/// Name of a figure, such as trp.
///
/// @param figure in: a figure, or NULL
/// @return text, never NULL; borrowed, valid as long as the figure
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_name(figure: *const SpheresumFigure) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(figure) }, 0, |f| &f.name)
}

/// Unit of its value, bounds and interval, such as dBm.
///
/// @param figure in: a figure, or NULL
/// @return text, never NULL; borrowed, valid as long as the figure
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_unit(figure: *const SpheresumFigure) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(figure) }, 1, |f| f.unit.symbol())
}

/// Why it was refused.
///
/// @param figure in: a figure, or NULL
/// @return text, never NULL, empty where it was not; borrowed, valid as long as the figure
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_reason(figure: *const SpheresumFigure) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(figure) }, 2, |f| {
        f.reason.as_deref().unwrap_or_default()
    })
}

/// What its bounds rest on.
///
/// @param figure in: a figure, or NULL
/// @return text, never NULL, empty where it has none; borrowed, valid as long as the figure
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_assumption(
    figure: *const SpheresumFigure,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(figure) }, 3, |f| {
        f.bounds_assume.as_deref().unwrap_or_default()
    })
}

/// Rule that it was integrated with, such as sine.
///
/// @param figure in: a figure, or NULL
/// @return text, never NULL, empty where it was not integrated; borrowed, valid as long as the figure
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_rule(figure: *const SpheresumFigure) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(figure) }, 4, |f| {
        f.rule.map_or("", |r| r.as_str())
    })
}

/// Form of its window, half or exact.
///
/// @param figure in: a figure, or NULL
/// @return text, never NULL, empty where it has no partial window; borrowed, valid as long as the figure
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_edges(figure: *const SpheresumFigure) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(figure) }, 5, |f| {
        f.edges.map_or("", |e| e.as_str())
    })
}

/// Whether it has a value.
///
/// @param figure in: a figure, or NULL
/// @return SPHERESUM_FIGURE_...; _REFUSED for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_state(figure: *const SpheresumFigure) -> u8 {
    // SAFETY: NULL or a live object, as the header asks.
    match unsafe { peek(figure) }.map(|f| f.figure.state) {
        Some(FigureState::Value) => SPHERESUM_FIGURE_VALUE,
        Some(FigureState::Zero) => SPHERESUM_FIGURE_ZERO,
        Some(FigureState::NotAboveZero) => SPHERESUM_FIGURE_NOT_ABOVE_ZERO,
        _ => SPHERESUM_FIGURE_REFUSED,
    }
}

/// A number of a figure.
///
/// @param figure in: a figure, or NULL
/// @param which in: SPHERESUM_NUMBER_...
/// @param out_number out, optional: the number; not written where it is not known
/// @return 1 where the number is known, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figure_number(
    figure: *const SpheresumFigure,
    which: i32,
    out_number: *mut f64,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    let number = unsafe { peek(figure) }.and_then(|f| number(&f.figure, which));
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { known(number, out_number) }
}

fn number(figure: &Figure, which: i32) -> Option<f64> {
    match which {
        SPHERESUM_NUMBER_VALUE => figure.value,
        SPHERESUM_NUMBER_LOWER => figure.lower,
        SPHERESUM_NUMBER_UPPER => figure.upper,
        SPHERESUM_NUMBER_INTERVAL_LOWER => figure.interval_lower,
        SPHERESUM_NUMBER_INTERVAL_UPPER => figure.interval_upper,
        SPHERESUM_NUMBER_COVERAGE => figure.coverage,
        SPHERESUM_NUMBER_STANDARD_UNCERTAINTY_DB => figure.standard_uncertainty_db,
        SPHERESUM_NUMBER_NOISE_DB => figure.uncertainty_parts.noise,
        SPHERESUM_NUMBER_GAPS_DB => figure.uncertainty_parts.gaps,
        SPHERESUM_NUMBER_THETA_DEG => figure.theta_deg,
        SPHERESUM_NUMBER_PHI_DEG => figure.phi_deg,
        _ => None,
    }
}

fn text<'a>(
    inner: Option<&'a Inner>,
    which: usize,
    of: impl FnOnce(&'a Figure) -> &'a str,
) -> *const c_char {
    match inner.and_then(|i| Some((i, i.texts.get(which)?))) {
        Some((inner, lazy)) => lazy.get(of(&inner.figure)),
        None => c"".as_ptr(),
    }
}
