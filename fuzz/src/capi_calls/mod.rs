//! Sequences of C calls: bytes choose the calls, their objects (live, NULL or of another kind), arrays and texts.
//!
//! Whatever the order: a status of 0 comes without an error object and any other with one; outputs for objects are NULL after a
//! failure, and others untouched; what was refused leaves nothing behind; no call ends in INTERNAL.

mod adapter;
mod bytes;
mod look;
mod objects;

use bytes::Bytes;
use objects::{Objects, check, out};
use spheresum::*;
use std::ffi::CString;
use std::ptr::{null, null_mut};

/// Most calls of an input.
const MOST_CALLS: usize = 48;
/// Most reductions and comparisons of an input, which take longest.
const MOST_RESULTS: usize = 6;
/// Longest arrays.
const LONGEST: usize = 3000;
/// Values that options take, beside raw texts.
const VALUES: [&str; 24] = [
    "auto",
    "sine",
    "clenshaw-curtis",
    "half",
    "exact",
    "none",
    "harmonic",
    "cuts",
    "0",
    "1",
    "5",
    "30",
    "100",
    "-60",
    "theta",
    "theta=40,phi=41",
    "theta=-90,phi=-91",
    "estimated",
    "rms",
    "log",
    "trp,nhprp_30",
    "a=b",
    "868.3",
    "noise-like",
];

/// Runs the calls that bytes choose.
///
/// # Panics
/// A call broke a promise of the header.
pub fn capi_calls(data: &[u8]) {
    let mut bytes = Bytes::of(data);
    let mut objects = Objects::new();
    let mut results = 0;
    for _ in 0..MOST_CALLS {
        if bytes.is_empty() {
            break;
        }
        // SAFETY: every pointer that the calls are given is NULL, misaligned, of this library, or holds what its length says.
        unsafe { call(&mut bytes, &mut objects, &mut results) };
    }
    // SAFETY: what is in the slots is live, and freed once.
    unsafe { objects.free_all() };
}

/// # Safety
/// The objects are live or NULL.
unsafe fn call(bytes: &mut Bytes<'_>, objects: &mut Objects, results: &mut usize) {
    // SAFETY: as the caller says; arrays hold as many elements as is said, and outputs live.
    unsafe {
        let mut error = null_mut();
        match bytes.u8() % 21 {
            0 => {
                out(&mut objects.formats, bytes, |o, e| {
                    spheresum_formats_new(o, e)
                });
            }
            1 => {
                let text = bytes.piece();
                let name = bytes.text();
                let formats = objects.formats.choose_mut(bytes);
                let before = spheresum_formats_count(formats);
                let status = spheresum_formats_add_layout(
                    formats,
                    name.as_ptr(),
                    text.as_ptr(),
                    text.len(),
                    &raw mut error,
                );
                let grew = spheresum_formats_count(formats) - before;
                assert_eq!(grew, usize::from(check(status, error)));
            }
            2 => {
                let (name, text) = (bytes.text(), bytes.piece());
                let formats = objects.formats.choose(bytes);
                out(&mut objects.texts, bytes, |o, e| {
                    spheresum_formats_look(formats, name.as_ptr(), text.as_ptr(), text.len(), o, e)
                });
            }
            3 => {
                let (name, text) = (bytes.text(), bytes.piece());
                let formats = objects.formats.choose(bytes);
                let options = objects.options.choose(bytes);
                out(&mut objects.files, bytes, |o, e| {
                    let (text, length) = (text.as_ptr(), text.len());
                    spheresum_file_read(formats, name.as_ptr(), text, length, options, o, e)
                });
            }
            4 => {
                out(&mut objects.options, bytes, |o, e| {
                    spheresum_options_new(o, e)
                });
            }
            5 => {
                let options = objects.options.choose_mut(bytes);
                let raw = bytes.u8();
                let own = bytes.text_if(raw & 1 == 1);
                let name = match &own {
                    Some(own) => own.as_ptr(),
                    None => spheresum_option_name(usize::from(raw / 2) % spheresum_option_count()),
                };
                let value = value(bytes);
                let status = spheresum_options_set(options, name, value.as_ptr(), &raw mut error);
                check(status, error);
            }
            6 => {
                let options = objects.options.choose_mut(bytes);
                let file = objects.files.choose(bytes);
                let status = spheresum_options_set_range(options, file, &raw mut error);
                check(status, error);
            }
            7 => {
                let options = objects.options.choose_mut(bytes);
                let readings = objects.readings.choose(bytes);
                let status = spheresum_options_set_floor(options, readings, &raw mut error);
                check(status, error);
            }
            8 => {
                let (quantity, name) = (i32::from(bytes.u8() % 11), bytes.text());
                out(&mut objects.readings, bytes, |o, e| {
                    spheresum_readings_new(quantity, name.as_ptr(), o, e)
                });
            }
            9 | 10 => {
                let readings = objects.readings.choose_mut(bytes);
                add(bytes, readings);
            }
            11 => {
                let readings = objects.readings.choose_mut(bytes);
                let (key, value) = (bytes.text(), value(bytes));
                let (key, value) = (key.as_ptr(), value.as_ptr());
                let status = spheresum_readings_add_entry(readings, key, value, &raw mut error);
                check(status, error);
            }
            12 => {
                let readings = objects.readings.choose(bytes);
                look::readings(bytes, readings);
            }
            13 => {
                let name = bytes.text();
                out(&mut objects.runs, bytes, |o, e| {
                    spheresum_run_new(name.as_ptr(), o, e)
                });
            }
            14 => {
                let run = objects.runs.choose_mut(bytes);
                let status = match bytes.u8() & 1 {
                    0 => {
                        let readings = objects.readings.choose(bytes);
                        spheresum_run_add_readings(run, readings, &raw mut error)
                    }
                    _ => {
                        let file = objects.files.choose(bytes);
                        spheresum_run_add_file(run, file, &raw mut error)
                    }
                };
                check(status, error);
            }
            15 if *results < MOST_RESULTS => {
                *results += 1;
                let run = objects.runs.choose(bytes);
                let options = objects.options.choose(bytes);
                out(&mut objects.reductions, bytes, |o, e| {
                    spheresum_reduce(run, options, o, e)
                });
            }
            16 if *results < MOST_RESULTS => {
                *results += 1;
                let runs: Vec<*const SpheresumRun> = (0..bytes.u8() % 4)
                    .map(|_| objects.runs.choose(bytes))
                    .collect();
                let options = objects.options.choose(bytes);
                out(&mut objects.comparisons, bytes, |o, e| {
                    spheresum_compare(runs.as_ptr(), runs.len(), options, o, e)
                });
            }
            17 => {
                let reduction = objects.reductions.choose(bytes);
                let comparison = objects.comparisons.choose(bytes);
                let which = bytes.u8() % 4;
                out(&mut objects.texts, bytes, |o, e| match which {
                    0 => spheresum_reduction_json(reduction, o, e),
                    1 => spheresum_reduction_csv(reduction, o, e),
                    2 => spheresum_comparison_json(comparison, o, e),
                    _ => spheresum_comparison_csv(comparison, o, e),
                });
                objects.texts.each(|text| look::text(text));
            }
            18 => {
                let reduction = objects.reductions.choose(bytes);
                look::reduction(bytes, reduction);
                look::comparison(objects.comparisons.choose(bytes));
                look::file(objects.files.choose(bytes));
            }
            19 => {
                let formats = objects.formats.choose_mut(bytes);
                adapter::add(bytes, formats);
            }
            _ => objects.free_one(bytes),
        }
    }
}

