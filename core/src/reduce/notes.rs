//! Findings of a reduction, gathered over all frequencies: the largest effect of each is told once.

use crate::figure::{Channel, Figure, FigureState, Part, window_of};
use crate::fill::Missing;
use crate::finding::{Finding, above_given, above_size, below_isotropic, forms, largest_dbi};
use crate::model::{Quantity, Sphere, State};
use crate::rule::{Edges, Rule};
use crate::unit::level;
use std::collections::BTreeMap;

/// What was seen so far.
#[derive(Default)]
pub(super) struct Notes {
    /// Figure → largest difference between half-weighted and exact edges.
    forms: BTreeMap<String, f64>,
    /// Largest difference between the sine rule and Clenshaw–Curtis over the whole sphere.
    rule_bias: f64,
    /// True where the pattern rises towards a pole that was not measured.
    rises_to_pole: bool,
    /// Figure → (channels, reason).
    refusals: BTreeMap<String, (usize, String)>,
    /// Largest missing share by polarisation index.
    missing: BTreeMap<usize, f64>,
    /// Largest share of the whole integral that rests on filled samples.
    filled_share: f64,
    fitted_poles: bool,
    /// Largest TRP over a power that was given.
    above_given: f64,
    below_isotropic: Option<f64>,
    /// Largest excess of a directivity over what the device's size permits, dB, with the directivity.
    above_size: Option<(f64, f64)>,
}

impl Notes {
    /// Looks at the figures of a frequency.
    pub fn look_at(&mut self, channel: &Channel<'_>, figures: &[Figure], missing: &Missing) {
        // A sensitivity is the reciprocal of what integrates.
        let sign = if channel.quantity().is_sensitivity() {
            -1.0
        } else {
            1.0
        };
        if channel.setting.rule == Rule::Sine
            && let (Ok(sine), Ok(exact)) = (
                channel.whole_by(Part::Total, Rule::Sine),
                channel.whole_by(Part::Total, Rule::ClenshawCurtis),
            )
            && sine.value > 0.0
            && exact.value > 0.0
        {
            let difference = sign * level::db_from_ratio(sine.value / exact.value);
            if difference.abs() > self.rule_bias.abs() {
                self.rule_bias = difference;
            }
        }
        self.rises_to_pole |= channel.extremes().is_some_and(|e| e.rises_to_pole);
        for figure in figures {
            if figure.edges == Some(Edges::Half)
                && let Some(window) = window_of(&figure.name)
                && window.edges_on_rings(channel.grid.intervals())
                && let (Ok(half), Ok(exact)) = (
                    channel.window_by(Part::Total, window, Edges::Half),
                    channel.window_by(Part::Total, window, Edges::Exact),
                )
                && half.value > 0.0
                && exact.value > 0.0
            {
                let difference = sign * level::db_from_ratio(half.value / exact.value);
                let known = self.forms.entry(figure.name.clone()).or_insert(0.0);
                if difference.abs() > known.abs() {
                    *known = difference;
                }
            }
            if figure.state == FigureState::Refused {
                let reason = figure.reason.clone().unwrap_or_default();
                self.refusals
                    .entry(figure.name.clone())
                    .or_insert((0, reason))
                    .0 += 1;
            }
            let value = figure.value.unwrap_or(0.0);
            if figure.name == "directivity" && figure.has_value() && value < 0.0 {
                self.below_isotropic = Some(self.below_isotropic.unwrap_or(0.0).min(value));
            }
            let size = channel.setting.given.device_size_m;
            let frequency = channel.sphere.frequencies().get(channel.frequency);
            if figure.name == "directivity"
                && figure.has_value()
                && let (Some(size), Some(Some(frequency))) = (size, frequency)
            {
                let excess = value - largest_dbi(size, *frequency);
                if self.above_size.is_none_or(|known| excess > known.0) {
                    self.above_size = Some((excess, value));
                }
            }
        }
        let given = channel.setting.given;
        if channel.quantity() == Quantity::Eirp
            && let Ok(trp) = channel.whole(Part::Total)
        {
            for power in [given.conducted_power_w, given.accepted_power_w] {
                let ratio = power.map_or(0.0, |p| trp.value / p);
                self.above_given = self.above_given.max(ratio);
            }
        }
        for p in 0..channel.sphere.layout().polarisations().len() {
            let known = self.missing.entry(p).or_insert(0.0);
            *known = known.max(missing.share_of(channel.frequency, p));
        }
        self.filled_share = self.filled_share.max(filled_share(channel));
        self.fitted_poles |= channel.has_fitted_poles()
            && (channel.setting.rule == Rule::ClenshawCurtis
                || figures.iter().any(|f| f.edges == Some(Edges::Exact)));
    }

