//! Options by name, as the command has them.

use crate::error::SpheresumError;
use crate::file::SpheresumFile;
use crate::handle::{Tagged, free, get, get_mut, handle, prepare, put};
use crate::panic::guard;
use crate::readings::SpheresumReadings;
use crate::string::{c_string, required_text};
use crate::watch::{Caller, spheresum_watch};
use spheresum_core::compare::{self, CompareOptions};
use spheresum_core::correct::{FloorSource, NoiseOnly, RangeLoss};
use spheresum_core::history::Step;
use spheresum_core::intake::{NamedFile, ReadOptions};
use spheresum_core::reduce::{NamedOptions, OPTION_NAMES, Prepared, ReduceOptions};
use spheresum_core::spelling::nearest;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::watch::{Unwatched, Watch};
use spheresum_core::{Error, Finding, Frequency, Place, Polarisation, Readings};
use std::ffi::{CString, c_char, c_void};
use std::sync::OnceLock;

/// Options of reading that are no option of one adapter.
const OF_READING: [&str; 4] = ["adapter", "frequency-mhz", "polarisation", "threads"];
/// Options that adapters take by name, under the same names.
const OF_ADAPTERS: [&str; 8] = [
    "separator",
    "decimal",
    "column",
    "pol",
    "quantity",
    "unit",
    "angles",
    "ports",
];
/// Most threads that may be asked for.
const MOST_THREADS: usize = 256;

/// Options of reading, reducing and comparing. The caller owns it; free with spheresum_options_free().
pub struct SpheresumOptions(Tagged<Inner>);
handle!(SpheresumOptions, Inner, "spheresum_options", b"sph-opti");

#[derive(Default)]
pub(crate) struct Inner {
    reading: Reading,
    named: NamedOptions,
    compare: CompareOptions,
    range: Option<RangeFile>,
    watch: Option<Caller>,
}

/// Where a range loss came from.
struct RangeFile {
    sentence: String,
    findings: Vec<Finding>,
}

/// Options of reading.
#[derive(Clone)]
pub(crate) struct Reading {
    pub(crate) adapter: Option<String>,
    pub(crate) options: ReadOptions,
    pub(crate) step: Step,
}

impl Default for Reading {
    fn default() -> Self {
        Self {
            adapter: None,
            options: ReadOptions::default(),
            step: Step::new("read"),
        }
    }
}

impl Inner {
    /// Options of reading, with the step of the history that they begin.
    pub(crate) fn reading(&self) -> Reading {
        self.reading.clone()
    }
}

/// No options: the defaults hold.
///
/// @param out_options out: the object; the caller owns it; free with spheresum_options_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_options_new(
    out_options: *mut *mut SpheresumOptions,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_options", out_options)?;
            put(out_options, SpheresumOptions::make(Inner::default()));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Sets an option by its name, which is that of the command without dashes in front: rule, edges, fill, max-missing, snap-deg, figures, range
/// (theta=DB,phi=DB), floor, detector, averages and so on; of reading adapter, frequency-mhz, polarisation, threads, separator, decimal, column, pol, quantity,
/// unit, angles and ports; option (NAME=VALUE) for what one adapter alone asks for; of comparing path-loss-exponent. An option that is set again is replaced, but for option, of which each NAME is kept.
///
/// @param options in: the options
/// @param name in: its name
/// @param value in: its value as text, with a point as the decimal sign
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE (no such option, or no such value; the hint says what there is) or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_options_set(
    options: *mut SpheresumOptions,
    name: *const c_char,
    value: *const c_char,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let options = get_mut("options", options)?;
            let (name, value) = (required_text("name", name)?, required_text("value", value)?);
            match options.set(name, value) {
                Ok(()) => Ok(()),
                Err(error) => Err(SpheresumError::from(error).field(name)),
            }
        }
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Number of options that spheresum_options_set() knows.
///
/// @return the number
#[unsafe(no_mangle)]
pub extern "C" fn spheresum_option_count() -> usize {
    names().count()
}

/// Name of an option.
///
/// @param index in: 0..count-1
/// @return text, never NULL, empty beyond the last; static, do not free
#[unsafe(no_mangle)]
pub extern "C" fn spheresum_option_name(index: usize) -> *const c_char {
    static TEXTS: OnceLock<Vec<CString>> = OnceLock::new();
    let texts = TEXTS.get_or_init(|| names().map(c_string).collect());
    texts.get(index).map_or(c"".as_ptr(), |t| t.as_ptr())
}

/// True for the name of an option.
pub(crate) fn is_name(name: &str) -> bool {
    names().any(|n| n == name)
}

fn names() -> impl Iterator<Item = &'static str> {
    let of_reading = OF_READING.iter().chain(&OF_ADAPTERS).chain(&["option"]);
    let of_results = OPTION_NAMES.iter().chain(compare::OPTION_NAMES);
    of_reading.copied().chain(of_results.map(|o| o.name))
}

