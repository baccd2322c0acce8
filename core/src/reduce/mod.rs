//! The line itself: assemble → correct → fill → rule → figures, findings and history.

mod figures;
mod named;
pub mod noise;
mod notes;
mod options;
mod result;

pub(crate) use figures::wanted;
pub use named::{NamedOptions, OPTION_NAMES};
pub use noise::{NoiseOptions, NoiseReport};
pub use options::ReduceOptions;
pub use result::{ChannelResult, Reduction, Verdict};

use crate::assemble;
use crate::correct::{Floor, Noise, field, floor, noise_only, range};
use crate::error::{Error, Result};
use crate::figure::{self, Channel, Figure, FigureState, Setting};
use crate::fill;
use crate::finding::{self, Finding};
use crate::history::{History, Step};
use crate::limits::Limits;
use crate::model::{Data, Grid, Quantity, Readings, Sphere, State};
use crate::rule::{Edges, EdgesChoice, Rule, RuleChoice, WeightTable, half_with_clenshaw_curtis};
use crate::unit::level;
use crate::watch::{Span, Unwatched, Watch};

/// A sphere ready to be reduced: assembled, corrected, in powers; with findings and history so far.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Prepared {
    /// The sphere.
    pub sphere: Sphere,
    /// Remarks so far.
    pub findings: Vec<Finding>,
    /// Steps so far.
    pub history: History,
    /// The noise of the sphere, where its floor was taken off.
    pub noise: Option<Noise>,
}

/// Assembles the readings of one run, applies the range loss, and turns fields into powers.
///
/// # Errors
/// - as [`assemble::assemble`] and [`range::apply`];
/// - Domain: a grid that is not equal-angle, which no rule of this version integrates.
pub fn prepare(
    readings: &[Readings],
    options: &ReduceOptions,
    limits: &Limits,
) -> Result<Prepared> {
    prepare_watched(readings, options, limits, &Unwatched)
}

/// As [`prepare`], with progress told to a watch, which can stop it.
///
/// # Errors
/// As [`prepare`]; Cancelled: the watch said stop.
pub fn prepare_watched(
    readings: &[Readings],
    options: &ReduceOptions,
    limits: &Limits,
    watch: &dyn Watch,
) -> Result<Prepared> {
    prepare_within(readings, options, limits, Span::whole(watch))
}

fn prepare_within(
    readings: &[Readings],
    options: &ReduceOptions,
    limits: &Limits,
    span: Span<'_>,
) -> Result<Prepared> {
    let part = span.part(0.0, 0.5);
    let assembled = assemble::assemble_within(readings, options.snap_deg, limits, part)?;
    if let Grid::Listed(grid) = assembled.sphere.grid() {
        let source = readings.first().map_or("", Readings::source);
        return Err(Error::domain(format!(
            "the directions are not an equal-angle grid: {}; listed directions cannot be integrated yet",
            grid.reason()
        ))
        .hint("export the samples on a grid with equal θ steps that divide 180° and equal φ steps that divide 360°; read-backs may be off by --snap-deg")
        .at(crate::Place::in_source(source)));
    }
    span.at(0.5, "correcting for range and noise")?;
    let poles = options.range.as_ref().map(|range| {
        let frequencies = assembled.sphere.frequencies();
        assembled.poles(|f| range.theta_over_phi(frequencies.get(f).copied().flatten()))
    });
    let mut findings = assembled.findings;
    let mut history = vec![assembled.step];
    let floor = floor_of(options, readings)?;
    let (sphere, noise) = quiet(assembled.sphere, floor.as_ref(), options, &mut history)?;
    findings.extend(poles.into_iter().flatten());
    if let Some(noise) = &noise {
        noise::explain_poles(&mut findings, &sphere, noise);
    }
    span.at(0.6, "turning fields into powers")?;
    let (sphere, step) = field::to_power(sphere)?;
    history.extend(step);
    findings.extend(finding::from_sphere_within(&sphere, span.part(0.65, 0.95))?);
    span.at(0.95, "looking for a floor")?;
    if noise.is_none() {
        findings.extend(finding::plateau(&sphere));
    }
    span.at(1.0, "prepared")?;
    Ok(Prepared {
        sphere,
        findings,
        history,
        noise,
    })
}