    /// The findings.
    pub fn into_findings(self, sphere: &Sphere) -> Vec<Finding> {
        let mut findings = Vec::new();
        let polarisations = sphere.layout().polarisations();
        for (p, share) in &self.missing {
            if *share > 0.0
                && let Some(polarisation) = polarisations.get(*p)
            {
                let whole = *share > 0.99;
                let message = if whole {
                    format!("the {polarisation} polarisation is missing altogether")
                } else {
                    format!(
                        "{:.1} % of the sphere was not measured in the {polarisation} polarisation",
                        100.0 * share
                    )
                };
                findings.push(
                    Finding::warning("gaps", message).advice(
                        "measure the missing directions, or say why they cannot be reached",
                    ),
                );
            }
        }
        if self.filled_share > 0.0 {
            let effect = level::db_from_ratio(1.0 / (1.0 - self.filled_share.min(0.999)));
            findings.push(
                Finding::note(
                    "filled",
                    format!(
                        "{:.1} % of the integral over the sphere rests on filled samples",
                        100.0 * self.filled_share
                    ),
                )
                .effect_db(effect)
                .advice("the bounds say what the filled samples can do to each figure"),
            );
        }
        if self.fitted_poles {
            findings.push(
                Finding::note(
                    "poles-fitted",
                    "a pole ring was not measured; where a rule or window form needs it, an even cosine fit of the other rings stands in, and the bounds hold the difference between two degrees",
                )
                .advice("measure both poles, or use the sine rule with half-weighted edges"),
            );
        }
        findings.extend(marked_finding(sphere));
        if self.rises_to_pole {
            findings.push(
                Finding::warning(
                    "rises-to-pole",
                    "the pattern rises towards a pole that was not measured: the peak may lie there",
                )
                .advice("measure the pole; until then peak and directivity have no upper bound"),
            );
        }
        let intervals = sphere.grid().equal_angle().map_or(2, |g| g.intervals());
        findings.extend(forms::rules(self.rule_bias, intervals));
        let by_figure = self.forms.iter().map(|(name, db)| (name.as_str(), *db));
        findings.extend(forms::window_forms(by_figure, intervals));
        findings.extend(above_given(self.above_given));
        findings.extend(self.below_isotropic.and_then(below_isotropic));
        let of_size = self.above_size;
        findings.extend(of_size.and_then(|(excess, value)| above_size(excess, value)));
        // One refusal for all figures that share a reason.
        let mut by_reason: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (name, (_, reason)) in self.refusals {
            by_reason.entry(reason).or_default().push(name);
        }
        for (reason, names) in by_reason {
            findings.push(Finding::refusal(
                "refused",
                format!("{}: {reason}", names.join(", ")),
            ));
        }
        findings
    }
}

/// Share of the whole-sphere sum that comes from filled samples.
fn filled_share(channel: &Channel<'_>) -> f64 {
    let Some(values) = channel.sphere.power() else {
        return 0.0;
    };
    let states = channel.sphere.states();
    let bounds = channel.sphere.bounds();
    let from = bounds.partition_point(|b| b.at.0 < channel.frequency);
    let weights = channel.setting.weights.whole(channel.setting.rule);
    let m = channel.grid.phi_count();
    let mut filled = 0.0;
    for bound in bounds
        .iter()
        .skip(from)
        .take_while(|b| b.at.0 == channel.frequency)
    {
        if states[bound.at] == State::Filled {
            filled += values[bound.at] * weights[bound.at.2 / m] / (2.0 * m as f64);
        }
    }
    match channel.whole(Part::Total) {
        Ok(whole) if whole.value > 0.0 => filled / whole.value,
        _ => 0.0,
    }
}

/// The weight that marked samples carry.
fn marked_finding(sphere: &Sphere) -> Option<Finding> {
    let grid = sphere.grid().equal_angle()?;
    let m = grid.phi_count();
    let (mut count, mut weight, mut open) = (0, 0.0, 0);
    for bound in sphere.bounds() {
        if matches!(sphere.states()[bound.at], State::AtMost | State::AtLeast) {
            let ring = bound.at.2 / m;
            weight += grid.cell_share(ring);
            open += usize::from(bound.upper.is_none());
            // All indices of a pole's ring are one sample.
            count += usize::from(!grid.is_pole(ring) || bound.at.2 % m == 0);
        }
    }
    let (frequencies, polarisations, _) = sphere.states().dim();
    let percent = 100.0 * weight / (frequencies * polarisations) as f64;
    (count > 0).then(|| {
        let open_text = match (open > 0, sphere.quantity().is_sensitivity()) {
            (false, _) => "",
            (true, false) => "; overloads leave the upper side open",
            (true, true) => "; an unknown level leaves the better side open",
        };
        Finding::warning(
            "marked",
            format!("{count} samples are marked as bounds (< or >); they carry {percent:.1} % of the sphere{open_text}"),
        )
        .advice("the bounds of each figure hold what they can do; measure these directions again with more range if it matters")
    })
}
