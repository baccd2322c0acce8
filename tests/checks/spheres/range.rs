//! Received powers and instrument levels: what the range loss makes of them.

use crate::sources::{Dipole, power, size};
use crate::tools::{Out, Random, bounded, directions, exact, grid, near, readings, rows};
use spheresum_core::correct::RangeLoss;
use spheresum_core::model::Curve;
use spheresum_core::table::pattern::Pattern;
use spheresum_core::unit::level::ratio_from_db;
use spheresum_core::{Frequency, Group, Limits, Polarisation, Quantity, Reading, Readings, Value};

const LOSS_DB: [f64; 2] = [40.5, 43.25];

/// EIRP of a dipole with its TRP.
fn source() -> (Vec<Reading>, f64) {
    let dipoles = [Dipole::random(&mut Random(41))];
    let trp = 2.0 / 3.0 * size(dipoles[0].moment);
    (
        rows(&directions(&grid((12, 24))), |t, p| power(&dipoles, t, p)),
        trp,
    )
}

fn index(polarisation: Polarisation) -> usize {
    usize::from(polarisation == Polarisation::Phi)
}

/// Each polarisation's values times a factor of its own.
fn scaled(all: &[Reading], factor: impl Fn(usize) -> f64) -> Vec<Reading> {
    all.iter()
        .map(|row| match row.value {
            Value::Power(p) => Reading {
                value: Value::Power(p * factor(index(row.polarisation))),
                ..*row
            },
            Value::Field(_) => panic!("a power"),
        })
        .collect()
}

fn with(range: RangeLoss) -> spheresum_core::reduce::ReduceOptions {
    let mut options = exact();
    options.range = Some(range);
    options
}

#[test]
fn received_power_and_range_loss_are_eirp() {
    let (eirp, trp) = source();
    let received = scaled(&eirp, |p| 1.0 / ratio_from_db(LOSS_DB[p]));
    let loss = RangeLoss::constant(LOSS_DB[0], LOSS_DB[1]).unwrap();
    let out = Out::of(readings(Quantity::ReceivedPower, &received), &with(loss));
    near(out.get("trp"), trp, 1e-12, "trp");
    assert_eq!(out.0.quantity, Quantity::Eirp);
    // Polarisations that change places do not cancel: the losses are told apart.
    let loss = RangeLoss::constant(LOSS_DB[1], LOSS_DB[0]).unwrap();
    let out = Out::of(readings(Quantity::ReceivedPower, &received), &with(loss));
    assert!((out.get("trp") / trp - 1.0).abs() > 0.01);
}

#[test]
fn the_poles_judge_the_range_after_its_loss() {
    let dipoles = [Dipole::random(&mut Random(42))];
    let eirp = rows(&directions(&grid((12, 24))), |t, p| power(&dipoles, t, p));
    let received = scaled(&eirp, |p| 1.0 / ratio_from_db(LOSS_DB[p]));
    // Both polarisations have the same mean over a pole's ring; losses that change places put 2·2.75 dB between them.
    for (losses, told_db) in [(LOSS_DB, None), ([LOSS_DB[1], LOSS_DB[0]], Some(5.5))] {
        let loss = RangeLoss::constant(losses[0], losses[1]).unwrap();
        let out = Out::of(readings(Quantity::ReceivedPower, &received), &with(loss));
        let finding = out.0.findings.iter().find(|f| f.code == "pole-imbalance");
        assert_eq!(finding.is_some(), told_db.is_some());
        if let Some((finding, db)) = finding.zip(told_db) {
            near(finding.effect_db.unwrap(), db, 1e-9, "imbalance");
        }
    }
    // EIRP that disagrees at the poles is told as well.
    let out = Out::of(
        readings(Quantity::Eirp, &scaled(&eirp, |p| [1.0, 2.0][p])),
        &exact(),
    );
    let finding = out
        .0
        .findings
        .iter()
        .find(|f| f.code == "pole-imbalance")
        .unwrap();
    near(
        finding.effect_db.unwrap(),
        3.010_299_956_639_812,
        1e-9,
        "imbalance",
    );
}

#[test]
fn marks_at_a_pole_keep_the_losses_apart() {
    // EIRP of 1 mW in theta, and below 0.1 mW in phi: half of it stands for phi, at the poles as everywhere.
    let mut received = rows(&directions(&grid((12, 24))), |_, _| {
        [
            1e-3 / ratio_from_db(LOSS_DB[0]),
            1e-4 / ratio_from_db(LOSS_DB[1]),
        ]
    });
    for row in received
        .iter_mut()
        .filter(|r| r.polarisation == Polarisation::Phi)
    {
        row.mark = spheresum_core::Mark::AtMost;
    }
    let loss = RangeLoss::constant(LOSS_DB[0], LOSS_DB[1]).unwrap();
    let out = Out::of(readings(Quantity::ReceivedPower, &received), &with(loss));
    near(out.get("trp"), 1.05e-3, 1e-12, "trp");
    bounded(out.bounds("trp"), (1e-3, 1.1e-3), 1e-12, "trp");
    near(out.get("peak_eirp"), 1.05e-3, 1e-12, "peak");
    bounded(out.bounds("peak_eirp"), (1e-3, 1.1e-3), 1e-12, "peak");
}