/// The floor that is asked for, with the number of averages that was given or that the files say.
fn floor_of(options: &ReduceOptions, readings: &[Readings]) -> Result<Option<Floor>> {
    let Some(floor) = &options.floor else {
        return Ok(None);
    };
    let mut said = floor.averages;
    if said.is_none() {
        for (at, one) in readings.iter().enumerate() {
            let here = noise_only::said_averages(one)?;
            if at > 0 && here != said {
                return Err(
                    Error::input("the files of one run say different numbers of averages")
                        .hint("give --averages N")
                        .at(crate::Place::in_source(one.source())),
                );
            }
            said = here;
        }
    }
    Ok(Some(floor.clone().with_averages(said)))
}

/// Takes the floor off and applies the range loss: in that order where the floor is of what was received.
fn quiet(
    sphere: Sphere,
    floor: Option<&Floor>,
    options: &ReduceOptions,
    history: &mut History,
) -> Result<(Sphere, Option<Noise>)> {
    let loss = options.range.as_ref();
    let is_after = |f: &&Floor| f.quantity() == Some(Quantity::Eirp);
    let (before, after) = match floor {
        Some(floor) if sphere.quantity() == Quantity::ReceivedPower && is_after(&floor) => {
            (None, Some(floor))
        }
        other => (other, None),
    };
    let (sphere, noise) = match before {
        Some(floor) => {
            let quiet = floor::take_off(sphere, floor)?;
            history.push(quiet.step);
            let received = quiet.sphere.quantity() == Quantity::ReceivedPower;
            let noise = match loss.filter(|_| received) {
                Some(loss) => quiet.noise.through(loss, &quiet.sphere)?,
                None => quiet.noise,
            };
            (quiet.sphere, Some(noise))
        }
        None => (sphere, None),
    };
    let (sphere, step) = range::apply(sphere, loss)?;
    history.extend(step);
    let Some(floor) = after else {
        return Ok((sphere, noise));
    };
    let quiet = floor::take_off(sphere, floor)?;
    history.push(quiet.step);
    Ok((quiet.sphere, Some(quiet.noise)))
}

/// Reduces the readings of one run: [`prepare`], then [`reduce`].
///
/// # Errors
/// As these.
///
/// ```
/// use spheresum_core::{Limits, Mark, Polarisation, Quantity, Reading, Readings, Value};
/// use spheresum_core::reduce::{ReduceOptions, reduce_readings};
///
/// // A z dipole with 0 dBm TRP on a 30° grid: EIRP = 1.5 mW sin²θ, all of it in theta.
/// let limits = Limits::default();
/// let mut readings = Readings::new("dipole", Quantity::Eirp, &limits);
/// let frequency = readings.frequency_index(None, &limits)?;
/// for i in 0..=6 {
///     for j in 0..12 {
///         let theta_deg = 30.0 * f64::from(i);
///         let sine = theta_deg.to_radians().sin();
///         for (polarisation, power) in [(Polarisation::Theta, 1.5e-3 * sine * sine), (Polarisation::Phi, 0.0)] {
///             readings.push(Reading {
///                 frequency,
///                 theta_deg,
///                 phi_deg: 30.0 * f64::from(j),
///                 polarisation,
///                 value: Value::Power(power),
///                 mark: Mark::Exact,
///                 line: 0,
///             })?;
///         }
///     }
/// }
/// let reduction = reduce_readings(&[readings], &ReduceOptions::default(), &limits)?;
/// let trp = reduction.channels[0].figure("trp").and_then(|f| f.value);
/// // The sine rule reads a z dipole 0.0044 dB high on a 30° grid.
/// assert!(trp.is_some_and(|v| (v - 0.00436).abs() < 1e-5));
/// # Ok::<(), spheresum_core::Error>(())
/// ```
pub fn reduce_readings(
    readings: &[Readings],
    options: &ReduceOptions,
    limits: &Limits,
) -> Result<Reduction> {
    reduce_readings_watched(readings, options, limits, &Unwatched)
}

