//! Polarisations that were exchanged at one frequency against the next, as by one of the files of a run.
//!
//! At a single frequency nothing tells: exchanging θ and φ turns every field into that of the dual sources, which is as physical (the
//! duality of Maxwell's equations). From one frequency to the next a pattern changes little, and its polarisations do not change places.
//!
//! Likeness of two patterns: Σab / √(Σa² Σb²) of the samples read in both, 1 where they are proportional.

use super::Finding;
use super::view::{View, views};
use crate::model::{Layout, Sphere};
use crate::unit::sum;

/// Both polarisations are at least this like the other one of the next frequency.
const LIKE: f64 = 0.97;
/// Both are at most this like themselves.
const UNLIKE: f64 = 0.85;
/// Further apart than this, as a ratio, frequencies say nothing of each other.
const APART: f64 = 1.2;

/// Warns of the first two neighbouring frequencies between which the polarisations change places.
pub(super) fn suspected(sphere: &Sphere) -> Option<Finding> {
    if sphere.layout() != Layout::ThetaPhi {
        return None;
    }
    let all = views(sphere);
    let frequencies = sphere.frequencies();
    let pairs: Vec<(&View<'_>, &View<'_>)> = all
        .chunks_exact(2)
        .map(|pair| (&pair[0], &pair[1]))
        .collect();
    let mut found: Option<String> = None;
    let mut count = 0;
    for (f, both) in pairs.windows(2).enumerate() {
        let (Some(Some(low)), Some(Some(high))) = (frequencies.get(f), frequencies.get(f + 1))
        else {
            continue;
        };
        if high.hz() > APART * low.hz() {
            continue;
        }
        let &[(theta, phi), (next_theta, next_phi)] = both else {
            continue;
        };
        // Most frequencies look like themselves, and nothing else needs to be known of them.
        let Some(same) = likeness(theta, next_theta)
            .filter(|like| *like <= UNLIKE)
            .and_then(|like| Some(like.max(likeness(phi, next_phi)?)))
        else {
            continue;
        };
        let Some(crossed) =
            likeness(theta, next_phi).and_then(|like| Some(like.min(likeness(phi, next_theta)?)))
        else {
            continue;
        };
        if crossed >= LIKE && same <= UNLIKE {
            count += 1;
            found.get_or_insert_with(|| {
                format!("theta at {low} looks like phi at {high} and the other way round (likeness {crossed:.3}, {same:.3} as they are named)")
            });
        }
    }
    let what = found?;
    let others = match count {
        1 => String::new(),
        n => format!(", and so at {n} steps of frequency in all"),
    };
    Some(
        Finding::warning(
            "polarisations-exchanged",
            format!("{what}{others}: the polarisations are suspected to be exchanged at one of them"),
        )
        .advice("check which file, switch setting or column is theta; the total does not change where both losses are equal, every figure of one polarisation does"),
    )
}

/// 0…1; `None` where there is nothing to compare.
fn likeness(a: &View<'_>, b: &View<'_>) -> Option<f64> {
    let (mut cross, mut own_a, mut own_b) = (Vec::new(), Vec::new(), Vec::new());
    let largest = |view: &View<'_>| view.values.iter().copied().fold(0.0, f64::max);
    // Scaled, so that squares of watts do not vanish.
    let (scale_a, scale_b) = (largest(a), largest(b));
    if scale_a <= 0.0 || scale_b <= 0.0 {
        return None;
    }
    for index in a.inner() {
        if a.states[index].is_read() && b.states[index].is_read() {
            let (x, y) = (a.values[index] / scale_a, b.values[index] / scale_b);
            let weight = a.grid.cell_share(index / a.grid.phi_count());
            cross.push(weight * x * y);
            own_a.push(weight * x * x);
            own_b.push(weight * y * y);
        }
    }
    let size = libm::sqrt(sum::in_order(&own_a) * sum::in_order(&own_b));
    (size > 0.0).then(|| sum::in_order(&cross) / size)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::assemble::{DEFAULT_SNAP_DEG, assemble};
    use crate::finding::samples::beam;
    use crate::limits::Limits;
    use crate::model::{Mark, Polarisation, Quantity, Reading, Readings, Value};
    use crate::table::pattern::Pattern;
    use crate::unit::Frequency;

    /// Patterns by frequency in MHz, each with its polarisations exchanged or not.
    fn run(patterns: &[(f64, Pattern, bool)]) -> Sphere {
        let limits = Limits::default();
        let mut readings = Readings::new("computed", Quantity::Eirp, &limits);
        for (mhz, pattern, exchange) in patterns {
            let of = Frequency::from_hz(mhz * 1e6);
            let frequency = readings.frequency_index(of, &limits).unwrap();
            for at in 0..13 * 24 {
                let (theta_deg, phi_deg) = (15.0 * f64::from(at / 24), 15.0 * f64::from(at % 24));
                let [a, b] = pattern.power(theta_deg, phi_deg);
                let power = if *exchange { [b, a] } else { [a, b] };
                for (polarisation, power) in [Polarisation::Theta, Polarisation::Phi]
                    .into_iter()
                    .zip(power)
                {
                    let value = Value::Power(power);
                    let (mark, line) = (Mark::Exact, 0);
                    readings
                        .push(Reading {
                            frequency,
                            theta_deg,
                            phi_deg,
                            polarisation,
                            value,
                            mark,
                            line,
                        })
                        .unwrap();
                }
            }
        }
        assemble(&[readings], DEFAULT_SNAP_DEG, &limits)
            .unwrap()
            .sphere
    }

    #[test]
    fn polarisations_that_change_places_are_told() {
        let sphere = run(&[
            (863.0, Pattern::XDipole, false),
            (868.3, Pattern::XDipole, false),
            (870.0, Pattern::XDipole, true),
        ]);
        let found = suspected(&sphere).unwrap();
        assert!(
            found
                .message
                .starts_with("theta at 868.3 MHz looks like phi at 870"),
            "{}",
            found.message
        );
        assert!(found.message.contains("suspected"));
    }

    #[test]
    fn what_may_differ_is_silent() {
        for patterns in [
            // The same at all; another band; equal polarisations; another antenna; one frequency.
            &[
                (868.0, Pattern::XDipole, false),
                (870.0, Pattern::XDipole, false),
            ][..],
            &[
                (868.0, Pattern::XDipole, false),
                (2442.0, Pattern::XDipole, true),
            ],
            &[(868.0, beam(10.0), false), (870.0, beam(10.0), true)],
            &[
                (868.0, Pattern::XDipole, false),
                (870.0, Pattern::HuygensX, false),
            ],
            &[(868.0, Pattern::XDipole, true)],
            &[
                (868.0, Pattern::ZDipole, false),
                (870.0, Pattern::SmallLoop, false),
            ],
        ] {
            assert!(suspected(&run(patterns)).is_none(), "{patterns:?}");
        }
    }
}
