//! Readings from arrays.

use super::SpheresumReadings;
use crate::array::{optional, required};
use crate::error::SpheresumError;
use crate::handle::get_mut;
use crate::panic::guard;
use crate::trp::{PHI_DEG, THETA_DEG};
use crate::words::{
    SPHERESUM_UNIT_DECIBEL, SPHERESUM_UNIT_LINEAR, polarisation as polarisation_of,
};
use crate::{
    SPHERESUM_SAMPLE_AT_LEAST, SPHERESUM_SAMPLE_AT_MOST, SPHERESUM_SAMPLE_MEASURED,
    SPHERESUM_SAMPLE_MISSING,
};
use spheresum_core::model::{Batch, Complex64};
use spheresum_core::unit::level;
use spheresum_core::{
    Error, Frequency, Group, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};
use std::sync::Arc;

/// Largest level that is taken for one, either way, dB.
const MAX_DB: f64 = 300.0;

/// Adds readings of powers, sensitivities or gains: one polarisation at one frequency. All of them or none.
///
/// A link that was lost at an unknown level is SPHERESUM_SAMPLE_AT_LEAST with any value above 300 dB, for sensitivities only.
///
/// @param readings in: the readings
/// @param polarisation in: SPHERESUM_POLARISATION_...
/// @param frequency_hz in: the frequency, Hz; 0: unknown
/// @param count in: number of elements of each array; 0 adds nothing
/// @param theta_deg in: count angles from the z axis, degrees, 0..180 (-180..360 is folded)
/// @param phi_deg in: count angles around it, degrees, 0..360 (-360..720 is folded)
/// @param level in: count levels in the unit
/// @param unit in: SPHERESUM_UNIT_DECIBEL (dBm of powers and sensitivities, dBi of gains) or SPHERESUM_UNIT_LINEAR (W, ratio)
/// @param state in, optional: count states SPHERESUM_SAMPLE_...; NULL: all measured
/// @param time_s in, optional: count times, seconds from any start that all readings share; NULL: unknown
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (a number in an array is wrong; the error names parameter and element), _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_readings_add(
    readings: *mut SpheresumReadings,
    polarisation: i32,
    frequency_hz: f64,
    count: usize,
    theta_deg: *const f64,
    phi_deg: *const f64,
    level: *const f64,
    unit: i32,
    state: *const u8,
    time_s: *const f64,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: NULL, or as the header asks: `count` elements that nobody changes during the call.
        unsafe {
            let readings = Arc::make_mut(get_mut("readings", readings)?);
            let polarisation = polarisation_of(polarisation)?;
            if count == 0 {
                return Ok(());
            }
            check_count(readings, count)?;
            let columns = Columns {
                theta_deg: required("theta_deg", theta_deg, count)?,
                phi_deg: required("phi_deg", phi_deg, count)?,
                first: required("level", level, count)?,
                second: None,
                state: optional("state", state, count)?,
                time_s: optional("time_s", time_s, count)?,
            };
            let scale = scale(unit, readings.quantity())?;
            if readings.quantity().is_complex() {
                return Err(complex());
            }
            if let Some(values) = columns.plain(scale, readings.quantity()) {
                return columns.append(readings, polarisation, frequency_hz, &values);
            }
            let lost = readings.quantity().is_sensitivity();
            columns.add(readings, polarisation, frequency_hz, |index| {
                columns.level(index, scale, lost)
            })
        }
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Adds readings of a complex field: one polarisation at one frequency. All of them or none.
///
/// @param readings in: readings of a field
/// @param polarisation in: SPHERESUM_POLARISATION_THETA or _PHI
/// @param frequency_hz in: the frequency, Hz; 0: unknown
/// @param count in: number of elements of each array; 0 adds nothing
/// @param theta_deg in: count angles from the z axis, degrees
/// @param phi_deg in: count angles around it, degrees
/// @param real in: count real parts, in the scale of the quantity, time convention exp(+jwt)
/// @param imaginary in: count imaginary parts
/// @param state in, optional: count states, SPHERESUM_SAMPLE_MEASURED or _MISSING; NULL: all measured
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_readings_add_field(
    readings: *mut SpheresumReadings,
    polarisation: i32,
    frequency_hz: f64,
    count: usize,
    theta_deg: *const f64,
    phi_deg: *const f64,
    real: *const f64,
    imaginary: *const f64,
    state: *const u8,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: NULL, or as the header asks: `count` elements that nobody changes during the call.
        unsafe {
            let readings = Arc::make_mut(get_mut("readings", readings)?);
            let polarisation = polarisation_of(polarisation)?;
            if count == 0 {
                return Ok(());
            }
            check_count(readings, count)?;
            let columns = Columns {
                theta_deg: required("theta_deg", theta_deg, count)?,
                phi_deg: required("phi_deg", phi_deg, count)?,
                first: required("real", real, count)?,
                second: Some(required("imaginary", imaginary, count)?),
                state: optional("state", state, count)?,
                time_s: None,
            };
            columns.add(readings, polarisation, frequency_hz, |index| {
                columns.field(index)
            })
        }
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Adds one reading of a power, sensitivity or gain.
///
/// @param readings in: the readings
/// @param polarisation in: SPHERESUM_POLARISATION_...
/// @param frequency_hz in: the frequency, Hz; 0: unknown
/// @param theta_deg in: angle from the z axis, degrees
/// @param phi_deg in: angle around it, degrees
/// @param level in: level in the unit
/// @param unit in: SPHERESUM_UNIT_...
/// @param state in: SPHERESUM_SAMPLE_...
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return as spheresum_readings_add()
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_readings_add_one(
    readings: *mut SpheresumReadings,
    polarisation: i32,
    frequency_hz: f64,
    theta_deg: f64,
    phi_deg: f64,
    level: f64,
    unit: i32,
    state: u8,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    // SAFETY: the arrays are one element each and live during the call; the rest is as the header asks.
    unsafe {
        spheresum_readings_add(
            readings,
            polarisation,
            frequency_hz,
            1,
            &raw const theta_deg,
            &raw const phi_deg,
            &raw const level,
            unit,
            &raw const state,
            std::ptr::null(),
            out_error,
        )
    }
}

/// How levels are written.
#[derive(Clone, Copy)]
pub(crate) enum Scale {
    Dbm,
    Dbi,
    Linear,
}

impl Scale {
    /// The linear value of a finite level; `None` where it is none.
    pub(crate) fn linear(self, written: f64) -> Option<f64> {
        let in_range = written.abs() <= MAX_DB;
        match self {
            Self::Linear => (written >= 0.0).then_some(written),
            Self::Dbm => in_range.then(|| level::w_from_dbm(written)),
            Self::Dbi => in_range.then(|| level::ratio_from_db(written)),
        }
    }
}

/// How levels of a quantity are written in a unit.
pub(crate) fn scale(unit: i32, quantity: Quantity) -> Result<Scale, SpheresumError> {
    match unit {
        SPHERESUM_UNIT_DECIBEL if quantity == Quantity::Gain => Ok(Scale::Dbi),
        SPHERESUM_UNIT_DECIBEL => Ok(Scale::Dbm),
        SPHERESUM_UNIT_LINEAR => Ok(Scale::Linear),
        _ => Err(
            SpheresumError::of(Group::Usage, &format!("there is no unit {unit}"))
                .field("unit")
                .hint("use one of the constants SPHERESUM_UNIT_..."),
        ),
    }
}

fn complex() -> SpheresumError {
    SpheresumError::of(
        Group::Usage,
        "the readings are of a field, and levels were given",
    )
    .field("readings")
    .hint("add real and imaginary parts with spheresum_readings_add_field()")
}

/// A number for a message; a long one with an exponent.
fn shown(number: f64) -> String {
    let text = number.to_string();
    match text.len() > 24 {
        true => format!("{number:e}"),
        false => text,
    }
}

/// A frequency in Hz; 0 is unknown.
pub(crate) fn frequency(hz: f64) -> Result<Option<Frequency>, SpheresumError> {
    if hz == 0.0 {
        return Ok(None);
    }
    // Whole microhertz, as frequencies are kept; a double holds them up to 9 GHz.
    let text = format!("{hz:.6}");
    let found = (hz.is_finite() && hz > 0.0)
        .then(|| Frequency::parse(&text, spheresum_core::unit::frequency::FrequencyUnit::Hz))
        .flatten();
    found.map(Some).ok_or_else(|| {
        SpheresumError::of(Group::Usage, &format!("{} Hz is no frequency", shown(hz)))
            .field("frequency_hz")
            .hint("a frequency is above 0 and in hertz; 0 says that it is unknown")
    })
}

/// One level with its state: value and mark; `None` where it is missing.
pub(crate) fn level_of(
    level: f64,
    unit: i32,
    state: u8,
    quantity: Quantity,
) -> Result<Sample, SpheresumError> {
    let columns = Columns {
        theta_deg: &[],
        phi_deg: &[],
        first: &[level],
        second: None,
        state: Some(&[state]),
        time_s: None,
    };
    columns.level(0, scale(unit, quantity)?, quantity.is_sensitivity())
}

/// Refuses a count before anything is read or allocated.
fn check_count(readings: &Readings, count: usize) -> Result<(), SpheresumError> {
    let most = Limits::default().max_readings;
    if count <= most.saturating_sub(readings.len()) {
        return Ok(());
    }
    let message = match readings.len() {
        0 => format!("{count} readings are more than {most}"),
        there => format!("{count} readings and the {there} that are there are more than {most}"),
    };
    Err(SpheresumError::of(Group::Limit, &message)
        .field("count")
        .hint("split the measurement into several runs"))
}

/// The caller's arrays.
struct Columns<'a> {
    theta_deg: &'a [f64],
    phi_deg: &'a [f64],
    first: &'a [f64],
    second: Option<&'a [f64]>,
    state: Option<&'a [u8]>,
    time_s: Option<&'a [f64]>,
}

/// Value and mark; `None` where it is missing.
pub(crate) type Sample = Option<(Value, Mark)>;

impl Columns<'_> {
    /// Adds all of them, or none.
    fn add(
        &self,
        readings: &mut Readings,
        polarisation: Polarisation,
        frequency_hz: f64,
        sample: impl Fn(usize) -> Result<Sample, SpheresumError>,
    ) -> Result<(), SpheresumError> {
        let limits = Limits::default();
        let given = frequency(frequency_hz)?;
        if readings.frequencies().contains(&given) {
            let frequency = readings.frequency_index(given, &limits)?;
            return self.add_at(readings, polarisation, frequency, sample);
        }
        // A frequency that is new must not stay behind where a reading is refused.
        let mut new = Readings::new(readings.source(), readings.quantity(), &limits);
        let frequency = new.frequency_index(given, &limits)?;
        self.add_at(&mut new, polarisation, frequency, sample)?;
        if readings.absorb(&new, &limits) {
            return Ok(());
        }
        Err(Error::limit(format!(
            "more than {} readings or {} frequencies",
            limits.max_readings, limits.max_frequencies
        ))
        .hint("split the measurement into several runs")
        .into())
    }

    /// Linear values, where every reading is an ordinary one: nothing of them is refused, missing or a limit. Most arrays are such, and looking at
    /// whole columns is several times faster than at one reading after the other; what is not is left to the careful way, which says what is wrong.
    fn plain(&self, scale: Scale, quantity: Quantity) -> Option<Vec<f64>> {
        let measured = |s: &[u8]| s.iter().all(|s| *s == SPHERESUM_SAMPLE_MEASURED);
        let inside =
            |of: &[f64], [low, high]: [f64; 2]| of.iter().all(|a| (low..=high).contains(a));
        let ordinary = self.time_s.is_none()
            && self.state.is_none_or(measured)
            && inside(self.theta_deg, THETA_DEG)
            && inside(self.phi_deg, PHI_DEG);
        if !ordinary {
            return None;
        }
        // 0 W is no sensitivity.
        let least = if quantity.is_sensitivity() {
            f64::MIN_POSITIVE
        } else {
            0.0
        };
        let values = self.first.iter().map(|written| {
            let value = scale.linear(*written)?;
            (value >= least && value.is_finite()).then_some(value)
        });
        values.collect()
    }

    /// Appends readings that [`Columns::plain`] has nothing against.
    fn append(
        &self,
        readings: &mut Readings,
        polarisation: Polarisation,
        frequency_hz: f64,
        values: &[f64],
    ) -> Result<(), SpheresumError> {
        let frequency = readings.frequency_index(frequency(frequency_hz)?, &Limits::default())?;
        let frequency = u32::try_from(frequency).unwrap_or(u32::MAX);
        let count = values.len();
        let last = u32::try_from(count).unwrap_or(u32::MAX);
        readings.append(&Batch {
            theta_deg: self.theta_deg,
            phi_deg: self.phi_deg,
            frequency: &vec![frequency; count],
            polarisation: &vec![polarisation; count],
            value: values,
            imaginary: &[],
            line: &(1..=last).collect::<Vec<u32>>(),
        })?;
        Ok(())
    }

    fn add_at(
        &self,
        readings: &mut Readings,
        polarisation: Polarisation,
        frequency: usize,
        sample: impl Fn(usize) -> Result<Sample, SpheresumError>,
    ) -> Result<(), SpheresumError> {
        let before = readings.len();
        readings.reserve(self.first.len());
        for index in 0..self.first.len() {
            let added = sample(index).and_then(|sample| {
                let Some((value, mark)) = sample else {
                    return Ok(());
                };
                readings.push(Reading {
                    frequency,
                    theta_deg: self.angle("theta_deg", self.theta_deg, index, THETA_DEG)?,
                    phi_deg: self.angle("phi_deg", self.phi_deg, index, PHI_DEG)?,
                    polarisation,
                    value,
                    mark,
                    line: u32::try_from(index + 1).unwrap_or(0),
                })?;
                match self.time_s.and_then(|t| t.get(index)) {
                    Some(time_s) if !time_s.is_finite() => return Err(not_finite("time_s", index)),
                    Some(time_s) => readings.set_last_time_s(*time_s),
                    None => Ok(()),
                }
                .map_err(SpheresumError::from)
            });
            if let Err(error) = added {
                readings.truncate(before);
                return Err(error.element(index));
            }
        }
        Ok(())
    }

    fn angle(
        &self,
        name: &str,
        of: &[f64],
        index: usize,
        [low, high]: [f64; 2],
    ) -> Result<f64, SpheresumError> {
        let angle = of.get(index).copied().unwrap_or(f64::NAN);
        if !angle.is_finite() {
            return Err(not_finite(name, index));
        }
        if (low..=high).contains(&angle) {
            return Ok(angle);
        }
        let shown = shown(angle);
        Err(SpheresumError::of(
            Group::Input,
            &format!("{name}[{index}] = {shown} is not between {low} and {high}"),
        )
        .field(name)
        .hint("angles are in degrees"))
    }

    fn mark(&self, index: usize) -> Result<Option<Mark>, SpheresumError> {
        Ok(match self.state.and_then(|s| s.get(index)) {
            None | Some(&SPHERESUM_SAMPLE_MEASURED) => Some(Mark::Exact),
            Some(&SPHERESUM_SAMPLE_AT_MOST) => Some(Mark::AtMost),
            Some(&SPHERESUM_SAMPLE_AT_LEAST) => Some(Mark::AtLeast),
            Some(&SPHERESUM_SAMPLE_MISSING) => None,
            Some(other) => {
                return Err(SpheresumError::of(
                    Group::Usage,
                    &format!("state[{index}] is {other}, which is no state of a sample"),
                )
                .field("state")
                .hint("use one of the constants SPHERESUM_SAMPLE_..."));
            }
        })
    }

    fn level(
        &self,
        index: usize,
        scale: Scale,
        may_be_lost: bool,
    ) -> Result<Sample, SpheresumError> {
        let Some(mark) = self.mark(index)? else {
            return Ok(None);
        };
        let written = self.first.get(index).copied().unwrap_or(f64::NAN);
        if !written.is_finite() {
            return Err(not_finite("level", index));
        }
        let is_lost = written > MAX_DB && may_be_lost && mark == Mark::AtLeast;
        let value = match scale.linear(written) {
            Some(value) => value,
            None if is_lost => f64::INFINITY,
            None => {
                return Err(SpheresumError::of(
                    Group::Input,
                    &format!("level[{index}] = {} is no level", shown(written)),
                )
                .field("level")
                .hint("check the unit: decibels lie between -300 and 300, linear values are not negative"));
            }
        };
        Ok(Some((Value::Power(value), mark)))
    }

    fn field(&self, index: usize) -> Result<Sample, SpheresumError> {
        match self.mark(index)? {
            None => return Ok(None),
            Some(Mark::Exact) => {}
            Some(_) => {
                return Err(SpheresumError::of(
                    Group::Usage,
                    &format!("state[{index}] is a limit, which a field has not"),
                )
                .field("state")
                .hint("a field is measured or missing"));
            }
        }
        let get = |name: &str, of: Option<&[f64]>| {
            let part = of.and_then(|o| o.get(index)).copied().unwrap_or(f64::NAN);
            if part.is_finite() {
                Ok(part)
            } else {
                Err(not_finite(name, index))
            }
        };
        let (re, im) = (
            get("real", Some(self.first))?,
            get("imaginary", self.second)?,
        );
        Ok(Some((Value::Field(Complex64::new(re, im)), Mark::Exact)))
    }
}

fn not_finite(name: &str, index: usize) -> SpheresumError {
    SpheresumError::of(
        Group::Input,
        &format!("{name}[{index}] is not a finite number"),
    )
    .field(name)
    .hint("say with the array of states that a sample is missing, or that it is a limit")
}
