//! A plateau: the weakest readings of a polarisation are all but equal, far below the strongest of both. A pattern has nulls, around which levels
//! spread over many decibels; a noise floor fills them up.

use super::Finding;
use super::view::{View, at_frequency, views};
use crate::model::{Polarisation, Quantity, Sphere, State};
use crate::unit::{level, sum};

/// Share of the area that is looked at.
const WEAKEST: f64 = 0.05;
/// And so many readings at least, where there are five times as many.
const FEWEST: usize = 8;
/// They spread by less than this from the tenth to the ninetieth of a hundred, dB. Around a null of a smooth pattern they spread by 9.5 dB
/// (power in proportion to the area around the null, closed form), along a line of nulls by 19 dB.
const SPREAD_DB: f64 = 2.0;
/// The strongest reading lies above their mean by at least this, dB. A smooth minimum without a null looks the same: one of 400 antennas of three
/// dipoles has one that is as deep and flat (computed).
const DEPTH_DB: f64 = 20.0;
/// And by this at most, dB: below are nulls that were computed.
const MOST_DEPTH_DB: f64 = 80.0;
/// A floor that adds more than this to the whole is a warning, dB: what a run that is clear of noise may have.
const WARNING_DB: f64 = 0.1;

/// How far the weakest twentieth of a polarisation's readings lies below the strongest.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct FloorMargin {
    /// Index of the frequency.
    pub frequency: usize,
    /// The polarisation.
    pub polarisation: Polarisation,
    /// From the mean of the weakest to the strongest, dB: no noise floor lies closer to the strongest, but for its scatter.
    pub margin_db: f64,
}

/// The margin of every polarisation at every frequency of a sphere of powers; none where there are fewer than forty readings, or the weakest are 0.
#[must_use]
pub fn floor_margins(sphere: &Sphere) -> Vec<FloorMargin> {
    let of = |view: &View<'_>| {
        Some(FloorMargin {
            frequency: view.frequency,
            polarisation: view.polarisation,
            margin_db: Weakest::of(view, strongest(std::slice::from_ref(view)))?.depth_db,
        })
    };
    match sphere.quantity() {
        Quantity::Eirp | Quantity::ReceivedPower => views(sphere).iter().filter_map(of).collect(),
        _ => Vec::new(),
    }
}

