//! Runs: the readings of one device configuration, from one source or several.

use crate::error::SpheresumError;
use crate::file::SpheresumFile;
use crate::handle::{Tagged, free, get, get_mut, handle, prepare, put};
use crate::options::Inner as Options;
use crate::panic::guard;
use crate::readings::SpheresumReadings;
use crate::string::required_text;
use crate::watch::Part;
use spheresum_core::document::{Input, Run};
use spheresum_core::history::Step;
use spheresum_core::reduce::{Prepared, ReduceOptions, prepare_watched, reduce_watched};
use spheresum_core::watch::Watch;
use spheresum_core::{Error, Finding, Limits, Readings};
use std::ffi::c_char;
use std::sync::Arc;

pub(crate) struct Inner {
    name: String,
    readings: Vec<Arc<Readings>>,
    inputs: Vec<Input>,
    steps: Vec<Step>,
    findings: Vec<Finding>,
}

/// One run: the readings of one configuration of a device. The caller owns it; free with spheresum_run_free().
pub struct SpheresumRun(Tagged<Inner>);
handle!(SpheresumRun, Inner, "spheresum_run", b"sph-runs");

impl Inner {
    /// The run, assembled and corrected.
    pub(crate) fn prepare(
        &self,
        options: &ReduceOptions,
        watch: &dyn Watch,
    ) -> Result<Prepared, SpheresumError> {
        let limits = Limits::default();
        let mut prepared = match self.readings.as_slice() {
            [] => {
                return Err(Error::usage(format!("the run {} has no readings", self.name))
                    .hint("add readings with spheresum_run_add_readings() or spheresum_run_add_file()")
                    .into());
            }
            [one] => prepare_watched(std::slice::from_ref(one.as_ref()), options, &limits, watch)?,
            several => {
                let all: Vec<Readings> = several.iter().map(|r| r.as_ref().clone()).collect();
                prepare_watched(&all, options, &limits, watch)?
            }
        };
        prepared
            .findings
            .splice(0..0, self.findings.iter().cloned());
        prepared.history.splice(0..0, self.steps.iter().cloned());
        Ok(prepared)
    }

    pub(crate) fn reduce(&self, options: Option<&Options>) -> Result<Run, SpheresumError> {
        let given = crate::options::reducing(options)?;
        let whole = crate::options::watch(options);
        let part = |from, to| Part { whole, from, to };
        let mut prepared = self.prepare(&given, &part(0.0, 0.4))?;
        crate::options::remember(options, &mut prepared);
        let reduction = reduce_watched(prepared, &given, &part(0.4, 1.0))?;
        Ok(self.document(reduction))
    }

    /// The run of a document.
    pub(crate) fn document(&self, reduction: spheresum_core::reduce::Reduction) -> Run {
        Run {
            name: self.name.clone(),
            inputs: self.inputs.clone(),
            reduction,
        }
    }
}

/// A run without readings so far.
///
/// @param name in: its name in results
/// @param out_run out: the object; the caller owns it; free with spheresum_run_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_run_new(
    name: *const c_char,
    out_run: *mut *mut SpheresumRun,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_run", out_run)?;
            let inner = Inner {
                name: required_text("name", name)?.to_string(),
                readings: Vec::new(),
                inputs: Vec::new(),
                steps: Vec::new(),
                findings: Vec::new(),
            };
            put(out_run, SpheresumRun::make(inner));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Adds readings to a run. They are shared, not copied; what is added to them later is not part of the run.
///
/// @param run in: the run
/// @param readings in: the readings; they may be freed afterwards
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_run_add_readings(
    run: *mut SpheresumRun,
    readings: *const SpheresumReadings,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let run = get_mut("run", run)?;
            let readings = get("readings", readings)?;
            let mut step = Step::new("read");
            step.note(format!(
                "{}: {} readings by the caller",
                readings.source(),
                readings.len()
            ));
            run.steps.push(step);
            run.readings.push(Arc::clone(readings));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Adds the readings of a file to a run, with its findings and its place in the history. They are shared, not copied.
///
/// @param run in: the run
/// @param file in: a file with readings; it may be freed afterwards
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (the file holds a curve), _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_run_add_file(
    run: *mut SpheresumRun,
    file: *const SpheresumFile,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let run = get_mut("run", run)?;
            let file = get("file", file)?;
            let readings = file.readings().ok_or_else(|| {
                Error::input(
                    "the file holds a curve against frequency, not readings over directions",
                )
                .hint("give a range loss with spheresum_options_set_range()")
                .at(spheresum_core::Place::in_source(&file.input.path))
            })?;
            run.readings.push(Arc::clone(readings));
            run.inputs.push(file.input.clone());
            run.steps.push(file.step.clone());
            run.findings.extend(file.findings.iter().cloned());
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Frees a run.
///
/// @param run in: a run that was not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_run_free(run: *mut SpheresumRun) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(run) };
}
