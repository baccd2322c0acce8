//! Samples of a channel with their weights and variances.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::testing::same;
use crate::fill::Missing;
use crate::reduce::noise::testing::{scene, setting};
use crate::rule::Rule;

#[test]
fn each_direction_has_its_part_of_the_weight() {
    // Theta's first column at 45° was filled with 4 W, which would have shown 5 W, whatever the receiver showed; its second was never
    // measured. Variances of four averages are (2P − 1)/4 of theta and 2(2P − 2)/4 of phi, 1/4 and 1 at least.
    let (sphere, mut noise) = scene([[0.0, 4.0, 2.0, 3.0, 6.0], [-2.0, 1.0, 5.0, 7.0, 6.0]], 4.0);
    let mut parts = sphere.into_parts();
    parts.states[(1, 0, 2)] = State::Filled;
    parts.states[(1, 0, 3)] = State::Missing;
    noise.raw[(1, 0, 2)] = 777.0;
    let sphere = parts.build().unwrap();
    let setting = setting(Rule::ClenshawCurtis, 4, Some(noise.clone()));
    let channel = Channel::new(&sphere, 1, &setting, &Missing::default()).unwrap();
    let spread = Spread::of(&channel, &noise);
    // Half-weights in thirtieths: 1 of a pole, 8 and 12 of two columns each.
    let wanted = [
        (1.0, 0.25),
        (4.0, 2.25),
        (6.0, 1.25),
        (6.0, 1.25),
        (4.0, 1.75),
        (4.0, 1.75),
        (1.0, 3.25),
        (1.0, 1.0),
        (4.0, 2.0),
        (4.0, 2.0),
        (6.0, 6.0),
        (6.0, 6.0),
        (4.0, 8.0),
        (4.0, 8.0),
        (1.0, 7.0),
    ];
    assert_eq!(spread.samples.len(), wanted.len());
    for ((w, v), (thirtieths, variance)) in spread.samples.iter().zip(wanted) {
        same(*w, thirtieths / 30.0);
        same(*v, variance);
    }
    // 0.25 + 36 + 90 + 56 + 3.25, and 1 + 64 + 432 + 256 + 7.
    let [theta, phi] = spread.by_polarisation[..] else {
        unreachable!("two polarisations");
    };
    same(theta, 185.5 / 900.0);
    same(phi, 760.0 / 900.0);
}

#[test]
fn rings_without_weight_are_not_named() {
    // The sine rule gives poles nothing: of the middle rings sin² 45° is half of sin² 90°, variances of two polarisations are 4.25, 7.25 and
    // 9.75.
    let signals = [[10.0, 4.0, 2.0, 3.0, 6.0], [10.0, 1.0, 5.0, 7.0, 6.0]];
    let (sphere, noise) = scene(signals, 4.0);
    let setting = setting(Rule::Sine, 4, Some(noise.clone()));
    let channel = Channel::new(&sphere, 1, &setting, &Missing::default()).unwrap();
    let spread = Spread::of(&channel, &noise);
    let found = spread.dominant(&channel);
    let whole = 4.25 / 2.0 + 7.25 + 9.75 / 2.0;
    assert_eq!(found.len(), 3);
    for (ring, (theta, part)) in
        found
            .iter()
            .zip([(90.0, 7.25), (135.0, 9.75 / 2.0), (45.0, 4.25 / 2.0)])
    {
        assert_eq!(ring.theta_deg, theta);
        same(ring.variance_share_percent, 100.0 * part / whole);
    }
    // Without any rings that count there is none to name.
    let empty = Spread {
        by_ring: vec![0.0, 2.0, 0.0, 0.0, 0.0],
        ..spread
    };
    let found = empty.dominant(&channel);
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].theta_deg, found[0].variance_share_percent),
        (45.0, 100.0)
    );
}
