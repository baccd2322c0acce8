//! What an adapter in C hands its readings to.

use crate::error::SpheresumError;
use crate::handle::{Tagged, get_mut, handle, owned};
use crate::panic::guard;
use crate::readings::{frequency, scale};
use crate::status::group_of;
use crate::string::{c_string, required_text};
use crate::words::{polarisation as polarisation_of, quantity as quantity_of};
use crate::{
    SPHERESUM_SAMPLE_AT_LEAST, SPHERESUM_SAMPLE_AT_MOST, SPHERESUM_SAMPLE_MEASURED,
    SPHERESUM_STATUS_OK,
};
use spheresum_core::intake::{Intake, ReadOptions};
use spheresum_core::{
    Error, Finding, Frequency, Group, Limits, Mark, Place, Polarisation, Reading, Readings, Value,
};
use std::collections::BTreeSet;
use std::ffi::{CString, c_char};

/// What an adapter hands its readings to. Valid during the call of read only, on its thread.
pub struct SpheresumSink(Tagged<Inner>);
handle!(SpheresumSink, Inner, "spheresum_sink", b"sph-sink");

pub(crate) struct Inner {
    name: String,
    limits: Limits,
    readings: Option<Readings>,
    findings: Vec<Finding>,
    failure: Option<Error>,
    /// The first thing that was handed over and not taken.
    refused: Option<Error>,
    frequency: Option<Frequency>,
    polarisation: Option<Polarisation>,
    options: Vec<(String, CString)>,
    asked: BTreeSet<String>,
}

impl SpheresumSink {
    pub(super) fn new(name: &str, limits: &Limits, options: &ReadOptions) -> Self {
        owned(Self::make(Inner {
            name: name.to_string(),
            limits: limits.clone(),
            readings: None,
            findings: Vec::new(),
            failure: None,
            refused: None,
            frequency: options.frequency,
            polarisation: options.polarisation,
            options: options
                .named
                .iter()
                .map(|(name, value)| (name.clone(), c_string(value)))
                .collect(),
            asked: BTreeSet::new(),
        }))
    }

    /// What was handed over.
    pub(super) fn finish(
        self,
        status: i32,
        id: &str,
        place: impl Fn() -> Place,
    ) -> Result<Intake, Error> {
        self.0.inner.finish(status, id, place)
    }
}

impl Inner {
    fn finish(self, status: i32, id: &str, place: impl Fn() -> Place) -> Result<Intake, Error> {
        if let Some(failure) = self.failure.or(self.refused) {
            return Err(failure);
        }
        if status != SPHERESUM_STATUS_OK {
            let group = group_of(status);
            return Err(Error::new(
                group.unwrap_or(Group::Input),
                format!("the adapter {id} gave up with status {status} and no message"),
            )
            .hint("an adapter tells spheresum_sink_fail() why")
            .at(place()));
        }
        if let Some((name, _)) = self.options.iter().find(|o| !self.asked.contains(&o.0)) {
            return Err(
                Error::usage(format!("the adapter {id} has no option {name}"))
                    .hint("leave it out for this file")
                    .at(place()),
            );
        }
        let readings = self.readings.filter(|r| !r.is_empty()).ok_or_else(|| {
            Error::input(format!("the adapter {id} found no readings"))
                .hint("check the file; it may be cut off")
                .at(place())
        })?;
        Ok(Intake::of_readings(readings, self.findings))
    }
}

/// A reading as an adapter hands it over.
struct One {
    polarisation: i32,
    frequency_hz: f64,
    theta_deg: f64,
    phi_deg: f64,
    level: f64,
    unit: i32,
    state: u8,
    line: u64,
}

impl Inner {
    /// Remembers the first refusal: an adapter that does not look at statuses must not lose readings without a word.
    fn refuse(&mut self, error: SpheresumError, line: u64) -> SpheresumError {
        if self.refused.is_none() {
            self.refused = Some(error.to_core(place(&self.name, line, 0)));
        }
        error
    }

