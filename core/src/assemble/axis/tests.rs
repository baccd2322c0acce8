//! Axes from hand-made directions.

#![allow(clippy::unwrap_used)]

use super::*;

fn axis(n: usize, from: usize, to: usize, jitter: f64) -> Vec<f64> {
    (from..=to)
        .map(|i| 180.0 * i as f64 / n as f64 + jitter * [0.0, 1.0, -1.0, 0.5][i % 4])
        .collect()
}

#[test]
fn the_step_fixes_the_intervals() {
    for n in [2, 6, 9, 12, 15, 18, 24, 36, 180, 360] {
        let whole = theta_axis(&axis(n, 0, n, 0.0), 0.1);
        assert_eq!(whole.map(|w| w.0), Some(n));
        if n > 4 {
            // Without poles, or without the lower part, N stays what the step says.
            assert_eq!(
                theta_axis(&axis(n, 1, n - 1, 0.0), 0.1).map(|w| w.0),
                Some(n)
            );
        }
    }
    let jittered = theta_axis(&axis(12, 0, 12, 0.08), 0.1);
    assert_eq!(jittered.map(|j| j.0), Some(12));
    assert!(jittered.is_some_and(|j| (j.1 - 0.08).abs() < 1e-9));
    assert_eq!(
        theta_axis(&[0.0, 25.0, 50.0, 75.0, 100.0], 0.1).map(|w| w.0),
        Some(36)
    );
    assert_eq!(theta_axis(&[0.0, 33.312_19, 77.777_43], 1e-6), None);
}

#[test]
fn phi_may_start_off_zero() {
    let phis: Vec<f64> = (0..24).map(|j| 7.5 + 15.0 * f64::from(j)).collect();
    assert_eq!(phi_axis(&phis, 0.1).map(|p| (p.0, p.1)), Some((24, 7.5)));
    let phis: Vec<f64> = (0..24).map(|j| 15.0 * f64::from(j)).collect();
    assert_eq!(phi_axis(&phis, 0.1).map(|p| (p.0, p.1)), Some((24, 0.0)));
    // Read-backs just below 360° belong to 0°.
    assert_eq!(
        phi_axis(&[0.02, 90.0, 179.95, 270.0, 359.97], 0.1).map(|p| p.0),
        Some(4)
    );
}

use crate::assemble::samples::{Made, near};
use crate::model::{Polarisation, Quantity};

fn read_at(directions: &[(f64, f64)]) -> Vec<Readings> {
    let mut made = Made::new("made", Quantity::Eirp);
    for at in directions {
        made.exact(*at, Polarisation::Theta, 1.0);
    }
    vec![made.readings]
}

/// Seven of the 3·4 + 2 = 14 directions of a 45° × 90° grid, of all its rings but the last.
const HALF: [(f64, f64); 7] = [
    (0.0, 0.0),
    (45.0, 0.0),
    (45.0, 90.0),
    (45.0, 180.0),
    (90.0, 0.0),
    (90.0, 270.0),
    (135.0, 0.0),
];

#[test]
fn half_of_the_directions_make_a_grid() {
    let found = find(&read_at(&HALF), 0.1).ok().unwrap();
    assert_eq!((found.grid.intervals(), found.grid.phi_count()), (4, 4));
    assert_eq!(found.deviation_deg, 0.0);
    // Six are too few, also where the pole and an inner direction are read again and again, so that there are readings enough.
    let mut six = HALF.to_vec();
    six.remove(5);
    let too_few = "too few of the 14 directions of a 45° × 90° grid are there";
    assert_eq!(find(&read_at(&six), 0.1).err().unwrap(), too_few);
    six.extend([(0.0, 90.0), (0.0, 180.0), (90.0, 0.0), (90.0, 360.0)]);
    assert_eq!(find(&read_at(&six), 0.1).err().unwrap(), too_few);
    // The other pole is a direction of its own, at whatever φ.
    six.push((180.0, 270.0));
    assert!(find(&read_at(&six), 0.1).is_ok());
    // Twice the readings in half of the directions.
    let twice: Vec<(f64, f64)> = HALF.iter().chain(&HALF).copied().collect();
    assert!(find(&read_at(&twice), 0.1).is_ok());
}

