//! Total radiated power from arrays.

use crate::array::{check, optional, required};
use crate::error::SpheresumError;
use crate::panic::guard;
use spheresum_core::figure::{Figure, FigureState};
use spheresum_core::reduce::{ReduceOptions, reduce_readings};
use spheresum_core::rule::{Rule, RuleChoice};
use spheresum_core::unit::level;
use spheresum_core::{
    Finding, Group, Limits, Mark, Polarisation, Quantity, Reading, Readings, Severity, Value,
};

/// The library chooses the rule: sine on 15 and 30 degree steps and where a pole was not measured, Clenshaw-Curtis elsewhere.
pub const SPHERESUM_RULE_AUTO: i32 = 0;
/// Sine-weighted sum.
pub const SPHERESUM_RULE_SINE: i32 = 1;
/// Clenshaw-Curtis.
pub const SPHERESUM_RULE_CLENSHAW_CURTIS: i32 = 2;

/// State of a sample: measured.
pub const SPHERESUM_SAMPLE_MEASURED: u8 = 0;
/// State of a sample: the true level is at most the value; half of it (in watts) is used.
pub const SPHERESUM_SAMPLE_AT_MOST: u8 = 1;
/// State of a sample: the true level is at least the value, which is used.
pub const SPHERESUM_SAMPLE_AT_LEAST: u8 = 2;
/// State of a sample: not measured. Its value is not looked at.
pub const SPHERESUM_SAMPLE_MISSING: u8 = 3;

/// State of a figure: it has a value.
pub const SPHERESUM_FIGURE_VALUE: u8 = 0;
/// State of a figure: exactly 0 W, which has no decibels.
pub const SPHERESUM_FIGURE_ZERO: u8 = 1;
/// State of a figure: below 0 W, which has no decibels.
pub const SPHERESUM_FIGURE_NOT_ABOVE_ZERO: u8 = 2;
/// State of a figure: the data cannot support it. A call for one single figure fails instead, with the reason.
pub const SPHERESUM_FIGURE_REFUSED: u8 = 3;

/// Angles that can be folded into the sphere, degrees.
pub(crate) const THETA_DEG: [f64; 2] = [-180.0, 360.0];
pub(crate) const PHI_DEG: [f64; 2] = [-360.0, 720.0];

/// Largest level that is taken for one, either way, dBm.
const MAX_DBM: f64 = 300.0;

/// The four arrays of levels and states, and the two of directions, as the caller gave them.
struct Samples<'a> {
    theta_deg: &'a [f64],
    phi_deg: &'a [f64],
    polarisations: [Column<'a>; 2],
}

/// Levels of one polarisation.
struct Column<'a> {
    polarisation: Polarisation,
    name: &'static str,
    level_dbm: &'a [f64],
    state_name: &'static str,
    state: Option<&'a [u8]>,
}

