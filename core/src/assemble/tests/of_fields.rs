//! Complex fields.

use super::*;

fn field(made: &mut Made, at: (f64, f64), theta: (f64, f64), phi: (f64, f64)) {
    for (p, e) in [(Theta, theta), (Phi, phi)] {
        made.push(at, p, Value::Field(Complex64::new(e.0, e.1)), Mark::Exact);
    }
}

fn inner() -> Made {
    let mut made = Made::new("field", Quantity::Field(FieldScale::Relative));
    for f in [1, 0] {
        push_inner(&mut made, f, |m, f, ring, j| {
            let at = (45.0 * ring as f64, 90.0 * j as f64);
            field(
                m,
                at,
                (value(f, 0, ring, j), 1.0),
                (value(f, 1, ring, j), -2.0),
            );
        });
    }
    made
}

fn fields(found: &Assembled) -> &ndarray::Array3<Complex64> {
    match found.sphere.data() {
        crate::model::Data::Field(values) => values,
        crate::model::Data::Power(_) => panic!("powers"),
    }
}

#[test]
fn vectors_are_averaged_and_change_sign_behind_a_pole() {
    let mut made = inner();
    made.frequency = Frequency::from_hz(2.0 * GHZ);
    // Ring 1, φ = 270° from behind the pole, where both components have the other sign: −(1014 + i), so that the mean is
    // (1014 + i + 4 − 3i)/2 = 509 − i.
    let behind = Value::Field(Complex64::new(-4.0, 3.0));
    made.push((-45.0, 90.0), Theta, behind, Mark::Exact);
    made.push(
        (135.0, 180.0),
        Phi,
        Value::Field(Complex64::new(0.0, 0.0)),
        Mark::Exact,
    );
    let found = assembled(&[made.readings]);
    let values = fields(&found);
    assert_eq!(values[(1, 0, 7)], Complex64::new(509.0, -1.0));
    assert_eq!(values[(1, 1, 14)], Complex64::new(1133.0 / 2.0, -1.0));
    assert_eq!(values[(0, 1, 14)], Complex64::new(133.0, -2.0));
    assert_eq!(found.sphere.states()[(0, 1, 14)], State::Measured);
    assert_eq!(found.sphere.states()[(0, 1, 2)], State::Missing);
    let told = coded(&found.findings, "repeats").unwrap();
    assert_eq!(
        told.message,
        "2 samples were read more than once and averaged as vectors"
    );
    assert!(coded(&assembled(&[inner().readings]).findings, "repeats").is_none());
}

/// Components of x̂ + 2i·ŷ at a pole: θ̂ = (± cos φ, ± sin φ), φ̂ = (−sin φ, cos φ), the upper sign at θ = 0.
fn components(j: usize, south: bool) -> (Complex64, Complex64) {
    let (c, s) = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)][j];
    let theta = Complex64::new(c, 2.0 * s);
    let theta = if south { -theta } else { theta };
    (theta, Complex64::new(-s, 2.0 * c))
}

#[test]
fn one_vector_is_turned_to_every_column() {
    for (theta_deg, south) in [(0.0, false), (180.0, true)] {
        for from in 0..4 {
            let mut made = inner();
            made.frequency = Frequency::from_hz(2.0 * GHZ);
            let (t, p) = components(from, south);
            let at = (theta_deg, 90.0 * from as f64);
            field(&mut made, at, (t.re, t.im), (p.re, p.im));
            let found = assembled(&[made.readings]);
            assert!(coded(&found.findings, "pole-spread").is_none());
            for j in 0..4 {
                let at = if south { 16 + j } else { j };
                let (t, p) = components(j, south);
                let values = fields(&found);
                assert!(
                    (values[(1, 0, at)] - t).norm() < 1e-15,
                    "{south} {from} {j}"
                );
                assert!(
                    (values[(1, 1, at)] - p).norm() < 1e-15,
                    "{south} {from} {j}"
                );
                for part in 0..2 {
                    assert_eq!(found.sphere.states()[(1, part, at)], State::Measured);
                    assert_eq!(found.sphere.states()[(0, part, at)], State::Missing);
                }
            }
        }
    }
}

#[test]
fn vectors_that_differ_at_a_pole_are_told() {
    let of = |second: f64| {
        let mut made = inner();
        // x̂ at φ = 0°, from two readings, and `second`·x̂ at φ = 90°, where it is −φ̂.
        field(&mut made, (0.0, 0.0), (0.6, 0.2), (0.0, 0.5));
        field(&mut made, (0.0, 90.0), (0.0, 0.0), (-second, 0.0));
        field(&mut made, (0.0, 0.0), (1.4, -0.2), (0.0, -0.5));
        assembled(&[made.readings])
    };
    // 1 and 1.2: 0.1 off 1.1.
    let found = of(1.2);
    let told = coded(&found.findings, "pole-spread").unwrap();
    assert!(told.message.contains("by 9.1 % of it"), "{}", told.message);
    assert!((fields(&found)[(0, 0, 0)] - 1.1).norm() < 1e-15);
    assert!((fields(&found)[(0, 0, 2)] + 1.1).norm() < 1e-15);
    // 1 and 1.1: 4.8 %; 1 and 1.11: 5.2 %.
    assert!(coded(&of(1.1).findings, "pole-spread").is_none());
    assert!(coded(&of(1.11).findings, "pole-spread").is_some());
    assert!(coded(&of(1.0).findings, "pole-spread").is_none());
    // x̂ + ŷ/4 at φ = 0°, x̂ − ŷ/4 at φ = 180°, where the unit vectors are −x̂ and −ŷ: a quarter off x̂ each, in the other component.
    let mut made = inner();
    field(&mut made, (0.0, 0.0), (1.0, 0.0), (0.25, 0.0));
    field(&mut made, (0.0, 180.0), (-1.0, 0.0), (0.25, 0.0));
    let told = assembled(&[made.readings]);
    let told = coded(&told.findings, "pole-spread").unwrap();
    assert!(told.message.contains("by 25.0 % of it"), "{}", told.message);
}

#[test]
fn a_component_alone_cannot_be_turned() {
    let mut made = inner();
    let one = Value::Field(Complex64::new(1.0, 0.0));
    made.push((0.0, 0.0), Theta, one, Mark::Exact);
    made.push((0.0, 90.0), Phi, one, Mark::Exact);
    let error = assemble(&[made.readings], 0.1, &Limits::default()).unwrap_err();
    assert_eq!(
        error.message(),
        "at a pole the two components of the field must be read at the same φ"
    );
    // Nothing at all at a pole, and no field, is no spread.
    let mut made = inner();
    field(&mut made, (0.0, 0.0), (0.0, 0.0), (0.0, 0.0));
    assert!(coded(&assembled(&[made.readings]).findings, "pole-spread").is_none());
}
