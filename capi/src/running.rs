//! A reduction that runs along with the measurement.

use crate::array::{check, optional};
use crate::error::SpheresumError;
use crate::figure::SpheresumFigure;
use crate::finding::element;
use crate::handle::{Tagged, free, get, get_mut, get_optional, handle, peek, prepare, put};
use crate::options::{SpheresumOptions, reducing};
use crate::panic::guard;
use crate::readings::{SpheresumReadings, frequency, level_of, no_such};
use crate::reduction::SpheresumReduction;
use crate::string::required_text;
use crate::words::{
    number_of_polarisation, polarisation as polarisation_of, quantity as quantity_of,
};
use spheresum_core::document::Run;
use spheresum_core::model::Layout;
use spheresum_core::running::{Plan, Running};
use spheresum_core::{Group, Limits, Reading};
use std::ffi::c_char;
use std::sync::Arc;

/// Layout of a running reduction: both polarisations.
pub const SPHERESUM_LAYOUT_THETA_PHI: i32 = 0;
/// Layout of a running reduction: their sum.
pub const SPHERESUM_LAYOUT_TOTAL: i32 = 1;

/// Most frequencies of a plan.
const MOST_FREQUENCIES: usize = 100_000;

/// A reduction that runs along with the measurement: readings go in as the positioner moves, and figures come out at any time. The caller owns it;
/// free with spheresum_running_free().
pub struct SpheresumRunning(Tagged<Running>);
handle!(SpheresumRunning, Running, "spheresum_running", b"sph-runn");

/// Figures of one frequency, as they stood when they were asked for. The caller owns it; free with spheresum_figures_free().
pub struct SpheresumFigures(Tagged<Vec<SpheresumFigure>>);
handle!(
    SpheresumFigures,
    Vec<SpheresumFigure>,
    "spheresum_figures",
    b"sph-figs"
);

