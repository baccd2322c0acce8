//! Repeats, the seam, drift, and a total beside both polarisations.

use super::*;

#[test]
fn repeats_become_means_and_are_told() {
    let mut made = plain();
    made.frequency = Frequency::from_hz(2.0 * GHZ);
    // 1124 at ring 2, φ = 270°, and at the same place as −90° and behind the pole.
    made.exact((90.0, -90.0), Phi, 562.0);
    made.exact((270.0, 90.0), Phi, 2810.0);
    // Ring 3, φ = 90°: 1032 and at most 8, of which 4 stands.
    made.push((135.0, 90.0), Theta, Value::Power(8.0), Mark::AtMost);
    made.frequency = Frequency::from_hz(GHZ);
    // Ring 1, φ = 0°: 11, and 22 at 360°.
    made.exact((45.0, 360.0), Theta, 22.0);
    let found = assembled(&[made.readings]);
    let values = found.sphere.power().unwrap();
    near(values[(1, 1, 11)], (1124.0 + 562.0 + 2810.0) / 3.0);
    near(values[(1, 0, 13)], (1032.0 + 4.0) / 2.0);
    near(values[(0, 0, 4)], 16.5);
    assert_eq!(values[(0, 1, 4)], value(0, 1, 1, 0));
    assert_eq!(found.sphere.states()[(1, 0, 13)], State::AtMost);
    assert_eq!(
        found.sphere.bounds(),
        [Bound {
            at: (1, 0, 13),
            lower: 516.0,
            upper: Some(520.0),
        }]
    );
    // 2810/562 = 5. The share of a ring of N = 4 is sin θ·sin 22.5°, a quarter of it a sample, of four spheres:
    // (½√2 + 1 + ½√2)·0.38268/16 = 5.8 %.
    let repeats = coded(&found.findings, "repeats").unwrap();
    assert_eq!(repeats.severity, Severity::Warning);
    near(repeats.effect_db.unwrap(), 10.0 * libm::log10(5.0));
    assert!(
        repeats.message.starts_with("3 samples of eirp were read more than once (1 readings stand at φ = 360°, which is φ = 0°): 5.8 % of the sphere is double"),
        "{}",
        repeats.message
    );
    assert!(repeats.message.contains("disagree by 6.99 dB at most"));
    // 22 over 11 on one pair, half of it in the mean.
    let seam = coded(&found.findings, "seam").unwrap();
    near(seam.effect_db.unwrap(), 5.0 * libm::log10(2.0));
    assert!(coded(&found.findings, "drift").is_none());
}

#[test]
fn small_repeats_are_a_note_and_marks_do_not_disagree() {
    let of = |extra: &dyn Fn(&mut Made)| {
        let mut made = Made::new("small", Quantity::Gain);
        push_inner(&mut made, 0, both);
        extra(&mut made);
        let found = assembled(&[made.readings]);
        coded(&found.findings, "repeats").unwrap().clone()
    };
    let told = of(&|m| m.exact((90.0, 90.0), Phi, 122.0 * level::ratio_from_db(0.49)));
    assert_eq!(told.severity, Severity::Note);
    // sin 22.5°/4 of two polarisations: 4.8 %.
    assert!(
        told.message
            .starts_with("1 samples of gain were read more than once: 4.8 % of"),
        "{}",
        told.message
    );
    let told = of(&|m| m.exact((90.0, 90.0), Phi, 122.0 * level::ratio_from_db(-0.51)));
    assert_eq!(told.severity, Severity::Warning);
    assert!(told.message.contains("by 0.51 dB at most"));
    // Zeros and marks have no ratio.
    let told = of(&|m| m.exact((90.0, 90.0), Phi, 0.0));
    assert_eq!(told.effect_db, Some(0.0));
    let told = of(&|m| m.push((90.0, 90.0), Phi, Value::Power(9.0), Mark::AtMost));
    assert_eq!(told.effect_db, Some(0.0));
    let mut made = Made::new("nothing", Quantity::Gain);
    for _ in 0..2 {
        push_inner(&mut made, 0, |m, _, ring, j| {
            m.exact((45.0 * ring as f64, 90.0 * j as f64), Theta, 0.0);
        });
    }
    let found = assembled(&[made.readings]);
    let told = coded(&found.findings, "repeats").unwrap();
    assert_eq!(told.effect_db, Some(0.0));
    assert!(
        told.message.contains("by 0.00 dB at most"),
        "{}",
        told.message
    );
}

