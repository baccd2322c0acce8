//! What goes into a case.

use super::fields::Fields;
use super::words::{count, in_unit, one_of, steps};
use crate::error::Result;
use crate::model::EqualAngleGrid;
use crate::rule::Rule;
use crate::table::case::Input;
use crate::table::files::Files;
use crate::table::line::Piece;
use crate::table::measure::{Kind, Symbol};
use crate::table::pattern::{Axis, ExponentialBeam, LineArray, Pattern};
use crate::table::sample::{Level, SampledPattern};
use crate::table::spheres::{EmbeddedSphere, SPHERES};
use crate::unit::frequency::{Frequency, FrequencyUnit};

/// The input of a case: exactly one kind.
pub(super) fn read<'a>(name: Piece<'a>, fields: &mut Fields<'a>) -> Result<Input> {
    if let Some(pattern) = fields.take("pattern") {
        return sampled(name, pattern, fields).map(Input::Pattern);
    }
    if let Some(sphere) = fields.take("sphere") {
        return EmbeddedSphere::of(sphere.text)
            .map(Input::Sphere)
            .ok_or_else(|| {
                let all: Vec<&str> = SPHERES.iter().map(|s| s.name).collect();
                sphere
                    .error(format!("there is no sphere {:?}", sphere.text))
                    .hint(format!("spheres: {}", all.join(", ")))
            });
    }
    if let Some(files) = fields.take("files") {
        return of_files(files, fields).map(Input::Files);
    }
    if let Some(rule) = fields.take("weights") {
        let rule = one_of(rule, "rule", &Rule::ALL.map(|r| (r.as_str(), r)))?;
        let stated = fields.need("intervals", name)?;
        let intervals = count(stated)?;
        if !(2..=36_000).contains(&intervals) {
            return Err(stated.error("a grid has 2 to 36 000 intervals of θ"));
        }
        return Ok(Input::Weights { rule, intervals });
    }
    if let Some(levels) = fields.take("levels") {
        return of_levels(levels);
    }
    if let Some(difference) = fields.take("difference") {
        let d_db = in_unit(difference, Symbol::Db)?;
        let exponent = match fields.take("path-loss-exponent") {
            Some(piece) => {
                let exponent = in_unit(piece, Symbol::One)?;
                if exponent <= 0.0 {
                    return Err(piece.error("the exponent of a path loss is above 0"));
                }
                Some(exponent)
            }
            None => None,
        };
        return Ok(Input::Difference { d_db, exponent });
    }
    Err(name
        .error(format!("the case {} has no input", name.text))
        .hint("inputs: pattern, sphere, files, weights, levels, difference"))
}

/// Files of one run, with commas between them.
fn of_files<'a>(piece: Piece<'a>, fields: &mut Fields<'a>) -> Result<Files> {
    let parts = piece.parts(",", usize::MAX);
    if let Some(empty) = parts.iter().find(|p| p.text.is_empty()) {
        return Err(empty.error("here stands no file"));
    }
    let frequency = match fields.take("frequency") {
        Some(stated) => Some(frequency(stated)?),
        None => None,
    };
    Ok(Files {
        files: parts.iter().map(|p| p.text.to_string()).collect(),
        frequency,
    })
}

fn frequency(piece: Piece<'_>) -> Result<Frequency> {
    piece
        .text
        .strip_suffix("MHz")
        .filter(|number| number.ends_with(' '))
        .and_then(|number| Frequency::parse(number.trim_end(), FrequencyUnit::Mhz))
        .ok_or_else(|| {
            piece
                .error(format!("{:?} is no frequency", piece.text))
                .hint("a frequency is a number above 0, a blank and MHz, such as 868.3 MHz")
        })
}

fn of_levels(piece: Piece<'_>) -> Result<Input> {
    let mut levels = Vec::new();
    let mut kind: Option<Kind> = None;
    for part in piece.parts(",", usize::MAX) {
        let amount = part.amount_in(&[
            Symbol::Dbm,
            Symbol::Watt,
            Symbol::Milliwatt,
            Symbol::Db,
            Symbol::One,
            Symbol::Percent,
        ])?;
        if kind.is_some_and(|k| k != amount.unit.kind()) {
            return Err(part.error("powers and ratios do not add"));
        }
        kind = Some(amount.unit.kind());
        levels.push(amount);
    }
    Ok(Input::Levels(levels))
}

