//! Which findings noise explains, just within and just beyond what it can do.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::noise::Level;
use crate::correct::testing::{noise as noise_of, same, sphere};
use crate::correct::{Detector, Signal};
use crate::model::{Layout, Quantity, State};
use crate::reduce::noise::testing::{channel, plain};
use ndarray::Array3;

/// Three rings of two columns at two frequencies, in floors of 1 W and 2 W; a hundred averages. Shown at the poles, theta and phi: 10 W and
/// 20 W, 5 W and 10 W; 100 W at the second frequency, and on the ring next to nothing.
fn scene() -> (Sphere, Noise) {
    let shown = |(f, p, d): (usize, usize, usize)| match (f, d) {
        (_, 2 | 3) => 1e-3,
        (1, _) => 100.0,
        (_, 0 | 1) => 10.0 * (1 + p) as f64,
        _ => 5.0 * (1 + p) as f64,
    };
    let floors = [1.0, 2.0];
    let sphere = sphere(
        Quantity::Eirp,
        Layout::ThetaPhi,
        (2, 2),
        &[None, None],
        |at| shown(at) - floors[at.1],
    );
    let levels = vec![floors.map(|n| Level::new(n, None)).to_vec(); 2];
    let raw = Array3::from_shape_fn((2, 2, 6), shown);
    let noise = noise_of(levels, 100.0, Detector::Rms, Signal::Cw, raw);
    (sphere, noise)
}

fn warnings(of: &[(&str, Option<f64>)]) -> Vec<Finding> {
    of.iter()
        .map(|(code, effect_db)| Finding {
            effect_db: *effect_db,
            ..Finding::warning(code, "as it is").advice("look")
        })
        .collect()
}

fn explained_of(findings: &[Finding]) -> Vec<bool> {
    let explained = |f: &Finding| {
        let says = f
            .advice
            .as_deref()
            .is_some_and(|a| a.starts_with("noise explains it"));
        assert_eq!(says, f.severity == Severity::Note, "{f:?}");
        assert!(says || f.advice.as_deref() == Some("look"));
        says
    };
    findings.iter().map(explained).collect()
}

#[test]
fn the_noisier_pole_counts() {
    // The south pole of the first frequency: variances (2·5 − 1)/100 and 2(2·10 − 2)/100, so 5·√0.45/15 = √0.05 of the 15 W shown; at the
    // north pole it is 5·√0.95/30.
    let (sphere, mut noise) = scene();
    same(largest_at_poles(&sphere, &noise).unwrap(), libm::sqrt(0.05));
    // One polarisation that was not read does not count: 5·0.6/10 of phi.
    let mut parts = sphere.clone().into_parts();
    parts.states[(0, 0, 4)] = State::Missing;
    let half = parts.clone().build().unwrap();
    same(largest_at_poles(&half, &noise).unwrap(), 0.3);
    // Noise alone scatters at least by N²/n: 5·√(0.01 + 0.04)/1.5 where 0.5 W and 1 W are shown.
    noise.raw[(0, 0, 0)] = 0.5;
    noise.raw[(0, 1, 0)] = 1.0;
    let wanted = libm::sqrt(0.05) / 0.3;
    same(largest_at_poles(&sphere, &noise).unwrap(), wanted);
    parts.states.fill(State::Missing);
    let unread = parts.build().unwrap();
    assert_eq!(largest_at_poles(&unread, &noise), None);
}

#[test]
fn poles_within_five_deviations() {
    // r = √0.05: one reading is lifted by 10·log10(1 + r) = 0.8765 dB, two are 10·log10((1 + r)/(1 − r)) = 1.9757 dB apart.
    let (sphere, mut noise) = scene();
    let mut findings = warnings(&[
        ("pole-law", Some(0.876)),
        ("pole-law", Some(0.877)),
        ("pole-imbalance", Some(-0.876)),
        ("pole-imbalance", Some(-0.877)),
        ("pole-spread", Some(1.975)),
        ("pole-spread", Some(1.976)),
        ("pole-spread", None),
        ("pole-copied", Some(0.1)),
        ("seam", None),
    ]);
    explain_poles(&mut findings, &sphere, &noise);
    let wanted = [true, false, true, false, true, false, true, false, false];
    assert_eq!(explained_of(&findings), wanted);
    // Noise of as much as the mean explains any spread.
    let mut findings = warnings(&[("pole-spread", Some(90.0)), ("pole-law", Some(90.0))]);
    noise.averages = 1.0;
    explain_poles(&mut findings, &sphere, &noise);
    assert_eq!(explained_of(&findings), [true, false]);
}

#[test]
fn grids_within_three_deviations() {
    // The widest interval is 0.5 dB of 1.959963984540054 deviations: three are 0.7653 dB.
    let wide = |half_width_db| {
        let mut report = plain();
        report.half_width_db = half_width_db;
        channel(None, Some(report))
    };
    let channels = [
        wide(Some(0.2)),
        wide(Some(0.5)),
        wide(Some(0.3)),
        channel(None, None),
    ];
    let all = [
        ("grid-coarse", Some(0.765)),
        ("grid-coarse", Some(0.766)),
        ("grid-coarse", Some(-0.765)),
        ("grid-coarse", Some(-0.766)),
        ("grid-coarse", None),
        ("spikes", Some(0.1)),
    ];
    let mut findings = warnings(&all);
    explain_coarse(&mut findings, &channels);
    assert_eq!(
        explained_of(&findings),
        [true, false, true, false, true, false]
    );
    // An interval that is open explains all; without any noise nothing is explained.
    let mut findings = warnings(&all);
    explain_coarse(&mut findings, &[wide(None), wide(Some(0.2))]);
    assert_eq!(
        explained_of(&findings),
        [true, true, true, true, true, false]
    );
    let mut findings = warnings(&all);
    explain_coarse(&mut findings, &[channel(None, None)]);
    assert_eq!(explained_of(&findings), [false; 6]);
}