#[test]
fn the_seam_is_within_half_a_degree_of_a_turn() {
    let mut made = Made::new("seam", Quantity::Eirp);
    push_inner(&mut made, 0, both);
    let exact = Interval::of_reading(Quantity::Eirp, 2.0, Mark::Exact);
    let mut repeats = repeats::Repeats::default();
    for phi in [359.4, 359.5, 359.6, 360.0, 360.4, 360.5, 0.0] {
        repeats.first(3, phi);
        repeats.push(3, phi, exact);
    }
    let mut values = [0.0, 0.0, 0.0, 5.0];
    repeats.merge(
        &mut values,
        &mut [State::Measured; 4],
        &mut Default::default(),
    );
    near(values[3], (5.0 + 7.0 * 2.0) / 8.0);
    assert_eq!(repeats.often(), [3]);
    assert_eq!(repeats.worst_ratio(), 2.5);
    let directions = (0..4).map(|i| Direction {
        theta_deg: f64::from(i),
        phi_deg: 0.0,
    });
    let grid = Grid::Listed(ListedGrid::new(directions.collect(), "a list"));
    // One of four directions, of two polarisations at five frequencies: 2.5 %.
    let told = repeats.finding(Quantity::Eirp, &grid, (5, 2, 4)).unwrap();
    assert!(
        told.message
            .contains("(6 readings stand at φ = 360°, which is φ = 0°): 2.5 % of"),
        "{}",
        told.message
    );
    // Twice is not often.
    let mut twice = repeats::Repeats::default();
    twice.push(1, 0.0, exact);
    twice.merge(
        &mut values,
        &mut [State::Measured; 4],
        &mut Default::default(),
    );
    assert!(twice.often().is_empty());
    assert!(
        repeats::Repeats::default()
            .finding(Quantity::Eirp, &grid, (5, 2, 4))
            .is_none()
    );
}

#[test]
fn one_sample_read_again_and_again_shows_drift() {
    let mut made = Made::new("drift", Quantity::Eirp);
    push_inner(&mut made, 0, both);
    push_inner(&mut made, 1, both);
    // Phi of ring 1, φ = 270°, at 2 GHz stands on line 24 + 8 = 32, and again on lines 49, 50, 52 and 53: +0.1 dB a line.
    for line in 49..=53 {
        if line == 51 {
            // Marked readings are no reference.
            made.push((45.0, 270.0), Phi, Value::Power(3.0), Mark::AtMost);
            continue;
        }
        let rise = level::ratio_from_db(0.1 * f64::from(line - 32));
        made.exact((45.0, 270.0), Phi, value(1, 1, 1, 3) * rise);
    }
    let found = assembled(&[made.readings]);
    let drift = coded(&found.findings, "drift").unwrap();
    // 21 lines: 2.1 dB, half of it in the mean.
    assert!((drift.effect_db.unwrap() - 1.05).abs() < 1e-9);
    assert!(
        drift
            .message
            .contains("drifts by +2.10 dB between lines 32 and 53 (5 readings of 1 samples"),
        "{}",
        drift.message
    );
}

#[test]
fn a_total_beside_both_is_a_check() {
    let of = |extra: &dyn Fn(&mut Made)| {
        let mut made = plain();
        // θ + φ of ring 2, φ = 90°, at 2 GHz: 1022 + 1122.
        made.frequency = Frequency::from_hz(2.0 * GHZ);
        extra(&mut made);
        let found = assembled(&[made.readings]);
        coded(&found.findings, "total-disagrees").cloned()
    };
    let off = |db: f64| 2144.0 * level::ratio_from_db(db);
    assert_eq!(of(&|m| m.exact((90.0, 90.0), Total, off(0.049))), None);
    assert_eq!(of(&|m| m.exact((90.0, 90.0), Total, off(-0.049))), None);
    let told = of(&|m| {
        m.exact((90.0, 90.0), Total, off(0.051));
        m.exact((90.0, 90.0), Total, off(-0.5));
        m.exact((90.0, 90.0), Total, off(0.01));
        // A marked total, one of 0, and one at a pole are no check.
        m.push((90.0, 90.0), Total, Value::Power(1.0), Mark::AtMost);
        m.exact((90.0, 90.0), Total, 0.0);
        m.exact((0.0, 0.0), Total, 1.0);
    });
    let told = told.unwrap();
    near(told.effect_db.unwrap(), 0.5);
    assert!(
        told.message
            .contains("by more than 0.05 dB in 2 directions, by 0.50 dB at most"),
        "{}",
        told.message
    );
    // Nor is one whose parts are marked, absent, or 0.
    let mut made = Made::new("parts", Quantity::Eirp);
    push_inner(&mut made, 0, |m, f, ring, j| {
        let at = (45.0 * ring as f64, 90.0 * j as f64);
        let powers = [value(f, 0, ring, j), value(f, 1, ring, j)];
        match (ring, j) {
            (1, 0) => m.exact(at, Theta, powers[0]),
            (1, 1) => m.exact(at, Phi, powers[1]),
            (1, 2) => {
                m.push(at, Theta, Value::Power(powers[0]), Mark::AtMost);
                m.exact(at, Phi, powers[1]);
            }
            (1, 3) => {
                m.exact(at, Theta, 0.0);
                m.exact(at, Phi, 0.0);
            }
            _ => both(m, f, ring, j),
        }
        m.exact(
            at,
            Total,
            if ring == 1 {
                1e4
            } else {
                powers[0] + powers[1]
            },
        );
    });
    let found = assembled(&[made.readings]);
    assert!(coded(&found.findings, "total-disagrees").is_none());
    assert_eq!(found.sphere.layout(), Layout::ThetaPhi);
}