/// As [`reduce_readings`], with progress told to a watch, which can stop it.
///
/// # Errors
/// As [`reduce_readings`]; Cancelled: the watch said stop.
pub fn reduce_readings_watched(
    readings: &[Readings],
    options: &ReduceOptions,
    limits: &Limits,
    watch: &dyn Watch,
) -> Result<Reduction> {
    let span = Span::whole(watch);
    let prepared = prepare_within(readings, options, limits, span.part(0.0, 0.4))?;
    reduce_within(prepared, options, span.part(0.4, 1.0))
}

/// Fills gaps, integrates, and gives all figures.
///
/// # Errors
/// - Usage: options that contradict each other, a figure name that is unknown or does not exist for the quantity;
/// - Domain: a quantity that has no figures before its range loss is applied.
pub fn reduce(prepared: Prepared, options: &ReduceOptions) -> Result<Reduction> {
    reduce_watched(prepared, options, &Unwatched)
}

/// As [`reduce`], with progress told to a watch, which can stop it.
///
/// # Errors
/// As [`reduce`]; Cancelled: the watch said stop.
pub fn reduce_watched(
    prepared: Prepared,
    options: &ReduceOptions,
    watch: &dyn Watch,
) -> Result<Reduction> {
    reduce_within(prepared, options, Span::whole(watch))
}

/// As [`reduce`], as a part of a watched call.
pub(crate) fn reduce_within(
    prepared: Prepared,
    options: &ReduceOptions,
    span: Span<'_>,
) -> Result<Reduction> {
    let Prepared {
        sphere,
        mut findings,
        mut history,
        noise: floor_noise,
    } = prepared;
    options.check()?;
    let Some(grid) = sphere.grid().equal_angle().copied() else {
        return Err(Error::domain("listed directions cannot be integrated yet"));
    };
    if sphere.quantity().needs_range_loss() || sphere.quantity().is_complex() {
        return Err(Error::usage(
            "apply the range loss, and turn fields into powers, before reducing",
        ));
    }
    let specs = figures::wanted(sphere.quantity(), options)?;
    let sphere = supply_eis_max(sphere, options.eis_max_dbm)?;
    let filled = fill::fill_within(sphere, options.fill, span.part(0.0, 0.6))?;
    findings.extend(filled.findings);
    history.push(filled.step);
    let sphere = filled.sphere;
    let rule = match options.rule {
        RuleChoice::Fixed(rule) => rule,
        RuleChoice::Auto => Rule::auto(&grid, poles_read(&sphere)),
    };
    if rule == Rule::ClenshawCurtis && options.edges == EdgesChoice::Fixed(Edges::Half) {
        return Err(half_with_clenshaw_curtis());
    }
    let setting = Setting {
        weights: WeightTable::new(grid.intervals(), &figure::windows()),
        rule,
        edges: options.edges,
        given: options.given(),
        max_missing: options.max_missing_percent / 100.0,
        noise: floor_noise,
    };
    let mut channels = Vec::with_capacity(sphere.frequencies().len());
    let mut notes = notes::Notes::default();
    for (f, frequency) in sphere.frequencies().iter().enumerate() {
        let part = span.part(0.6, 0.95).nth(f, sphere.frequencies().len());
        part.at(0.0, "integrating")?;
        let Some(channel) = Channel::new(&sphere, f, &setting, &filled.missing) else {
            return Err(Error::usage(
                "only powers on an equal-angle grid are integrated",
            ));
        };
        let figures: Vec<Figure> = specs
            .iter()
            .map(|s| (s.compute)(&channel, s.name))
            .collect();
        notes.look_at(&channel, &figures, &filled.missing);
        channels.push(ChannelResult {
            frequency_hz: *frequency,
            figures,
            noise: noise::report(&channel, &options.noise),
        });
    }
    span.at(0.95, "summarising")?;
    findings.extend(notes.into_findings(&sphere));
    noise::explain_coarse(&mut findings, &channels);
    findings.extend(noise::findings(&channels, &options.noise));
    let verdict = noise::worst(
        channels
            .iter()
            .map(|c| c.noise.as_ref().map_or(Verdict::NotAssessed, |n| n.verdict)),
    );
    let by_channel: Vec<&[Figure]> = channels.iter().map(|c| c.figures.as_slice()).collect();
    let mut summary = figure::summarise(&by_channel);
    if let Some(names) = &options.figures {
        summary.retain(|f| {
            names.contains(&f.name) || names.iter().any(|n| f.name.starts_with(&format!("{n}_")))
        });
    }
    history.push(options.step(rule));
    span.at(1.0, "reduced")?;
    Ok(Reduction {
        quantity: sphere.quantity(),
        rule,
        edges: options.edges,
        fill: options.fill,
        verdict,
        channels,
        summary,
        findings,
        history,
        sphere,
    })
}