    fn begin(&mut self, quantity: i32) -> Result<(), SpheresumError> {
        let quantity = quantity_of(quantity)?;
        if self.readings.is_some() || quantity.is_complex() {
            return Err(SpheresumError::of(
                Group::Usage,
                "the quantity is said once, and is no field",
            )
            .field("quantity"));
        }
        self.readings = Some(Readings::new(&self.name, quantity, &self.limits));
        Ok(())
    }

    fn add(&mut self, one: &One) -> Result<(), SpheresumError> {
        let given = frequency(one.frequency_hz)?.or(self.frequency);
        let polarisation = match (one.polarisation, self.polarisation) {
            (-1, Some(given)) => given,
            (-1, None) => {
                return Err(SpheresumError::of(
                    Group::Ambiguous,
                    "the polarisation of the file is not known",
                )
                .field("polarisation")
                .hint("say it by the option polarisation: theta, phi or total"));
            }
            (number, _) => polarisation_of(number)?,
        };
        let Some(readings) = &mut self.readings else {
            return Err(SpheresumError::of(
                Group::Usage,
                "spheresum_sink_begin() comes before the first reading",
            ));
        };
        let mark = match one.state {
            SPHERESUM_SAMPLE_MEASURED => Mark::Exact,
            SPHERESUM_SAMPLE_AT_MOST => Mark::AtMost,
            SPHERESUM_SAMPLE_AT_LEAST => Mark::AtLeast,
            _ => {
                return Err(SpheresumError::of(
                    Group::Usage,
                    &format!("{} is no state of a reading", one.state),
                )
                .field("state"));
            }
        };
        let power = scale(one.unit, readings.quantity())?.linear(one.level);
        let power = power.filter(|_| one.level.is_finite()).ok_or_else(|| {
            SpheresumError::of(Group::Input, &format!("{} is no level", one.level))
                .field("level")
                .hint("check the unit: decibels lie between -300 and 300, linear values are not negative")
        })?;
        let frequency = readings.frequency_index(given, &self.limits)?;
        readings.push(Reading {
            frequency,
            theta_deg: one.theta_deg,
            phi_deg: one.phi_deg,
            polarisation,
            value: Value::Power(power),
            mark,
            line: u32::try_from(one.line).unwrap_or(0),
        })?;
        Ok(())
    }
}

/// The sink behind a pointer.
///
/// # Safety
/// `sink` is NULL or the sink of a call of read that has not returned, on its thread.
unsafe fn live<'a>(sink: *mut SpheresumSink) -> Result<&'a mut Inner, SpheresumError> {
    // SAFETY: as the caller says.
    unsafe { get_mut("sink", sink) }
}