fn sampled<'a>(
    name: Piece<'a>,
    word: Piece<'a>,
    fields: &mut Fields<'a>,
) -> Result<SampledPattern> {
    let pattern = pattern(name, word, fields)?;
    let theta = fields.need("theta-step", name)?;
    let intervals = steps(theta, 180.0)?;
    let phi_count = steps(fields.need("phi-step", name)?, 360.0)?;
    let grid =
        EqualAngleGrid::try_new(intervals, phi_count, 0.0).map_err(|e| theta.error(e.message()))?;
    let mut sampled = SampledPattern::new(pattern, grid, level(name, pattern, fields)?);
    if let Some(seam) = fields.take("seam") {
        sampled.repeat_seam = one_of(seam, "seam", &[("repeated", true)])?;
    }
    Ok(sampled)
}

fn level<'a>(name: Piece<'a>, pattern: Pattern, fields: &mut Fields<'a>) -> Result<Level> {
    for (key, make) in [
        ("given-trp", Level::TrpDbm as fn(f64) -> Level),
        ("given-peak", Level::PeakDbm),
        ("given-tis", Level::TisDbm),
        ("given-eis-each", Level::EachEisDbm),
    ] {
        if let Some(piece) = fields.take(key) {
            let dbm = in_unit(piece, Symbol::Dbm)?;
            if !(-200.0..=200.0).contains(&dbm) {
                return Err(piece.error("levels run from −200 to 200 dBm"));
            }
            let level = make(dbm);
            if matches!(level, Level::EachEisDbm(_)) && pattern != Pattern::Isotropic {
                return Err(
                    piece.error("only the isotropic pattern has one EIS in each polarisation")
                );
            }
            return Ok(level);
        }
    }
    Err(name
        .error(format!(
            "the case {} does not say what its pattern is scaled to",
            name.text
        ))
        .hint("one of given-trp, given-peak, given-tis, given-eis-each"))
}

fn pattern<'a>(name: Piece<'a>, word: Piece<'a>, fields: &mut Fields<'a>) -> Result<Pattern> {
    match word.text {
        "line-array" => {
            let points = fields.need("points", name)?;
            let number = u32::try_from(count(points)?).unwrap_or(0);
            if !(1..=1000).contains(&number) {
                return Err(points.error("a line has 1 to 1000 points"));
            }
            let spacing = fields.need("spacing", name)?;
            let phase = fields.need("phase-step", name)?;
            let array = LineArray {
                axis: one_of(
                    fields.need("axis", name)?,
                    "axis",
                    &Axis::ALL.map(|a| (a.as_str(), a)),
                )?,
                points: number,
                spacing_wavelengths: in_unit(spacing, Symbol::Wavelength)?,
                phase_step_deg: in_unit(phase, Symbol::Degree)?,
            };
            if array.spacing_wavelengths <= 0.0 {
                return Err(spacing.error("points of a line lie apart"));
            }
            if !array.has_full_peak() {
                return Err(phase.error(
                    "with this phase no direction adds all points, so that the peak is not known",
                ));
            }
            Ok(Pattern::LineArray(array))
        }
        "exponential-beam" => {
            let kappa = fields.need("kappa", name)?;
            let beam = ExponentialBeam {
                kappa: in_unit(kappa, Symbol::One)?,
                axis_theta_deg: in_unit(fields.need("axis-theta", name)?, Symbol::Degree)?,
                axis_phi_deg: in_unit(fields.need("axis-phi", name)?, Symbol::Degree)?,
            };
            if beam.kappa <= 0.0 {
                return Err(kappa.error("κ is above 0"));
            }
            Ok(Pattern::ExponentialBeam(beam))
        }
        _ => one_of(
            word,
            "pattern",
            &[
                ("isotropic", Pattern::Isotropic),
                ("z-dipole", Pattern::ZDipole),
                ("x-dipole", Pattern::XDipole),
                ("small-loop", Pattern::SmallLoop),
                ("half-wave-dipole", Pattern::HalfWaveDipole),
                ("huygens-x", Pattern::HuygensX),
                ("turnstile", Pattern::Turnstile),
            ],
        ),
    }
}