/// True where both pole rings were read, in every polarisation.
fn poles_read(sphere: &Sphere) -> bool {
    let (frequencies, polarisations, directions) = sphere.states().dim();
    (0..frequencies).all(|f| {
        (0..polarisations).all(|p| {
            [0, directions - 1]
                .into_iter()
                .all(|d| sphere.states()[(f, p, d)] != State::Missing)
        })
    })
}

/// Where a link was lost at a level that is unknown, `--eis-max-dbm` says which it was.
fn supply_eis_max(sphere: Sphere, eis_max_dbm: Option<f64>) -> Result<Sphere> {
    let Some(eis_max_dbm) = eis_max_dbm else {
        return Ok(sphere);
    };
    if sphere.quantity() != Quantity::Eis {
        return Err(
            Error::usage("a largest EIS was given for readings that are no sensitivities")
                .hint("leave out --eis-max-dbm"),
        );
    }
    let inverse = 1.0 / level::w_from_dbm(eis_max_dbm);
    let grid = sphere.grid().equal_angle().copied();
    let at_pole = |direction: usize| grid.is_some_and(|g| g.is_pole(direction / g.phi_count()));
    let mut parts = sphere.into_parts();
    if let Data::Power(values) = &parts.data {
        // A pole holds halves of a sum, which no link was held at.
        let held = values
            .indexed_iter()
            .filter(|(at, _)| parts.states[*at] == State::Measured && !at_pole(at.2))
            .map(|(_, v)| *v)
            .filter(|v| *v > 0.0)
            .reduce(f64::min);
        if let Some(worst) = held.filter(|w| *w < inverse * (1.0 - 1e-9)) {
            return Err(Error::usage(format!(
                "links held up to {:.2} dBm, above the largest EIS of {eis_max_dbm} dBm that was given",
                level::dbm_from_w(1.0 / worst)
            ))
            .hint("give the level at which links were given up; it is above every EIS of the file"));
        }
    }
    for bound in &mut parts.bounds {
        if bound.upper.is_none() && parts.states[bound.at] == State::AtLeast {
            // A sample may be a mean, and a pole half of a sum, of which a part was read: what was lost adds 1/X to it at most.
            bound.upper = Some(bound.lower + inverse);
        }
    }
    parts.build()
}

impl Reduction {
    /// Figures that were refused and that this reduction stands or falls with: those asked for by name, otherwise the headline.
    #[must_use]
    pub fn decisive_refusals(&self, options: &ReduceOptions) -> Vec<&Figure> {
        let headline = figure::headline(self.quantity);
        self.channels
            .iter()
            .flat_map(|c| &c.figures)
            .filter(|f| f.state == FigureState::Refused)
            .filter(|f| match &options.figures {
                Some(names) => names.contains(&f.name),
                None => f.name == headline,
            })
            .collect()
    }
}

/// The step of the history for a reduction by these options.
impl ReduceOptions {
    fn step(&self, rule: Rule) -> Step {
        let mut step = Step::new("reduce")
            .option("rule", Some(self.rule))
            .option("edges", Some(self.edges))
            .option("max-missing", Some(self.max_missing_percent))
            .option("eis-max-dbm", self.eis_max_dbm)
            .option("conducted-power-dbm", self.conducted_power_dbm)
            .option("accepted-power-dbm", self.accepted_power_dbm)
            .option("device-size-mm", self.device_size_mm)
            .option("figures", self.figures.as_ref().map(|f| f.join(",")));
        if self.floor.is_some() {
            step = step
                .option("noise-clear", Some(self.noise.clear_db))
                .option("noise-limit", Some(self.noise.limit_db))
                .option("target-uncertainty", Some(self.noise.target_db))
                .option("sweep-minutes", self.noise.sweep_min);
        }
        step.note(format!("integrated with the rule {rule}"));
        step
    }
}