#[test]
fn a_peak_at_a_pole_has_both_losses() {
    // A dipole along x sends its peak, 2 W, to the poles: all of it in theta at φ = 0, all of it in phi at φ = 90°.
    let peak = 2.0;
    for phis in [&[0.0][..], &[90.0], &[0.0, 90.0], &[30.0, 200.0]] {
        let mut at = directions(&grid((12, 24)));
        at.retain(|d| d.0 > 0.0 && d.0 < 180.0);
        at.extend(phis.iter().flat_map(|phi| [(0.0, *phi), (180.0, *phi)]));
        let eirp = rows(&at, |t, p| Pattern::XDipole.power(t, p).map(|u| peak * u));
        let received = scaled(&eirp, |p| 1.0 / ratio_from_db(LOSS_DB[p]));
        let loss = RangeLoss::constant(LOSS_DB[0], LOSS_DB[1]).unwrap();
        let out = Out::of(readings(Quantity::ReceivedPower, &received), &with(loss));
        let what = format!("poles at {phis:?}");
        near(out.get("peak_eirp"), peak, 1e-12, &what);
        near(out.get("trp"), peak / 1.5, 1e-12, &what);
        near(out.get("trp_phi"), 0.75 * peak / 1.5, 1e-12, &what);
    }
}

#[test]
fn instrument_level_and_range_loss_are_eis() {
    // EIS = level − L. Isotropic: −97 dBm in each polarisation gives a TIS of half of it.
    let each = 1e-3 * ratio_from_db(-97.0);
    let eis = rows(&directions(&grid((9, 18))), |_, _| [each, each]);
    let level = scaled(&eis, |p| ratio_from_db(LOSS_DB[p]));
    let loss = RangeLoss::constant(LOSS_DB[0], LOSS_DB[1]).unwrap();
    let out = Out::of(readings(Quantity::InstrumentLevel, &level), &with(loss));
    near(out.get("tis"), each / 2.0, 1e-12, "tis");
    assert_eq!(out.0.quantity, Quantity::Eis);
}

fn mhz(mhz: f64) -> Frequency {
    Frequency::parse(
        &mhz.to_string(),
        spheresum_core::unit::frequency::FrequencyUnit::Mhz,
    )
    .unwrap()
}

fn at_frequency(all: &[Reading], frequency: Frequency) -> Readings {
    let limits = Limits::default();
    let mut readings = Readings::new("received", Quantity::ReceivedPower, &limits);
    readings.frequency_index(Some(frequency), &limits).unwrap();
    for row in all {
        readings.push(*row).unwrap();
    }
    readings
}

fn curve() -> RangeLoss {
    let mut curve = Curve::new("range.csv");
    for (frequency, theta, phi) in [(800.0, 40.0, 44.0), (900.0, 42.0, 43.0)] {
        curve
            .push(Polarisation::Theta, mhz(frequency), theta)
            .unwrap();
        curve.push(Polarisation::Phi, mhz(frequency), phi).unwrap();
    }
    RangeLoss::curve(curve).unwrap()
}

#[test]
fn losses_are_interpolated_in_decibels_and_never_extrapolated() {
    let (eirp, trp) = source();
    // A quarter of the way: 40.5 and 43.75 dB.
    let received = scaled(&eirp, |p| 1.0 / ratio_from_db([40.5, 43.75][p]));
    let out = Out::of(at_frequency(&received, mhz(825.0)), &with(curve()));
    near(out.get("trp"), trp, 1e-12, "825 MHz");
    for outside in [799.9, 900.1] {
        let error = Out::of_all(&[at_frequency(&received, mhz(outside))], &with(curve()))
            .err()
            .unwrap();
        assert_eq!(error.group(), Group::Domain, "{error}");
    }
    // A frequency that is not known is not on the curve.
    let unknown = readings(Quantity::ReceivedPower, &received);
    assert_eq!(
        Out::of_all(&[unknown], &with(curve()))
            .err()
            .unwrap()
            .group(),
        Group::Domain
    );
}

#[test]
fn without_range_loss_there_is_no_figure_and_with_it_no_eirp() {
    let (eirp, _) = source();
    for quantity in [Quantity::ReceivedPower, Quantity::InstrumentLevel] {
        let positive = scaled(&eirp, |_| 1.0);
        let positive: Vec<Reading> = positive
            .into_iter()
            .map(|r| match r.value {
                Value::Power(p) => Reading {
                    value: Value::Power(p + 1e-6),
                    ..r
                },
                Value::Field(_) => r,
            })
            .collect();
        let error = Out::of_all(&[readings(quantity, &positive)], &exact())
            .err()
            .unwrap();
        assert_eq!(error.group(), Group::Domain, "{error}");
        assert!(
            error.advice().is_some_and(|a| a.contains("--range")),
            "{error}"
        );
    }
    let loss = RangeLoss::constant(1.0, 1.0).unwrap();
    let error = Out::of_all(&[readings(Quantity::Eirp, &eirp)], &with(loss))
        .err()
        .unwrap();
    assert_eq!(error.group(), Group::Usage, "{error}");
    for (theta, phi) in [
        (-1.0, 1.0),
        (1.0, -1.0),
        (f64::NAN, 1.0),
        (f64::INFINITY, 1.0),
    ] {
        assert_eq!(
            RangeLoss::constant(theta, phi).err().unwrap().group(),
            Group::Usage
        );
    }
}