fn strongest(views: &[View<'_>]) -> f64 {
    let measured = views.iter().flat_map(|v| v.values.iter().zip(v.states));
    measured
        .filter(|(_, state)| **state == State::Measured)
        .fold(0.0, |most, (value, _)| most.max(*value))
}

/// What the weakest readings of a polarisation say.
struct Weakest {
    /// Their mean, W.
    mean: f64,
    /// How far below the strongest that is, dB.
    depth_db: f64,
    /// How far they spread, dB.
    spread_db: f64,
}

impl Weakest {
    /// Of a polarisation, in a sphere whose strongest reading of any polarisation is `strongest`.
    fn of(view: &View<'_>, strongest: f64) -> Option<Self> {
        // By area, so that the crowd of directions around a pole counts for what it is.
        let mut read: Vec<(f64, f64)> = Vec::new();
        for ring in 0..view.grid.rings() {
            let columns = if view.grid.is_pole(ring) {
                1
            } else {
                view.grid.phi_count()
            };
            let area = view.grid.cell_share(ring) / columns as f64;
            for d in (0..columns).map(|c| view.at(ring, c)) {
                if let (Some(State::Measured), Some(value)) =
                    (view.states.get(d), view.values.get(d))
                {
                    read.push((*value, area));
                }
            }
        }
        if read.len() < 5 * FEWEST {
            return None;
        }
        read.sort_by(|a, b| a.0.total_cmp(&b.0));
        let areas: Vec<f64> = read.iter().map(|r| r.1).collect();
        let wanted = WEAKEST * sum::in_order(&areas);
        let (mut sum, mut count) = (0.0, 0);
        while count < read.len() && (sum < wanted || count < FEWEST) {
            sum += areas.get(count).copied().unwrap_or(0.0);
            count += 1;
        }
        read.truncate(count);
        let parts: Vec<f64> = read.iter().map(|r| r.0 * r.1 / sum).collect();
        let mean = sum::in_order(&parts);
        // Where a share of the area is reached.
        let at = |share: f64| {
            let mut passed = 0.0;
            let found = read.iter().find(|r| {
                passed += r.1;
                passed >= share * sum
            });
            found.or(read.last()).map(|r| r.0)
        };
        let (low, high) = (at(0.1)?, at(0.9)?);
        (mean > 0.0).then(|| Self {
            mean,
            depth_db: level::db_from_ratio(strongest / mean),
            spread_db: match low > 0.0 {
                true => level::db_from_ratio(high / low),
                false => f64::INFINITY,
            },
        })
    }

    fn is_plateau(&self) -> bool {
        self.spread_db < SPREAD_DB && (DEPTH_DB..MOST_DEPTH_DB).contains(&self.depth_db)
    }
}

/// Tells a plateau, with what it would add to the whole if it were a noise floor. Of powers whose floor is still in.
#[must_use]
pub fn plateau(sphere: &Sphere) -> Option<Finding> {
    if !matches!(sphere.quantity(), Quantity::Eirp | Quantity::ReceivedPower) {
        return None;
    }
    let all = views(sphere);
    let mut worst: Option<Plateau> = None;
    for views in all.chunk_by(|a, b| a.frequency == b.frequency) {
        let found = Plateau::of(views);
        if let Some(found) = found
            && worst.as_ref().is_none_or(|w| found.bias_db > w.bias_db)
        {
            worst = Some(found);
        }
    }
    let worst = worst?;
    let make = if worst.bias_db > WARNING_DB {
        Finding::warning
    } else {
        Finding::note
    };
    Some(
        make(
            "floor-suspected",
            format!(
                "the weakest {} readings{} are all but equal over a twentieth of the sphere, {:.0} dB below the strongest: a noise floor is suspected, which would add {:.2} dB to the whole",
                worst.polarisations.join(" and "),
                at_frequency(sphere, worst.frequency),
                worst.depth_db,
                worst.bias_db
            ),
        )
        .effect_db(worst.bias_db)
        .advice("measure the floor with the device silent and give it by --floor; a pattern without nulls looks the same"),
    )
}

/// The plateaus of one frequency.
struct Plateau {
    frequency: usize,
    polarisations: Vec<String>,
    /// Of the shallower one.
    depth_db: f64,
    /// What they add to the whole of all polarisations.
    bias_db: f64,
}

impl Plateau {
    fn of(views: &[View<'_>]) -> Option<Self> {
        let strongest = strongest(views);
        let wholes: Vec<f64> = views.iter().filter_map(mean_over_sphere).collect();
        let whole = sum::in_order(&wholes);
        let flat: Vec<(&View<'_>, Weakest)> = views
            .iter()
            .filter_map(|v| Some((v, Weakest::of(v, strongest).filter(Weakest::is_plateau)?)))
            .collect();
        let floors: Vec<f64> = flat.iter().map(|f| f.1.mean).collect();
        let floor = sum::in_order(&floors);
        Some(Self {
            frequency: flat.first()?.0.frequency,
            polarisations: flat.iter().map(|f| f.0.polarisation.to_string()).collect(),
            depth_db: flat
                .iter()
                .map(|f| f.1.depth_db)
                .fold(f64::INFINITY, f64::min),
            // A plateau that lies 18 dB below the strongest may still be most of the whole.
            bias_db: level::db_from_ratio(whole / (whole - floor).max(whole * 1e-3)),
        })
    }
}

/// Mean over the sphere of one polarisation, by the areas of the rings; samples that were not read do not count.
fn mean_over_sphere(view: &View<'_>) -> Option<f64> {
    let (mut parts, mut shares) = (Vec::new(), Vec::new());
    for ring in 0..view.grid.rings() {
        let columns = (0..view.grid.phi_count()).map(|c| view.at(ring, c));
        let read: Vec<f64> = columns
            .filter(|d| view.states.get(*d).is_some_and(|s| s.is_read()))
            .filter_map(|d| view.values.get(d).copied())
            .collect();
        if let Some(mean) = sum::mean(&read) {
            let share = view.grid.cell_share(ring);
            parts.push(share * mean);
            shares.push(share);
        }
    }
    let whole = sum::in_order(&shares);
    (whole > 0.0).then(|| sum::in_order(&parts) / whole)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::assemble::{DEFAULT_SNAP_DEG, assemble};
    use crate::finding::samples::readings_of;
    use crate::limits::Limits;
    use crate::table::EmbeddedSphere;
    use crate::table::pattern::Pattern;

    fn found(
        quantity: Quantity,
        pattern: Pattern,
        (n, m): (usize, usize),
        floor: f64,
    ) -> Option<Finding> {
        let readings = readings_of(quantity, (n, m), |t, p| {
            pattern.power(t, p).map(|x| x + floor)
        });
        let limits = Limits::default();
        plateau(
            &assemble(&[readings], DEFAULT_SNAP_DEG, &limits)
                .unwrap()
                .sphere,
        )
    }

    #[test]
    fn a_floor_is_suspected() {
        // x dipole of peak 1, whose mean is 2/3 in both polarisations together: a floor of a in each adds 10·log10(1 + 3a) (closed form).
        for (floor, quantity) in [(0.003, Quantity::Eirp), (0.006, Quantity::ReceivedPower)] {
            let found = found(quantity, Pattern::XDipole, (12, 24), floor).unwrap();
            assert_eq!(found.code, "floor-suspected");
            let wanted = level::db_from_ratio(1.0 + 3.0 * floor);
            let effect_db = found.effect_db.unwrap();
            // The weakest twentieth holds a little of the pattern beside the floor.
            assert!((0.9..1.2).contains(&(effect_db / wanted)), "{found:?}");
        }
    }

    #[test]
    fn the_reference_sphere_with_noise_has_one() {
        let limits = Limits::default();
        let of = |name: &str| {
            let readings = EmbeddedSphere::of(name).unwrap().readings().unwrap();
            plateau(
                &assemble(&[readings], DEFAULT_SNAP_DEG, &limits)
                    .unwrap()
                    .sphere,
            )
        };
        let noisy = of("ds7_xdipole_noise_15deg").unwrap();
        assert_eq!(noisy.severity, crate::Severity::Note);
        for clean in [
            "ds1_isotropic_15deg",
            "ds2_xdipole_15deg",
            "ds3_halfwave_30deg",
            "ds4_beam_15deg",
        ] {
            assert!(of(clean).is_none(), "{clean}: {:?}", of(clean));
        }
    }

    #[test]
    fn margins_are_told_of_powers_alone() {
        let readings = |quantity| {
            readings_of(quantity, (12, 24), |t, p| {
                Pattern::XDipole.power(t, p).map(|x| x + 0.01)
            })
        };
        let margins = |quantity| {
            let limits = Limits::default();
            floor_margins(
                &assemble(&[readings(quantity)], DEFAULT_SNAP_DEG, &limits)
                    .unwrap()
                    .sphere,
            )
        };
        let found = margins(Quantity::Eirp);
        assert_eq!(found.len(), 2);
        // From the floor of 0.01 to 1 and the floor.
        assert!(
            (found[1].margin_db - level::db_from_ratio(101.0)).abs() < 0.01,
            "{found:?}"
        );
        assert!(margins(Quantity::Gain).is_empty());
    }

    #[test]
    fn clean_patterns_and_sensitivities_have_none() {
        for steps in [(12, 24), (6, 12), (18, 36), (36, 72), (90, 180)] {
            for pattern in [Pattern::XDipole, Pattern::ZDipole, Pattern::Isotropic] {
                assert!(
                    found(Quantity::Eirp, pattern, steps, 0.0).is_none(),
                    "{pattern:?} {steps:?}"
                );
            }
        }
        assert!(found(Quantity::Gain, Pattern::XDipole, (12, 24), 0.01).is_none());
    }
}