/// Says what the readings are. Comes before the first of them.
///
/// @param sink in: the sink
/// @param quantity in: SPHERESUM_QUANTITY_..., of powers, sensitivities or gains
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE (no such quantity, or it was said before) or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_sink_begin(
    sink: *mut SpheresumSink,
    quantity: i32,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: as the header asks.
        let sink = unsafe { live(sink) }?;
        sink.begin(quantity).map_err(|e| sink.refuse(e, 0))
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Hands over a reading. One that is refused makes the read fail with this error, unless spheresum_sink_fail() says another.
///
/// @param sink in: the sink
/// @param polarisation in: SPHERESUM_POLARISATION_...; -1: that of the options of the call
/// @param frequency_hz in: the frequency, Hz; 0: that of the options of the call, or unknown
/// @param theta_deg in: angle from the z axis, degrees, as it is written
/// @param phi_deg in: angle around it, degrees, as it is written
/// @param level in: level in the unit
/// @param unit in: SPHERESUM_UNIT_...
/// @param state in: SPHERESUM_SAMPLE_MEASURED, _AT_MOST or _AT_LEAST; readings that are missing are left out
/// @param line in: line of the text, from 1; 0: none
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_sink_add(
    sink: *mut SpheresumSink,
    polarisation: i32,
    frequency_hz: f64,
    theta_deg: f64,
    phi_deg: f64,
    level: f64,
    unit: i32,
    state: u8,
    line: u64,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: as the header asks.
        let sink = unsafe { live(sink) }?;
        let one = One {
            polarisation,
            frequency_hz,
            theta_deg,
            phi_deg,
            level,
            unit,
            state,
            line,
        };
        sink.add(&one).map_err(|e| sink.refuse(e, line))
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Says why a text cannot be read, and where. The first such call counts.
///
/// @param sink in: the sink
/// @param status in: SPHERESUM_STATUS_INPUT, _AMBIGUOUS, _UNSUPPORTED, _LIMIT or _USAGE, which read then returns
/// @param message in: one sentence
/// @param hint in: what to do about it; empty: nothing is known
/// @param line in: line of the text, from 1; 0: none
/// @param column in: column in that line, from 1, in characters; 0: none
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_sink_fail(
    sink: *mut SpheresumSink,
    status: i32,
    message: *const c_char,
    hint: *const c_char,
    line: u64,
    column: u64,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: as the header asks.
        let (sink, message, hint) = unsafe {
            (
                live(sink)?,
                required_text("message", message)?,
                required_text("hint", hint)?,
            )
        };
        let group = group_of(status).ok_or_else(|| {
            SpheresumError::of(Group::Usage, &format!("{status} is no status of a failure"))
                .field("status")
        })?;
        let mut error = Error::new(group, message).at(place(&sink.name, line, column));
        if !hint.is_empty() {
            error = error.hint(hint);
        }
        sink.failure.get_or_insert(error);
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Remarks on something in the text.
///
/// @param sink in: the sink
/// @param severity in: SPHERESUM_SEVERITY_NOTE or _WARNING
/// @param code in: a stable word for programs
/// @param message in: one sentence
/// @param line in: line of the text, from 1; 0: none
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_sink_remark(
    sink: *mut SpheresumSink,
    severity: i32,
    code: *const c_char,
    message: *const c_char,
    line: u64,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: as the header asks.
        let (sink, code, message) = unsafe {
            (
                live(sink)?,
                required_text("code", code)?,
                required_text("message", message)?,
            )
        };
        if sink.findings.len() >= sink.limits.max_entries {
            return Err(Error::limit("there are too many remarks").into());
        }
        let finding = match severity {
            crate::SPHERESUM_SEVERITY_NOTE => Finding::note(code, message),
            crate::SPHERESUM_SEVERITY_WARNING => Finding::warning(code, message),
            _ => {
                return Err(SpheresumError::of(
                    Group::Usage,
                    &format!("{severity} is no severity of a remark"),
                )
                .field("severity"));
            }
        };
        sink.findings.push(finding.at(place(&sink.name, line, 0)));
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Value of an option that the caller set by name. An option that no adapter asks for is refused after the read.
///
/// @param sink in: the sink
/// @param name in: name of the option
/// @return its value, borrowed, valid during the call of read; NULL where it was not set
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_sink_option(
    sink: *mut SpheresumSink,
    name: *const c_char,
) -> *const c_char {
    // SAFETY: as the header asks.
    let found = unsafe { live(sink).and_then(|s| Ok((s, required_text("name", name)?))) };
    let Ok((sink, name)) = found else {
        return std::ptr::null();
    };
    let value = sink.options.iter().find(|o| o.0 == name);
    if value.is_some() {
        sink.asked.insert(name.to_string());
    }
    value.map_or(std::ptr::null(), |v| v.1.as_ptr())
}

fn place(name: &str, line: u64, column: u64) -> Place {
    let mut place = Place::in_source(name);
    if line > 0 {
        place = place.with_line(line);
    }
    if column > 0 {
        place = place.with_column(column);
    }
    place
}