/// Value of an option: one that some option takes, or a raw text.
fn value(bytes: &mut Bytes<'_>) -> CString {
    let which = bytes.u8();
    match VALUES.get(usize::from(which)) {
        Some(value) => CString::new(*value).unwrap_or_default(),
        None => bytes.text(),
    }
}

/// Arrays into readings: whole ones, raw ones, some of them NULL or misaligned.
///
/// # Safety
/// The readings are live, NULL, or another live object.
unsafe fn add(bytes: &mut Bytes<'_>, readings: *mut SpheresumReadings) {
    let how = bytes.u8();
    let polarisation = i32::from(bytes.u8() % 4);
    let frequency_hz = match bytes.u8() {
        0 => 0.0,
        1 => bytes.number(),
        n => f64::from(n) * 1e7,
    };
    let count = usize::from(bytes.u16()) % LONGEST;
    let step_deg = [15.0, 30.0, 90.0, 7.5][usize::from(bytes.u8() % 4)];
    let around = (360.0 / step_deg) as usize;
    let mut theta_deg: Vec<f64> = (0..count)
        .map(|at| step_deg * (at / around) as f64)
        .collect();
    let mut phi_deg: Vec<f64> = (0..count)
        .map(|at| step_deg * (at % around) as f64)
        .collect();
    let level = f64::from(bytes.u8()) - 128.0;
    let mut first: Vec<f64> = (0..count).map(|at| level + (at % 7) as f64).collect();
    let mut second = first.clone();
    let mut state = vec![0; count];
    // A few elements of their own.
    for _ in 0..bytes.u8() % 4 {
        let (at, which, number) = (usize::from(bytes.u16()), bytes.u8(), bytes.number());
        let arrays = [&mut theta_deg, &mut phi_deg, &mut first, &mut second];
        if count > 0 {
            state[at % count] = which >> 4 & 7;
            if let Some(array) = arrays.into_iter().nth(usize::from(which % 8)) {
                array[at % count] = number;
            }
        }
    }
    let hidden = |bit: u8, array: &[f64]| match how & bit {
        0 => array.as_ptr(),
        // Misaligned by its address alone.
        _ if bit == 64 => array.as_ptr().wrapping_byte_add(1),
        _ => null(),
    };
    let bad = how & 0xf0 == 0x70;
    let theta = hidden(if bad { 1 } else { 0 }, &theta_deg);
    let phi = hidden(if bad { 64 } else { 0 }, &phi_deg);
    let mut error = null_mut();
    // SAFETY: as the caller says; the arrays hold `count` elements, or are refused by their address.
    unsafe {
        let before = (
            spheresum_readings_count(readings),
            spheresum_readings_frequency_count(readings),
        );
        let state = match how & 2 {
            0 => null(),
            _ => state.as_ptr(),
        };
        let status = match how & 12 {
            0 => spheresum_readings_add_field(
                readings,
                polarisation,
                frequency_hz,
                count,
                theta,
                phi,
                first.as_ptr(),
                second.as_ptr(),
                state,
                &raw mut error,
            ),
            _ => spheresum_readings_add(
                readings,
                polarisation,
                frequency_hz,
                count,
                theta,
                phi,
                first.as_ptr(),
                i32::from(how >> 2 & 3) - 1,
                state,
                match how & 16 {
                    0 => null(),
                    _ => second.as_ptr(),
                },
                &raw mut error,
            ),
        };
        let after = (
            spheresum_readings_count(readings),
            spheresum_readings_frequency_count(readings),
        );
        if check(status, error) {
            assert!(after.0 <= before.0 + count && after.1 <= before.1 + 1);
        } else {
            assert_eq!(before, after, "something stayed behind");
        }
    }
}