/// Begins a running reduction on an equal-angle grid.
///
/// @param quantity in: SPHERESUM_QUANTITY_..., of powers, sensitivities or gains
/// @param theta_step_deg in: step of the angle from the z axis, degrees; it divides 180
/// @param phi_step_deg in: step of the angle around it, degrees; it divides 360
/// @param layout in: SPHERESUM_LAYOUT_...
/// @param frequencies_hz in, optional: count frequencies, Hz; NULL with a count of 0: one that is unknown
/// @param count in: number of frequencies
/// @param options in, optional: options of reducing; a noise floor waits for the end; NULL: the defaults
/// @param out_running out: the object; the caller owns it; free with spheresum_running_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE, _DOMAIN, _LIMIT, _UNSUPPORTED (fields) or _INTERNAL
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_running_begin(
    quantity: i32,
    theta_step_deg: f64,
    phi_step_deg: f64,
    layout: i32,
    frequencies_hz: *const f64,
    count: usize,
    options: *const SpheresumOptions,
    out_running: *mut *mut SpheresumRunning,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_running", out_running)?;
            if count > MOST_FREQUENCIES {
                return Err(SpheresumError::of(
                    Group::Limit,
                    &format!("{count} frequencies are more than {MOST_FREQUENCIES}"),
                )
                .field("count"));
            }
            let mut plan = Plan::try_new(quantity_of(quantity)?, theta_step_deg, phi_step_deg)?
                .of(layout_of(layout)?);
            if count > 0 {
                let given = optional("frequencies_hz", frequencies_hz, count)?.unwrap_or_default();
                let mut all = Vec::with_capacity(given.len());
                for (index, hz) in given.iter().enumerate() {
                    let one = frequency(*hz).map_err(|e| e.element(index))?;
                    all.push(one.ok_or_else(|| {
                        SpheresumError::of(Group::Usage, "a plan names its frequencies, or none")
                            .field("frequencies_hz")
                            .element(index)
                    })?);
                }
                plan = plan.at(&all)?;
            }
            let options = reducing(get_optional("options", options)?)?;
            let running = Running::begin(plan, options, &Limits::default())?;
            put(out_running, SpheresumRunning::make(running));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

fn layout_of(number: i32) -> Result<Layout, SpheresumError> {
    match number {
        SPHERESUM_LAYOUT_THETA_PHI => Ok(Layout::ThetaPhi),
        SPHERESUM_LAYOUT_TOTAL => Ok(Layout::TotalOnly),
        _ => Err(
            SpheresumError::of(Group::Usage, &format!("there is no layout {number}"))
                .field("layout")
                .hint("use one of the constants SPHERESUM_LAYOUT_..."),
        ),
    }
}

/// Adds a reading. One that is not taken changes nothing. A direction that is read again is averaged with what was read there, and does not replace it.
///
/// @param running in: the running reduction
/// @param polarisation in: SPHERESUM_POLARISATION_... of its layout
/// @param frequency_hz in: one of the frequencies, Hz; 0: unknown
/// @param theta_deg in: angle from the z axis, degrees, on the grid
/// @param phi_deg in: angle around it, degrees, on the grid
/// @param level in: level in the unit
/// @param unit in: SPHERESUM_UNIT_...
/// @param state in: SPHERESUM_SAMPLE_MEASURED, _AT_MOST or _AT_LEAST
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (off the grid, or no level), _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_running_add(
    running: *mut SpheresumRunning,
    polarisation: i32,
    frequency_hz: f64,
    theta_deg: f64,
    phi_deg: f64,
    level: f64,
    unit: i32,
    state: u8,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        let running = unsafe { get_mut("running", running) }?;
        let polarisation = polarisation_of(polarisation)?;
        let at = running.plan().frequency_index(frequency(frequency_hz)?)?;
        let Some((value, mark)) = level_of(level, unit, state, running.plan().quantity())? else {
            return Err(
                SpheresumError::of(Group::Usage, "a reading that is missing is left out")
                    .field("state"),
            );
        };
        running.add(Reading {
            frequency: at,
            theta_deg,
            phi_deg,
            polarisation,
            value,
            mark,
            line: u32::try_from(running.readings().len() + 1).unwrap_or(0),
        })?;
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// How far the measurement is.
///
/// @param running in: the running reduction
/// @param channel in: index of the frequency, in the order in which they were given
/// @param polarisation in: SPHERESUM_POLARISATION_... of its layout
/// @param out_read out: number of directions that were read
/// @param out_planned out: number of directions in all; a pole is one
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_running_progress(
    running: *const SpheresumRunning,
    channel: usize,
    polarisation: i32,
    out_read: *mut usize,
    out_planned: *mut usize,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        check("out_read", out_read)?;
        check("out_planned", out_planned)?;
        // SAFETY: pointers are as the header asks, and the outputs were checked.
        unsafe {
            let running = get("running", running)?;
            let frequencies = running.plan().frequencies();
            let wanted = frequencies
                .get(channel)
                .ok_or_else(|| no_such("channel", channel, frequencies.len()))?;
            let all = running.progress();
            let found = all.iter().find(|p| {
                p.frequency_hz == *wanted && number_of_polarisation(p.polarisation) == polarisation
            });
            let found = found.ok_or_else(|| {
                SpheresumError::of(
                    Group::Usage,
                    &format!("the plan has no polarisation {polarisation}"),
                )
                .field("polarisation")
            })?;
            out_read.write(found.read);
            out_planned.write(found.planned);
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Whether every direction was read in every polarisation at every frequency.
///
/// @param running in: a running reduction, or NULL
/// @return 1 where it was, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_running_is_complete(running: *const SpheresumRunning) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(running) }.map_or(0, |r| i32::from(r.is_complete()))
}

/// Figures from what was read so far: a value as if the rest were like it, a lower bound with the rest at zero, and an upper bound with the rest at the largest
/// reading so far, which is an assumption and named as one. Value and upper bound (of sensitivities value and lower bound) are known once every polarisation
/// has begun.
///
/// @param running in: the running reduction
/// @param channel in: index of the frequency, in the order in which they were given
/// @param out_figures out: the figures; the caller owns it; free with spheresum_figures_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_running_figures(
    running: *const SpheresumRunning,
    channel: usize,
    out_figures: *mut *mut SpheresumFigures,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_figures", out_figures)?;
            let running = get("running", running)?;
            let figures = running.figures(channel)?;
            put(
                out_figures,
                SpheresumFigures::make(SpheresumFigure::all(figures)),
            );
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Number of figures.
///
/// @param figures in: figures, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figures_count(figures: *const SpheresumFigures) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(figures) }.map_or(0, Vec::len)
}

/// A figure.
///
/// @param figures in: figures, or NULL
/// @param index in: 0..count-1
/// @return the figure, borrowed, valid as long as the figures; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figures_get(
    figures: *const SpheresumFigures,
    index: usize,
) -> *const SpheresumFigure {
    // SAFETY: NULL or a live object, as the header asks.
    element(unsafe { peek(figures) }, index)
}

/// A figure by its name.
///
/// @param figures in: figures, or NULL
/// @param name in: its name, such as trp
/// @return the figure, borrowed, valid as long as the figures; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figures_find(
    figures: *const SpheresumFigures,
    name: *const c_char,
) -> *const SpheresumFigure {
    // SAFETY: NULL or as the header asks.
    let (figures, name) = unsafe { (peek(figures), required_text("name", name)) };
    let (Some(figures), Ok(name)) = (figures, name) else {
        return std::ptr::null();
    };
    let found = figures.iter().find(|f| f.name() == name);
    found.map_or(std::ptr::null(), std::ptr::from_ref)
}

/// Frees figures.
///
/// @param figures in: figures that were not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_figures_free(figures: *mut SpheresumFigures) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(figures) };
}

/// What was gathered so far, as readings.
///
/// @param running in: the running reduction; it is not changed
/// @param out_readings out: a copy of the readings; the caller owns it; free with spheresum_readings_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_running_readings(
    running: *const SpheresumRunning,
    out_readings: *mut *mut SpheresumReadings,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_readings", out_readings)?;
            let running = get("running", running)?;
            let readings = Arc::new(running.readings().clone());
            put(out_readings, SpheresumReadings::make(readings));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Reduces what was gathered: bit by bit the reduction of the same readings. Its channels are in ascending order of frequency, whatever order the plan has.
///
/// @param running in: the running reduction; it is not changed, and may go on
/// @param name in: name of the run in the result
/// @param out_reduction out: the result; the caller owns it; free with spheresum_reduction_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return as spheresum_reduce(), but for _CANCELLED: these calls are not watched
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_running_finish(
    running: *const SpheresumRunning,
    name: *const c_char,
    out_reduction: *mut *mut SpheresumReduction,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_reduction", out_reduction)?;
            let running = get("running", running)?;
            let run = Run {
                name: required_text("name", name)?.to_string(),
                inputs: Vec::new(),
                reduction: running.finish()?,
            };
            put(out_reduction, SpheresumReduction::of(run));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Frees a running reduction.
///
/// @param running in: a running reduction that was not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_running_free(running: *mut SpheresumRunning) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(running) };
}
