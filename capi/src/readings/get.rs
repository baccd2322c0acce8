//! What readings hold.

use super::SpheresumReadings;
use crate::array::check;
use crate::error::SpheresumError;
use crate::handle::{get, peek};
use crate::panic::guard;
use crate::words::{number_of, number_of_polarisation};
use crate::{SPHERESUM_SAMPLE_AT_LEAST, SPHERESUM_SAMPLE_AT_MOST, SPHERESUM_SAMPLE_MEASURED};
use spheresum_core::{Group, Mark, Value};

/// Number of readings.
///
/// @param readings in: readings, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_readings_count(readings: *const SpheresumReadings) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(readings) }.map_or(0, |r| r.len())
}

/// What the values are.
///
/// @param readings in: readings, or NULL
/// @return SPHERESUM_QUANTITY_...; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_readings_quantity(readings: *const SpheresumReadings) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(readings) }.map_or(0, |r| number_of(r.quantity()))
}

/// Number of different frequencies, an unknown one included.
///
/// @param readings in: readings, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_readings_frequency_count(
    readings: *const SpheresumReadings,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(readings) }.map_or(0, |r| r.frequencies().len())
}

/// A frequency of readings.
///
/// @param readings in: readings
/// @param index in: 0..count-1, in the order in which they were first met
/// @param out_frequency_hz out: the frequency, Hz; 0 where it is unknown
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_readings_frequency_hz(
    readings: *const SpheresumReadings,
    index: usize,
    out_frequency_hz: *mut f64,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        check("out_frequency_hz", out_frequency_hz)?;
        // SAFETY: pointers are as the header asks, and the output was checked.
        unsafe {
            let all = get("readings", readings)?.frequencies();
            let found = all
                .get(index)
                .ok_or_else(|| no_such("frequency", index, all.len()))?;
            out_frequency_hz.write(found.map_or(0.0, |f| f.hz()));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Copies readings into arrays of the caller; an array that is NULL is left out.
///
/// @param readings in: readings
/// @param first in: index of the first reading
/// @param count in: number of readings; all of them have to exist
/// @param out_theta_deg out, optional: count angles from the z axis, degrees
/// @param out_phi_deg out, optional: count angles around it, degrees
/// @param out_frequency out, optional: count indices of frequencies
/// @param out_polarisation out, optional: count SPHERESUM_POLARISATION_...
/// @param out_value out, optional: count linear values (W, ratio) or real parts; 0 for a lost link of unknown level
/// @param out_imaginary out, optional: count imaginary parts; 0 for values that are not complex
/// @param out_state out, optional: count SPHERESUM_SAMPLE_...
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_readings_get(
    readings: *const SpheresumReadings,
    first: usize,
    count: usize,
    out_theta_deg: *mut f64,
    out_phi_deg: *mut f64,
    out_frequency: *mut usize,
    out_polarisation: *mut i32,
    out_value: *mut f64,
    out_imaginary: *mut f64,
    out_state: *mut u8,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: as the header asks.
        let readings = unsafe { get("readings", readings) }?;
        let is_inside = first
            .checked_add(count)
            .is_some_and(|end| end <= readings.len());
        if !is_inside {
            return Err(SpheresumError::of(
                Group::Usage,
                &format!(
                    "{count} readings from number {first} on were asked for, and there are {}",
                    readings.len()
                ),
            )
            .field("count"));
        }
        let outputs = [
            ("out_theta_deg", out_theta_deg),
            ("out_phi_deg", out_phi_deg),
            ("out_value", out_value),
            ("out_imaginary", out_imaginary),
        ];
        for (name, out) in outputs.iter().filter(|o| !o.1.is_null()) {
            check(name, *out)?;
        }
        if !out_frequency.is_null() {
            check("out_frequency", out_frequency)?;
        }
        if !out_polarisation.is_null() {
            check("out_polarisation", out_polarisation)?;
        }
        for at in 0..count {
            let Some(reading) = readings.get(first + at) else {
                break;
            };
            let (value, imaginary) = match reading.value {
                Value::Power(p) => (if p.is_finite() { p } else { 0.0 }, 0.0),
                Value::Field(e) => (e.re, e.im),
            };
            let state = match reading.mark {
                Mark::Exact => SPHERESUM_SAMPLE_MEASURED,
                Mark::AtMost => SPHERESUM_SAMPLE_AT_MOST,
                Mark::AtLeast => SPHERESUM_SAMPLE_AT_LEAST,
            };
            // SAFETY: each is NULL or checked, and has `count` elements that can be written, as the header asks.
            unsafe {
                write(out_theta_deg, at, reading.theta_deg);
                write(out_phi_deg, at, reading.phi_deg);
                write(out_frequency, at, reading.frequency);
                write(
                    out_polarisation,
                    at,
                    number_of_polarisation(reading.polarisation),
                );
                write(out_value, at, value);
                write(out_imaginary, at, imaginary);
                write(out_state, at, state);
            }
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Writes an element of an array, unless that is NULL.
///
/// # Safety
/// `out` is NULL, or element `at` of it can be written.
unsafe fn write<T>(out: *mut T, at: usize, value: T) {
    if !out.is_null() {
        // SAFETY: as the caller says.
        unsafe { out.add(at).write(value) };
    }
}

/// Refusal of an index.
pub(crate) fn no_such(what: &str, index: usize, count: usize) -> SpheresumError {
    SpheresumError::of(
        Group::Usage,
        &format!("there is no {what} {index}; there are {count}, counted from 0"),
    )
    .field("index")
}