/// Takes the range loss from a file that holds a curve of losses against frequency, as the option range takes two numbers.
///
/// @param options in: the options
/// @param file in: the file; it may be freed afterwards
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (the file holds readings, or no losses), _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_options_set_range(
    options: *mut SpheresumOptions,
    file: *const SpheresumFile,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let options = get_mut("options", options)?;
            let file = get("file", file)?;
            options.range_from(file)?;
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Takes the noise floor from readings that were taken while the device was silent, as the option floor takes levels.
///
/// @param options in: the options; detector has to be set too
/// @param readings in: the readings; they may be freed afterwards
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_options_set_floor(
    options: *mut SpheresumOptions,
    readings: *const SpheresumReadings,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let options = get_mut("options", options)?;
            options.floor_from(get("readings", readings)?)?;
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Sets who is told the progress of calls with these options, and may stop them: reading, reducing and comparing. A running reduction is not watched.
///
/// @param options in: the options
/// @param watch in, optional: the function; NULL: nobody. It may be called on every thread that makes a call with the options
/// @param user in, optional: handed to the function; it has to live as long as calls with the options are made
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_options_set_watch(
    options: *mut SpheresumOptions,
    watch: spheresum_watch,
    user: *mut c_void,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        let options = unsafe { get_mut("options", options) }?;
        options.watch = watch.map(|call| Caller { call, user });
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Who watches calls with options.
pub(crate) fn watch(options: Option<&Inner>) -> &dyn Watch {
    match options.and_then(|o| o.watch.as_ref()) {
        Some(watch) => watch,
        None => &Unwatched,
    }
}

/// Frees options.
///
/// @param options in: options that were not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_options_free(options: *mut SpheresumOptions) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(options) };
}

impl Inner {
    /// Takes the range loss from a file.
    pub(crate) fn range_from(&mut self, file: &crate::file::Inner) -> Result<(), Error> {
        let curve = file.curve.clone().ok_or_else(|| {
            Error::input(
                "the file holds readings over directions, not the range loss against frequency",
            )
            .hint("a range-loss file has the columns frequency_mhz,loss_theta_db,loss_phi_db")
            .at(Place::in_source(&file.input.path))
        })?;
        self.named.set_range(RangeLoss::curve(curve)?);
        self.range = Some(RangeFile {
            sentence: format!("{}: sha256 {}", file.input.path, file.input.sha256),
            findings: file.findings.clone(),
        });
        Ok(())
    }

    /// Takes the noise floor from noise-only readings.
    pub(crate) fn floor_from(&mut self, readings: &Readings) -> Result<(), Error> {
        let noise = NoiseOnly::of(readings)?;
        self.named.set_floor(FloorSource::Readings(Box::new(noise)));
        Ok(())
    }

    /// Options of reading a file of which more is known.
    pub(crate) fn reading_of(&self, file: &NamedFile) -> Reading {
        let mut reading = self.reading();
        let options = &mut reading.options;
        options.frequency = file.frequency.or(options.frequency);
        options.polarisation = file.polarisation.or(options.polarisation);
        reading
    }

    /// Sets an option by its name.
    pub(crate) fn set(&mut self, name: &str, value: &str) -> Result<(), Error> {
        let value = value.trim();
        let reading = &mut self.reading;
        match name {
            "adapter" => reading.adapter = Some(value.to_string()),
            "frequency-mhz" => {
                let frequency = Frequency::parse(value, FrequencyUnit::Mhz).ok_or_else(|| {
                    Error::usage(format!("{value:?} is no frequency"))
                        .hint("a frequency is a decimal number of MHz above 0, such as 868.3")
                })?;
                reading.options.frequency = Some(frequency);
            }
            "polarisation" => {
                reading.options.polarisation = Some(match value {
                    "theta" => Polarisation::Theta,
                    "phi" => Polarisation::Phi,
                    "total" => Polarisation::Total,
                    _ => {
                        return Err(Error::usage(format!("there is no polarisation {value:?}"))
                            .hint("theta, phi or total"));
                    }
                });
            }
            "threads" => {
                let threads = value
                    .parse()
                    .ok()
                    .filter(|n| (1..=MOST_THREADS).contains(n));
                reading.options.threads = threads.ok_or_else(|| {
                    Error::usage(format!("{value:?} is no number of threads"))
                        .hint(format!("1 to {MOST_THREADS}; 1 starts none"))
                })?;
                // The result is the same: no option of the history.
                return Ok(());
            }
            "option" => {
                let (of, value) = value.split_once('=').ok_or_else(|| {
                    Error::usage(format!("{value:?} is no option of an adapter"))
                        .hint("write NAME=VALUE, such as rows=theta")
                })?;
                reading
                    .options
                    .named
                    .insert(of.trim().to_string(), value.to_string());
            }
            _ if OF_ADAPTERS.contains(&name) => {
                reading
                    .options
                    .named
                    .insert(name.to_string(), value.to_string());
            }
            _ if compare::OPTION_NAMES.iter().any(|o| o.name == name) => {
                return self.compare.set(name, value);
            }
            _ if OPTION_NAMES.iter().any(|o| o.name == name) => {
                self.named.set(name, value)?;
                if name == "range" {
                    self.range = None;
                }
                return Ok(());
            }
            _ => {
                let meant = nearest(name, names())
                    .map_or_else(String::new, |near| format!("did you mean {near}? "));
                let all: Vec<&str> = names().collect();
                return Err(Error::usage(format!("there is no option {name:?}"))
                    .hint(format!("{meant}options: {}", all.join(", "))));
            }
        }
        reading
            .step
            .options
            .insert(name.to_string(), value.to_string());
        Ok(())
    }
}

/// Options of reducing; the defaults where there are none.
pub(crate) fn reducing(options: Option<&Inner>) -> Result<ReduceOptions, Error> {
    Ok(match options {
        Some(options) => options.named.build()?,
        None => ReduceOptions::default(),
    })
}

/// Options of comparing; the defaults where there are none.
pub(crate) fn comparing(options: Option<&Inner>) -> CompareOptions {
    options.map_or_else(CompareOptions::default, |o| o.compare)
}

/// Puts what is known of the files of options into a run's findings and history.
pub(crate) fn remember(options: Option<&Inner>, run: &mut Prepared) {
    let Some(range) = options.and_then(|o| o.range.as_ref()) else {
        return;
    };
    run.findings.extend(range.findings.iter().cloned());
    if let Some(step) = run.history.iter_mut().find(|s| s.step == "range") {
        step.note(range.sentence.clone());
    }
}
