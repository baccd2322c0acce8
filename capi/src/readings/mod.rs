//! Readings: made from arrays or read from a file.

mod add;
mod get;

pub use add::*;
pub use get::*;

use crate::error::SpheresumError;
use crate::handle::{Tagged, free, get_mut, handle, prepare, put};
use crate::panic::guard;
use crate::string::required_text;
use crate::words::quantity as quantity_of;
use spheresum_core::{Limits, Readings};
use std::ffi::c_char;
use std::sync::Arc;

/// Readings of one quantity: direction, frequency, polarisation and value, in any order. The caller owns it; free with spheresum_readings_free(),
/// unless it is borrowed from another object.
pub struct SpheresumReadings(Tagged<Arc<Readings>>);
handle!(
    SpheresumReadings,
    Arc<Readings>,
    "spheresum_readings",
    b"sph-read"
);

/// Readings without any so far.
///
/// @param quantity in: what the values are, SPHERESUM_QUANTITY_...
/// @param name in: name of the readings in messages and results
/// @param out_readings out: the object; the caller owns it; free with spheresum_readings_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_readings_new(
    quantity: i32,
    name: *const c_char,
    out_readings: *mut *mut SpheresumReadings,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_readings", out_readings)?;
            let name = required_text("name", name)?;
            let readings = Readings::new(name, quantity_of(quantity)?, &Limits::default());
            put(out_readings, SpheresumReadings::make(Arc::new(readings)));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Adds an entry of the readings: a remark, or something that a reduction looks for, such as averages.
///
/// @param readings in: the readings
/// @param key in: its name
/// @param value in: its text
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_readings_add_entry(
    readings: *mut SpheresumReadings,
    key: *const c_char,
    value: *const c_char,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let readings = Arc::make_mut(get_mut("readings", readings)?);
            let (key, value) = (required_text("key", key)?, required_text("value", value)?);
            let most = Limits::default().max_entries;
            if readings.metadata().len() >= most {
                return Err(
                    spheresum_core::Error::limit(format!("more than {most} entries")).into(),
                );
            }
            readings.add_metadata(key, value);
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Frees readings that the caller owns.
///
/// @param readings in: readings that were not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_readings_free(readings: *mut SpheresumReadings) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(readings) };
}