#[test]
fn the_phi_of_a_pole_is_no_part_of_the_axis() {
    // 0.1° from a pole at a snap distance of 0.1° is at the pole.
    let mut directions = HALF.to_vec();
    directions[0] = (0.1, 77.0);
    directions.push((179.9, 33.0));
    let found = find(&read_at(&directions), 0.1).ok().unwrap();
    assert_eq!((found.grid.intervals(), found.grid.phi_count()), (4, 4));
    near(found.deviation_deg, 0.1);
    // A quarter of the step bounds the snap distance: 7.5° of 30°. A pole read at 5° is one at its φ of 77°.
    let mut wide = vec![(5.0, 77.0)];
    for ring in 1..6 {
        wide.extend((0..4).map(|j| (30.0 * f64::from(ring), 90.0 * f64::from(j))));
    }
    let found = find(&read_at(&wide), 10.0).ok().unwrap();
    assert_eq!((found.grid.intervals(), found.grid.phi_count()), (6, 4));
    near(found.deviation_deg, 5.0);
}

#[test]
fn cuts_and_crooked_axes_are_no_grid() {
    let reason = |directions: &[(f64, f64)], snap| find(&read_at(directions), snap).err().unwrap();
    let cross = |thetas: &[f64], phis: &[f64]| -> Vec<(f64, f64)> {
        let each = thetas.iter().flat_map(|t| phis.iter().map(|p| (*t, *p)));
        each.collect()
    };
    let quarter = [0.0, 90.0, 180.0, 270.0];
    assert_eq!(
        reason(&cross(&[45.0, 90.0, 135.0], &[0.0, 180.0]), 0.1),
        "only 2 different φ: a cut or two, not a sphere"
    );
    assert_eq!(
        reason(&cross(&[45.0, 90.0], &quarter), 0.1),
        "only 2 different θ: a cut or two, not a sphere"
    );
    assert!(find(&read_at(&cross(&[45.0, 90.0, 135.0], &quarter)), 0.1).is_ok());
    // Three angles of φ are enough.
    let thirds = [0.0, 120.0, 240.0];
    assert!(find(&read_at(&cross(&[45.0, 90.0, 135.0], &thirds)), 0.1).is_ok());
    assert_eq!(
        reason(&cross(&[0.0, 33.312_19, 77.777_43], &quarter), 1e-6),
        "θ does not run in equal steps that divide 180° (within 0.000001°)"
    );
    assert_eq!(
        reason(&cross(&[45.0, 90.0], &[0.0, 33.312_19, 77.777_43]), 1e-6),
        "φ does not run in equal steps that divide 360° (within 0.000001°)"
    );
    assert_eq!(
        reason(&[(0.0, 0.0), (180.0, 0.0)], 0.1),
        "φ does not run in equal steps that divide 360° (within 0.1°)"
    );
}

#[test]
fn the_finest_steps_are_a_twentieth_of_a_degree() {
    assert_eq!(theta_axis(&[0.05], 1e-6).map(|t| t.0), Some(3600));
    assert_eq!(theta_axis(&[180.0 / 3601.0], 1e-8), None);
    assert_eq!(phi_axis(&[0.0, 0.05], 1e-6).map(|p| p.0), Some(7200));
    assert_eq!(phi_axis(&[0.0, 360.0 / 7201.0], 1e-8), None);
    near(effective_snap(0.3, 0.1), 0.075);
    assert_eq!(effective_snap(1.0, 0.1), 0.1);
}

#[test]
fn a_start_is_in_the_middle_of_its_residuals() {
    // About the first they are 0, −0.06, +0.02 and −0.04: the middle is at −0.02, and 0.04 is left on both sides.
    let (count, start, deviation) = phi_axis(&[7.54, 97.48, 187.56, 277.5], 0.05).unwrap();
    assert_eq!((count, start), (4, 7.52));
    near(deviation, 0.04);
    // Half the spread is the snap distance: just over it the four are no axis of 90°.
    let found = phi_axis(&[7.54, 97.48, 187.56, 277.5], 0.039).unwrap();
    assert!(found.0 > 4);
    // A start below 0 is counted from the step below: −0.5 is 89.5.
    let found = phi_axis(&[89.5, 179.5, 269.5, 359.5], 0.1).unwrap();
    assert_eq!((found.0, found.1), (4, 89.5));
    near(residual(97.0, 45.0), 7.0);
    near(residual(113.0, 45.0), -22.0);
    near(residual(-97.0, 45.0), -7.0);
    // At the snap distance is within it.
    assert_eq!(largest_deviation(&[0.5, 9.75], 10.0, 0.0, 0.5), Some(0.5));
    assert_eq!(largest_deviation(&[12.75, 1.0], 10.0, 2.0, 1.0), Some(1.0));
    assert_eq!(largest_deviation(&[0.5, 9.25], 10.0, 0.0, 0.5), None);
    assert_eq!(
        distinct([3.0, 1.0, 3.0, 2.0, 1.0].into_iter()),
        [1.0, 2.0, 3.0]
    );
}