/// Total radiated power (TRP) of EIRP samples on an equal-angle grid, at one frequency.
///
/// A sample is one element of each array: a direction and one level in each polarisation. Samples may come in any order, which
/// does not change the result. Directions that are given twice (phi of 0 and 360, all phi of a pole) are averaged in watts.
/// Gaps up to 10 % of the sphere are filled from their neighbours; beyond that the call fails with SPHERESUM_STATUS_DOMAIN.
/// A level is finite and within -300..300 dBm: 0 W cannot be said in decibels, so give a polarisation that radiates nothing a
/// level far below the other, or SPHERESUM_SAMPLE_AT_MOST with the lowest level that could have been seen.
///
/// The call gives the value alone, not the bounds that samples marked as such, or filled, put on it.
///
/// @param theta_deg in: count angles from the z axis, degrees, 0..180 (-180..360 is folded)
/// @param phi_deg in: count angles around it, degrees, 0..360 (-360..720 is folded)
/// @param eirp_theta_dbm in: count levels in the theta polarisation, dBm
/// @param eirp_phi_dbm in: count levels in the phi polarisation, dBm
/// @param state_theta in, optional: count states SPHERESUM_SAMPLE_... of eirp_theta_dbm; NULL: all measured
/// @param state_phi in, optional: count states SPHERESUM_SAMPLE_... of eirp_phi_dbm; NULL: all measured
/// @param count in: number of samples, 1..33554432
/// @param rule in: integration rule, SPHERESUM_RULE_...
/// @param out_trp_dbm out: TRP, dBm; written only if the state is SPHERESUM_FIGURE_VALUE
/// @param out_state out: SPHERESUM_FIGURE_VALUE, _ZERO or _NOT_ABOVE_ZERO
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (a number in an array is wrong; the error names parameter and element), _USAGE (a pointer,
/// the count, the rule or a state is wrong), _DOMAIN (the samples cannot support a TRP; the message is the reason), _LIMIT
/// (too many samples) or _INTERNAL
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments)]
pub unsafe extern "C" fn spheresum_trp_dbm(
    theta_deg: *const f64,
    phi_deg: *const f64,
    eirp_theta_dbm: *const f64,
    eirp_phi_dbm: *const f64,
    state_theta: *const u8,
    state_phi: *const u8,
    count: usize,
    rule: i32,
    out_trp_dbm: *mut f64,
    out_state: *mut u8,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        check("out_trp_dbm", out_trp_dbm)?;
        check("out_state", out_state)?;
        let options = options(rule)?;
        let limits = Limits::default();
        check_count(count, &limits)?;
        // SAFETY: NULL, or `count` elements that nobody changes during the call, as the header asks.
        let samples = unsafe {
            Samples {
                theta_deg: required("theta_deg", theta_deg, count)?,
                phi_deg: required("phi_deg", phi_deg, count)?,
                polarisations: [
                    Column {
                        polarisation: Polarisation::Theta,
                        name: "eirp_theta_dbm",
                        level_dbm: required("eirp_theta_dbm", eirp_theta_dbm, count)?,
                        state_name: "state_theta",
                        state: optional("state_theta", state_theta, count)?,
                    },
                    Column {
                        polarisation: Polarisation::Phi,
                        name: "eirp_phi_dbm",
                        level_dbm: required("eirp_phi_dbm", eirp_phi_dbm, count)?,
                        state_name: "state_phi",
                        state: optional("state_phi", state_phi, count)?,
                    },
                ],
            }
        };
        let readings = samples.readings(&limits)?;
        if readings.is_empty() {
            return Err(SpheresumError::of(Group::Domain, "every sample is missing"));
        }
        let reduction = reduce_readings(&[readings], &options, &limits)?;
        let figure = reduction.channels.first().and_then(|c| c.figure("trp"));
        let (state, value_dbm) =
            outcome(figure).map_err(|e| match remarks(&reduction.findings) {
                Some(remarks) => e.hint(&remarks),
                None => e,
            })?;
        // SAFETY: checked above not to be NULL; they can be written, as the header asks.
        unsafe {
            out_state.write(state);
            if let Some(value_dbm) = value_dbm {
                out_trp_dbm.write(value_dbm);
            }
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

fn options(rule: i32) -> Result<ReduceOptions, SpheresumError> {
    let mut options = ReduceOptions::default();
    options.rule = match rule {
        SPHERESUM_RULE_AUTO => RuleChoice::Auto,
        SPHERESUM_RULE_SINE => RuleChoice::Fixed(Rule::Sine),
        SPHERESUM_RULE_CLENSHAW_CURTIS => RuleChoice::Fixed(Rule::ClenshawCurtis),
        _ => {
            return Err(
                SpheresumError::of(Group::Usage, &format!("there is no rule {rule}"))
                    .field("rule")
                    .hint("use one of the constants SPHERESUM_RULE_..."),
            );
        }
    };
    options.figures = Some(vec!["trp".to_string()]);
    Ok(options)
}

/// Refuses a count before anything is read or allocated.
fn check_count(count: usize, limits: &Limits) -> Result<(), SpheresumError> {
    // A sample is two readings.
    let most = limits.max_readings / 2;
    let error = match count {
        0 => SpheresumError::of(Group::Usage, "there are no samples"),
        _ if count > most => SpheresumError::of(
            Group::Limit,
            &format!("{count} samples are more than {most}"),
        ),
        _ => return Ok(()),
    };
    Err(error.field("count"))
}

impl Samples<'_> {
    /// Readings of all samples that were measured.
    fn readings(&self, limits: &Limits) -> Result<Readings, SpheresumError> {
        let mut readings = Readings::new("arrays", Quantity::Eirp, limits);
        let frequency = readings.frequency_index(None, limits)?;
        for (index, (&theta_deg, &phi_deg)) in self.theta_deg.iter().zip(self.phi_deg).enumerate() {
            for (name, angle) in [("theta_deg", theta_deg), ("phi_deg", phi_deg)] {
                if !angle.is_finite() {
                    let message = format!("{name}[{index}] is not a finite number");
                    return Err(SpheresumError::of(Group::Input, &message)
                        .field(name)
                        .element(index));
                }
                let [low, high] = if name == "theta_deg" {
                    THETA_DEG
                } else {
                    PHI_DEG
                };
                if !(low..=high).contains(&angle) {
                    let message =
                        format!("{name}[{index}] = {angle} is not between {low} and {high}");
                    return Err(SpheresumError::of(Group::Input, &message)
                        .field(name)
                        .element(index)
                        .hint("angles are in degrees"));
                }
            }
            for column in &self.polarisations {
                let Some((value, mark)) = column.get(index)? else {
                    continue;
                };
                readings
                    .push(Reading {
                        frequency,
                        theta_deg,
                        phi_deg,
                        polarisation: column.polarisation,
                        value: Value::Power(value),
                        mark,
                        line: u32::try_from(index + 1).unwrap_or(0),
                    })
                    .map_err(|e| SpheresumError::from(e).element(index))?;
            }
        }
        Ok(readings)
    }
}

impl Column<'_> {
    /// Watts and mark of a sample; none where it is missing.
    fn get(&self, index: usize) -> Result<Option<(f64, Mark)>, SpheresumError> {
        let mark = match self
            .state
            .and_then(|s| s.get(index))
            .copied()
            .unwrap_or(SPHERESUM_SAMPLE_MEASURED)
        {
            SPHERESUM_SAMPLE_MEASURED => Mark::Exact,
            SPHERESUM_SAMPLE_AT_MOST => Mark::AtMost,
            SPHERESUM_SAMPLE_AT_LEAST => Mark::AtLeast,
            SPHERESUM_SAMPLE_MISSING => return Ok(None),
            other => {
                let message = format!(
                    "{}[{index}] is {other}, which is no state of a sample",
                    self.state_name
                );
                return Err(SpheresumError::of(Group::Usage, &message)
                    .field(self.state_name)
                    .element(index)
                    .hint("use one of the constants SPHERESUM_SAMPLE_..."));
            }
        };
        let level_dbm = self.level_dbm.get(index).copied().unwrap_or(f64::NAN);
        if (-MAX_DBM..=MAX_DBM).contains(&level_dbm) {
            return Ok(Some((level::w_from_dbm(level_dbm), mark)));
        }
        let (message, hint) = if level_dbm.is_finite() {
            (
                format!(
                    "{}[{index}] = {level_dbm} is not a level between -300 and 300 dBm",
                    self.name
                ),
                "check the unit: levels are in dBm",
            )
        } else {
            (
                format!("{}[{index}] is not a finite number", self.name),
                "say with the array of states that a sample is missing, or that it is at most a level",
            )
        };
        Err(SpheresumError::of(Group::Input, &message)
            .field(self.name)
            .element(index)
            .hint(hint))
    }
}

