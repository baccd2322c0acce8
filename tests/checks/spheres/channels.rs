//! Several frequencies: averages and worst values; and the directions that extremes carry.

use crate::tools::{Out, directions, exact, grid, near, reading, readings, rows};
use spheresum_core::reduce::reduce_readings;
use spheresum_core::table::pattern::{ExponentialBeam, Pattern};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Frequency, Limits, Polarisation, Quantity, Readings, Value};

/// Isotropic sources with these totals, one a frequency.
fn channels(quantity: Quantity, totals_dbm: &[f64]) -> Readings {
    let limits = Limits::default();
    let mut all = Readings::new("channels", quantity, &limits);
    for (n, dbm) in totals_dbm.iter().enumerate() {
        let mhz = Frequency::parse(&(863 + n).to_string(), FrequencyUnit::Mhz).unwrap();
        let frequency = all.frequency_index(Some(mhz), &limits).unwrap();
        // 1/EIS adds up, so that each polarisation of a sensitivity is twice the whole.
        let each = match quantity {
            Quantity::Eis => 2.0 * w_from_dbm(*dbm),
            _ => w_from_dbm(*dbm) / 2.0,
        };
        for at in directions(&grid((12, 24))) {
            for polarisation in [Polarisation::Theta, Polarisation::Phi] {
                let mut row = reading(at, polarisation, Value::Power(each));
                row.frequency = frequency;
                all.push(row).unwrap();
            }
        }
    }
    all
}

fn summary(quantity: Quantity, totals_dbm: &[f64], name: &str) -> f64 {
    let all = channels(quantity, totals_dbm);
    let reduction = reduce_readings(&[all], &exact(), &Limits::default()).unwrap();
    assert_eq!(reduction.channels.len(), totals_dbm.len());
    let figure = reduction.summary.iter().find(|f| f.name == name).unwrap();
    figure.value.unwrap()
}

/// Source: closed form, 10 log10 of the mean of the milliwatts; 3GPP TS 37.144 and TS 34.114 (from memory) average so.
#[test]
fn powers_average_in_milliwatts() {
    // 10 log10(5.5) = 7.403 626 894 942 438 455 4; the mean of the decibels would be 5.
    let average = summary(Quantity::Eirp, &[0.0, 10.0], "trp_average");
    assert!((average - 7.403_626_894_942_438).abs() < 1e-9, "{average}");
    let average = summary(Quantity::Eirp, &[20.0, 19.0, 17.0], "trp_average");
    assert!((average - AVERAGE_OF_THREE).abs() < 1e-9, "{average}");
    let lowest = summary(Quantity::Eirp, &[20.0, 19.0, 17.0], "trp_lowest");
    assert!((lowest - 17.0).abs() < 1e-9, "{lowest}");
}

/// 10 log10((10^2 + 10^1.9 + 10^1.7)/3), mpmath 1.4.1.
const AVERAGE_OF_THREE: f64 = 18.837_589_688_894_95;
/// −10 log10((10^10.0 + 10^9.5 + 10^9.0)/3), mpmath 1.4.1.
const HARMONIC_OF_THREE: f64 = -96.740_118_500_250_5;

/// Source: closed form, the harmonic mean of the milliwatts; 3GPP TS 37.144 and TS 34.114 (from memory) average so.
#[test]
fn sensitivities_average_in_their_reciprocals() {
    let average = summary(Quantity::Eis, &[-100.0, -95.0, -90.0], "tis_average");
    assert!((average - HARMONIC_OF_THREE).abs() < 1e-9, "{average}");
    let highest = summary(Quantity::Eis, &[-100.0, -95.0, -90.0], "tis_highest");
    assert!((highest + 90.0).abs() < 1e-9, "{highest}");
}

/// Source: closed form, the axis of the beam and the direction opposite to it.
#[test]
fn extremes_carry_their_direction() {
    for (theta, phi) in [(60.0, 105.0), (135.0, 330.0), (90.0, 0.0)] {
        let beam = Pattern::ExponentialBeam(ExponentialBeam {
            kappa: 1.0,
            axis_theta_deg: theta,
            axis_phi_deg: phi,
        });
        let opposite = (180.0 - theta, (phi + 180.0) % 360.0);
        for (quantity, most, least) in [
            (Quantity::Eirp, "peak_eirp", "min_eirp"),
            (Quantity::Eis, "best_eis", "worst_eis"),
        ] {
            let samples = rows(&directions(&grid((12, 24))), |t, p| {
                beam.power(t, p).map(|u| match quantity {
                    Quantity::Eis => 1e-13 / u,
                    _ => u,
                })
            });
            let out = Out::of(readings(quantity, &samples), &exact());
            for (name, (theta, phi)) in [(most, (theta, phi)), (least, opposite)] {
                let figure = out.figure(name);
                let at = (figure.theta_deg, figure.phi_deg);
                assert_eq!(at, (Some(theta), Some(phi)), "{name}");
            }
            // exp(2 kappa) from the beam to its opposite, for powers down and for sensitivities up.
            let factor = out.get(most) / out.get(least);
            let want = if quantity == Quantity::Eis { -2.0 } else { 2.0 };
            near(factor, libm::exp(want), 1e-12, most);
        }
    }
}
