//! Levels that nobody measures, or that no antenna has: a unit may be mistaken.

use super::Finding;
use super::view::{at_frequency, views};
use crate::model::{Quantity, Sphere, State};
use crate::unit::level;

/// All levels between 0 and this: powers in W or mW that were read as dBm, dBm.
const NEARLY_ZERO_DBM: f64 = 0.5;
/// Fewer samples than this say nothing of how levels spread.
const FEWEST: usize = 20;

/// Where the best sample of a sphere usually lies, in decibels of the quantity's unit; `None`: no scale.
///
/// EIRP: 1 kW is more than any device and many base stations; −140 dBm would be below kT in 1 Hz (−174 dBm at 290 K, closed form)
/// behind any range. A receiver takes no watt. Links are held above kT and below 1 mW. Gains: the largest dish has some
/// 60 dBi over a sphere that could be measured. All but kT: common practice.
fn usual_db(quantity: Quantity) -> Option<(f64, f64)> {
    match quantity {
        Quantity::Eirp => Some((-140.0, 60.0)),
        Quantity::ReceivedPower => Some((-174.0, 30.0)),
        Quantity::Eis => Some((-174.0, 0.0)),
        Quantity::InstrumentLevel => Some((-174.0, 50.0)),
        Quantity::Gain => Some((-60.0, 60.0)),
        Quantity::Field(_) | Quantity::Relative => None,
    }
}

/// Decibels of a sample in the unit that its quantity is written in.
fn level_db(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Gain | Quantity::Relative | Quantity::Field(_) => level::db_from_ratio(value),
        _ if quantity.is_sensitivity() => level::dbm_from_w(1.0 / value),
        _ => level::dbm_from_w(value),
    }
}

/// Warns of a sphere whose best sample lies outside of what is usual, or whose levels are all but equal and just above 0 dBm.
pub(super) fn suspected(sphere: &Sphere) -> Option<Finding> {
    let quantity = sphere.quantity();
    let (lowest, highest) = usual_db(quantity)?;
    let unit = if quantity == Quantity::Gain {
        "dBi"
    } else {
        "dBm"
    };
    // Each frequency: smallest and largest of what integrates, and how many.
    let mut range = vec![(f64::INFINITY, 0.0_f64, 0_usize); sphere.frequencies().len()];
    for view in views(sphere) {
        for (value, state) in view.values.iter().zip(view.states) {
            if *state == State::Measured
                && *value > 0.0
                && let Some(r) = range.get_mut(view.frequency)
            {
                *r = (r.0.min(*value), r.1.max(*value), r.2 + 1);
            }
        }
    }
    for (f, (smallest, largest, count)) in range.into_iter().enumerate() {
        if count == 0 {
            continue;
        }
        let at = at_frequency(sphere, f);
        let best = level_db(quantity, largest);
        if !(lowest..=highest).contains(&best) {
            return Some(
                Finding::warning(
                    "units-suspected",
                    format!("the best {quantity} is {best:.1} {unit}{at}; what is usual lies between {lowest} and {highest} {unit}: a unit is suspected to be mistaken"),
                )
                .advice("check whether the file holds dBm, dBW, W or mW, and EIRP or what the receiver read"),
            );
        }
        let powers = matches!(quantity, Quantity::Eirp | Quantity::ReceivedPower);
        let least = level_db(quantity, smallest);
        // In decibels no antenna is that even; as plain numbers the same readings spread by more than two to one.
        if powers
            && count >= FEWEST
            && least >= -1e-9
            && best < NEARLY_ZERO_DBM
            && best > 1e-6
            && least < best / 2.0
        {
            return Some(
                Finding::warning(
                    "units-suspected",
                    format!("all levels lie between {least:.3} and {best:.3} dBm{at}, which no antenna does: watts or milliwatts are suspected to have been read as dBm"),
                )
                .advice("check the unit of the columns: _dbm, _w or _mw"),
            );
        }
    }
    None
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::finding::samples::{clean, sphere_of};
    use crate::model::Quantity;

    #[test]
    fn clean_spheres_are_silent() {
        for (name, sphere) in clean() {
            assert!(suspected(&sphere).is_none(), "{name}");
        }
    }

    #[test]
    fn watts_that_were_read_as_dbm_are_told() {
        // A dipole of 100 mW: 0.000 … 0.100 W, each taken for a level.
        let as_dbm = |x: f64| level::w_from_dbm(x);
        let sphere = sphere_of(Quantity::Eirp, (12, 24), |t, _| {
            let s = crate::unit::angle::sin_deg(t);
            [as_dbm(0.1 * s * s), as_dbm(0.0)]
        });
        let found = suspected(&sphere).unwrap();
        assert!(found.message.contains("0.100 dBm"), "{}", found.message);
        // Level in truth: an isotropic source of 3.1 dBm, 0.09 dBm in each polarisation.
        let even = sphere_of(Quantity::Eirp, (12, 24), |_, _| [as_dbm(0.09); 2]);
        assert!(suspected(&even).is_none());
    }

    #[test]
    fn levels_that_nobody_measures_are_told() {
        for (quantity, value) in [
            // 100 dBm; −150 dBm everywhere; a sensitivity of 20 dBm; 40 dBm at a receiver; 90 dBi.
            (Quantity::Eirp, 1e7),
            (Quantity::Eirp, 1e-18),
            (Quantity::Eis, 10.0),
            (Quantity::ReceivedPower, 10.0),
            (Quantity::Gain, 1e9),
        ] {
            let sphere = sphere_of(quantity, (6, 12), |_, _| [value; 2]);
            let found = suspected(&sphere).unwrap();
            assert_eq!(found.code, "units-suspected");
        }
        // The ends of what is usual: −120 dBm and 55 dBm of EIRP, a positioning receiver of −160 dBm, a dish of 45 dBi.
        for (quantity, dbm) in [
            (Quantity::Eirp, -120.0),
            (Quantity::Eirp, 55.0),
            (Quantity::Eis, -160.0),
        ] {
            let sphere = sphere_of(quantity, (6, 12), |_, _| [level::w_from_dbm(dbm); 2]);
            assert!(suspected(&sphere).is_none(), "{quantity} {dbm}");
        }
        let dish = sphere_of(Quantity::Gain, (6, 12), |_, _| {
            [level::ratio_from_db(45.0); 2]
        });
        assert!(suspected(&dish).is_none());
    }
}