/// State and value of a figure; a refusal is a DOMAIN error with its reason.
fn outcome(figure: Option<&Figure>) -> Result<(u8, Option<f64>), SpheresumError> {
    let internal = |text| SpheresumError::new(crate::SPHERESUM_STATUS_INTERNAL, text);
    let figure = figure.ok_or_else(|| internal("the reduction gave no TRP"))?;
    match (figure.state, figure.value) {
        (FigureState::Value, Some(value)) => Ok((SPHERESUM_FIGURE_VALUE, Some(value))),
        (FigureState::Zero, _) => Ok((SPHERESUM_FIGURE_ZERO, None)),
        (FigureState::NotAboveZero, _) => Ok((SPHERESUM_FIGURE_NOT_ABOVE_ZERO, None)),
        (FigureState::Refused, _) => Err(SpheresumError::of(
            Group::Domain,
            figure.reason.as_deref().unwrap_or("the TRP was refused"),
        )),
        _ => Err(internal(
            "the TRP has a state that this version does not know",
        )),
    }
}

/// What the reduction remarked on the samples, where that helps to understand a refusal: a line each, with its advice.
fn remarks(findings: &[Finding]) -> Option<String> {
    let lines: Vec<String> = findings
        .iter()
        .filter(|f| f.severity == Severity::Warning)
        .map(|f| match &f.advice {
            Some(advice) => format!("{}: {advice}", f.message),
            None => f.message.clone(),
        })
        .collect();
    (!lines.is_empty()).then(|| lines.join("\n"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::State;
    use spheresum_core::figure::Unit;

    #[test]
    fn each_state_of_a_figure_has_its_outcome() {
        let linear = |w| Figure::from_linear("trp", Unit::Dbm, w, None, None);
        assert_eq!(
            outcome(Some(&linear(1e-3))).unwrap(),
            (SPHERESUM_FIGURE_VALUE, Some(0.0))
        );
        assert_eq!(
            outcome(Some(&linear(0.0))).unwrap(),
            (SPHERESUM_FIGURE_ZERO, None)
        );
        assert_eq!(
            outcome(Some(&linear(-1.0))).unwrap(),
            (SPHERESUM_FIGURE_NOT_ABOVE_ZERO, None)
        );
        let refused = outcome(Some(&Figure::refused("trp", Unit::Dbm, "too few"))).unwrap_err();
        assert_eq!((refused.code(), refused.text()), (3000, "too few"));
        assert_eq!(outcome(None).unwrap_err().code(), 9000);
    }

    #[test]
    fn each_state_of_a_sample_has_its_mark() {
        let column = |state| Column {
            polarisation: Polarisation::Theta,
            name: "level",
            level_dbm: &[30.0],
            state_name: "state",
            state,
        };
        let marks: [(Option<&[u8]>, _); 5] = [
            (None, Some((1.0, Mark::Exact))),
            (Some(&[SPHERESUM_SAMPLE_MEASURED]), Some((1.0, Mark::Exact))),
            (Some(&[SPHERESUM_SAMPLE_AT_MOST]), Some((1.0, Mark::AtMost))),
            (
                Some(&[SPHERESUM_SAMPLE_AT_LEAST]),
                Some((1.0, Mark::AtLeast)),
            ),
            (Some(&[SPHERESUM_SAMPLE_MISSING]), None),
        ];
        for (state, want) in marks {
            assert_eq!(column(state).get(0).unwrap(), want, "{state:?}");
        }
        // One number a state, as core has them.
        assert_eq!(State::Measured as u8, SPHERESUM_SAMPLE_MEASURED);
        assert_eq!(State::AtMost as u8, SPHERESUM_SAMPLE_AT_MOST);
        assert_eq!(State::AtLeast as u8, SPHERESUM_SAMPLE_AT_LEAST);
        assert_eq!(State::Missing as u8, SPHERESUM_SAMPLE_MISSING);
    }

    #[test]
    fn counts_are_checked_before_anything_is_read() {
        let limits = Limits::default();
        assert!(check_count(1, &limits).is_ok());
        assert!(check_count(33_554_432, &limits).is_ok());
        assert_eq!(check_count(33_554_433, &limits).unwrap_err().code(), 4000);
        assert_eq!(check_count(usize::MAX, &limits).unwrap_err().code(), 4000);
        assert_eq!(check_count(0, &limits).unwrap_err().code(), 2000);
    }
}
