//! Losses by words and against frequency, and what they make of samples.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::testing::{mhz as at_mhz, same, sphere};
use crate::error::Group;
use crate::model::{Bound, Parameter, PortPair, State};
use crate::unit::frequency::FrequencyUnit;
use Polarisation::{Phi, Theta, Total};

#[test]
fn between_points_and_never_beyond() {
    let mut curve = Curve::new("t");
    let mhz = |t: &str| Frequency::parse(t, FrequencyUnit::Mhz);
    for (f, l) in [("860", 40.0), ("870", 42.0)] {
        if let Some(f) = mhz(f) {
            assert!(curve.push(Polarisation::Theta, f, l).is_ok());
            assert!(curve.push(Polarisation::Phi, f, l + 1.0).is_ok());
        }
    }
    let loss = RangeLoss::curve(curve).ok();
    let at = |t: &str| {
        loss.as_ref()
            .and_then(|l| l.at(Polarisation::Theta, mhz(t)).ok())
    };
    assert_eq!(at("860"), Some(40.0));
    assert_eq!(at("865"), Some(41.0));
    assert_eq!(at("859.999"), None);
    assert_eq!(at("870.001"), None);
    assert!("theta=-3,phi=4".parse::<RangeLoss>().is_err());
    assert!("theta=3".parse::<RangeLoss>().is_err());
    assert!("theta=3,theta=3,phi=1".parse::<RangeLoss>().is_err());
    assert!("theta=nan,phi=1".parse::<RangeLoss>().is_err());
    assert!(" theta=3.5,phi=4".parse::<RangeLoss>().is_ok());
}

/// Theta 40 dB at 860 MHz and 44 dB at 870 MHz, phi 41 dB at 860 MHz and 40 dB at 880 MHz.
fn curve() -> RangeLoss {
    let mut curve = Curve::new("loss.csv");
    for (polarisation, frequency, loss) in [
        (Theta, "860", 40.0),
        (Theta, "870", 44.0),
        (Phi, "860", 41.0),
        (Phi, "880", 40.0),
    ] {
        let frequency = at_mhz(frequency).unwrap();
        curve.push(polarisation, frequency, loss).unwrap();
    }
    RangeLoss::curve(curve).unwrap()
}

#[test]
fn each_polarisation_has_its_own_line() {
    let loss = curve();
    // Linear in decibels: a tenth of the way is 0.4 dB up, a quarter of the way 0.25 dB down.
    same(loss.at(Theta, at_mhz("861")).unwrap(), 40.4);
    same(loss.at(Phi, at_mhz("865")).unwrap(), 40.75);
    same(loss.at(Phi, at_mhz("880")).unwrap(), 40.0);
    let error = loss.at(Theta, at_mhz("880")).unwrap_err();
    assert_eq!(
        error.message(),
        "880 MHz is outside the frequencies of the range loss; it is not extrapolated"
    );
    assert_eq!(error.group(), Group::Domain);
    let error = loss.at(Theta, None).unwrap_err();
    assert!(error.message().contains("the readings have none"));
    let constant: RangeLoss = "theta=3,phi=5".parse().unwrap();
    assert_eq!(constant.at(Theta, None).unwrap(), 3.0);
    assert_eq!(constant.at(Phi, at_mhz("1")).unwrap(), 5.0);
    assert_eq!(constant.at(Total, None).unwrap(), 3.0);
    assert_eq!(constant.to_string(), "theta=3,phi=5");
    assert_eq!(loss.to_string(), "loss.csv");
}

#[test]
fn losses_are_not_negative() {
    assert!(RangeLoss::constant(0.0, 0.0).is_ok());
    for (theta, phi, says) in [
        (-0.5, 1.0, "a range loss of -0.5 dB"),
        (1.0, -0.25, "a range loss of -0.25 dB"),
        (f64::INFINITY, 1.0, "a range loss of inf dB"),
    ] {
        let error = RangeLoss::constant(theta, phi).unwrap_err();
        assert_eq!((error.message(), error.group()), (says, Group::Usage));
        assert!(
            error
                .advice()
                .is_some_and(|a| a.contains("change the sign"))
        );
    }
    for text in [
        "theta=1,psi=2,phi=3",
        "theta=1,phi=2,phi=3",
        "3",
        "phi=3",
        "theta=x,phi=1",
    ] {
        let error = text.parse::<RangeLoss>().unwrap_err();
        assert_eq!(error.message(), format!("{text:?} is no range loss"));
    }
    let mut one = Curve::new("loss.csv");
    one.push(Theta, at_mhz("860").unwrap(), 0.0).unwrap();
    let error = RangeLoss::curve(one.clone()).unwrap_err();
    assert_eq!(error.message(), "no range loss for the phi polarisation");
    assert_eq!(error.group(), Group::Input);
    one.push(Phi, at_mhz("860").unwrap(), -2.0).unwrap();
    let error = RangeLoss::curve(one).unwrap_err();
    assert_eq!(error.message(), "a range loss of -2 dB (phi, 860 MHz)");
    assert!(
        error
            .advice()
            .is_some_and(|a| a.contains("change the sign"))
    );
}

#[test]
fn a_total_needs_one_loss() {
    let loss = curve();
    let both: RangeLoss = "theta=3,phi=3".parse().unwrap();
    assert_eq!(both.in_layout(Layout::TotalOnly, Total, None).unwrap(), 3.0);
    let error = loss
        .in_layout(Layout::TotalOnly, Total, at_mhz("860"))
        .unwrap_err();
    assert!(error.message().contains("different losses"));
    let phi = loss.in_layout(Layout::ThetaPhi, Phi, at_mhz("860"));
    assert_eq!(phi.unwrap(), 41.0);
    // 40 dB over 41 dB are 10^−0.1; where one is not known, 1.
    same(loss.theta_over_phi(at_mhz("860")), 0.794_328_234_724_281_5);
    assert_eq!(loss.theta_over_phi(at_mhz("880")), 1.0);
}

#[test]
fn losses_are_for_what_was_received() {
    let loss: RangeLoss = "theta=3,phi=5".parse().unwrap();
    for (quantity, target) in [
        (Quantity::ReceivedPower, Quantity::Eirp),
        (Quantity::InstrumentLevel, Quantity::Eis),
    ] {
        assert_eq!(
            wanted(quantity, Some(&loss)).unwrap(),
            Some((target, &loss))
        );
    }
    for (quantity, says) in [
        (
            Quantity::ReceivedPower,
            "received power becomes EIRP only with",
        ),
        (
            Quantity::InstrumentLevel,
            "an instrument level becomes EIS only with",
        ),
    ] {
        let error = wanted(quantity, None).unwrap_err();
        assert!(error.message().starts_with(says), "{error}");
        assert_eq!(error.group(), Group::Domain);
    }
    for quantity in [Quantity::Eirp, Quantity::Eis, Quantity::Gain] {
        assert_eq!(wanted(quantity, None).unwrap(), None);
        let error = wanted(quantity, Some(&loss)).unwrap_err();
        let says =
            format!("the readings are {quantity} already; a range loss would be counted twice");
        assert_eq!(
            (error.message(), error.group()),
            (says.as_str(), Group::Usage)
        );
    }
    let eirp = sphere(Quantity::Eirp, Layout::ThetaPhi, (2, 2), &[None], |_| 1.0);
    let (after, step) = apply(eirp.clone(), None).unwrap();
    assert_eq!((after, step), (eirp, None));
}

#[test]
fn samples_and_bounds_are_multiplied() {
    let mut losses = Curve::new("loss.csv");
    for (frequency, theta, phi) in [("860", 10.0, 20.0), ("870", 30.0, 40.0)] {
        let frequency = at_mhz(frequency).unwrap();
        losses.push(Theta, frequency, theta).unwrap();
        losses.push(Phi, frequency, phi).unwrap();
    }
    let losses = RangeLoss::curve(losses).unwrap();
    let received = |(f, p, d)| (1 + d + 10 * p + 100 * f) as f64;
    let frequencies = [at_mhz("860"), at_mhz("870")];
    let whole = sphere(
        Quantity::ReceivedPower,
        Layout::ThetaPhi,
        (2, 2),
        &frequencies,
        received,
    );
    let mut parts = whole.into_parts();
    let marked = [(0, 0, 2), (0, 1, 3), (1, 0, 2), (1, 1, 3)];
    for at in marked {
        parts.states[at] = State::AtMost;
        let (lower, upper) = (1.0, (at.0 == at.1).then_some(2.0));
        parts.bounds.push(Bound { at, lower, upper });
    }
    let (after, step) = apply(parts.build().unwrap(), Some(&losses)).unwrap();
    assert_eq!(after.quantity(), Quantity::Eirp);
    let factor = [[10.0, 100.0], [1e3, 1e4]];
    for ((f, p, d), value) in after.power().unwrap().indexed_iter() {
        let lifted = |p: usize, d| factor[f][p] * received((f, p, d));
        // Half of the total at a pole, once both have one scale.
        let wanted = match d {
            2 | 3 => lifted(p, d),
            0 | 1 => (lifted(0, 0) + lifted(1, 0)) / 2.0,
            _ => (lifted(0, 4) + lifted(1, 4)) / 2.0,
        };
        same(*value, wanted);
    }
    for (bound, at) in after.bounds().iter().zip(marked) {
        assert_eq!(bound.at, at);
        same(bound.lower, factor[at.0][at.1]);
        let upper = (at.0 == at.1).then_some(2.0 * factor[at.0][at.1]);
        assert_eq!(bound.upper.is_some(), upper.is_some());
        same(bound.upper.unwrap_or(1.0), upper.unwrap_or(1.0));
    }
    let step = step.unwrap();
    assert_eq!(
        step.did,
        [
            "860 MHz: theta 10 dB, phi 20 dB",
            "870 MHz: theta 30 dB, phi 40 dB"
        ]
    );
    let option = step.options.get("range").map(String::as_str);
    assert_eq!((step.step.as_str(), option), ("range", Some("loss.csv")));
}

#[test]
fn port_data_need_a_path() {
    let of_ports = |ports: usize| {
        let s = vec![num_complex::Complex64::new(2.0, 0.0); ports * ports];
        let frequencies = vec![at_mhz("860").unwrap()];
        let matrix = PortMatrix::new(Parameter::S, vec![50.0; ports], frequencies, s).unwrap();
        Curve::of_ports("range.s2p", matrix)
    };
    for (ports, says, hint) in [
        (1, "the transfers of 1 port, and none", "between two ports"),
        (2, "the transfers of 2 ports, and none", "name the path"),
    ] {
        let error = RangeLoss::curve(of_ports(ports)).unwrap_err();
        assert!(error.message().contains(says), "{error}");
        assert!(error.message().ends_with("path of the theta polarisation"));
        assert!(error.advice().is_some_and(|a| a.contains(hint)));
        assert_eq!(error.group(), Group::Usage);
    }
    // |S| = 2 gains 6 dB: no loss.
    let mut gains = of_ports(2);
    for polarisation in [Theta, Phi] {
        gains
            .push_path(polarisation, PortPair { to: 2, from: 1 })
            .unwrap();
    }
    let error = RangeLoss::curve(gains).unwrap_err();
    assert!(error.message().starts_with("a range loss of -6.02"));
    assert!(error.advice().is_some_and(|a| a.contains("gains power")));
}
