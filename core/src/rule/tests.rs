//! Choices of rule and window form, and weights in closed form.

#![allow(clippy::unwrap_used)]

use super::*;

const N6: &[(f64, f64, bool)] = &[
    // Edges at 60° and 120° lie on rings of 30°, those at 45° and 135° do not, and one of two is not enough.
    (60.0, 120.0, true),
    (45.0, 135.0, false),
    (60.0, 135.0, false),
    (45.0, 120.0, false),
    (0.0, 180.0, true),
    (60.0 + 1e-7, 120.0, false),
];

#[test]
fn words_and_choices() {
    for (word, choice) in [
        ("auto", RuleChoice::Auto),
        ("sine", RuleChoice::Fixed(Rule::Sine)),
        ("clenshaw-curtis", RuleChoice::Fixed(Rule::ClenshawCurtis)),
    ] {
        assert_eq!(word.parse::<RuleChoice>().unwrap(), choice);
        assert_eq!(choice.to_string(), word);
    }
    for (word, choice) in [
        ("auto", EdgesChoice::Auto),
        ("half", EdgesChoice::Fixed(Edges::Half)),
        ("exact", EdgesChoice::Fixed(Edges::Exact)),
    ] {
        assert_eq!(word.parse::<EdgesChoice>().unwrap(), choice);
        assert_eq!(choice.to_string(), word);
    }
    let error = "cosine".parse::<RuleChoice>().unwrap_err();
    assert_eq!(error.message(), "there is no rule \"cosine\"");
    let error = "soft".parse::<EdgesChoice>().unwrap_err();
    assert_eq!(error.message(), "there is no window form \"soft\"");
    assert_eq!(Edges::Half.family(), Rule::Sine);
    assert_eq!(Edges::Exact.family(), Rule::ClenshawCurtis);
    assert_eq!(Window::near_horizon(22.5).to_string(), "θ 67.5…112.5°");
    assert_eq!(Rule::Sine.to_string(), "sine");
}

#[test]
fn auto_is_sine_at_15_and_30_degrees_and_without_poles() {
    let auto = |n, poles| Rule::auto(&EqualAngleGrid::try_new(n, 8, 0.0).unwrap(), poles);
    for n in [6, 12] {
        assert_eq!(auto(n, true), Rule::Sine);
    }
    for n in [5, 7, 11, 13, 36] {
        assert_eq!(auto(n, true), Rule::ClenshawCurtis);
        assert_eq!(auto(n, false), Rule::Sine);
    }
}

#[test]
fn window_forms_follow_rule_and_rings() {
    let (half, exact) = (Edges::Half, Edges::Exact);
    for (from_deg, to_deg, on_rings) in N6 {
        let window = Window {
            from_deg: *from_deg,
            to_deg: *to_deg,
        };
        assert_eq!(window.edges_on_rings(6), *on_rings, "{window}");
        let choose = |choice, rule| choose_edges(choice, rule, window, 6);
        let auto = choose(EdgesChoice::Auto, Rule::Sine).unwrap();
        assert_eq!(auto, if *on_rings { half } else { exact });
        let auto = choose(EdgesChoice::Auto, Rule::ClenshawCurtis).unwrap();
        assert_eq!(auto, exact);
        for rule in Rule::ALL {
            assert_eq!(choose(EdgesChoice::Fixed(exact), rule).unwrap(), exact);
        }
        let fixed = EdgesChoice::Fixed(half);
        let error = choose(fixed, Rule::ClenshawCurtis).unwrap_err();
        assert_eq!(error.message(), half_with_clenshaw_curtis().message());
        assert_eq!(
            error.message(),
            "half-weighted edges belong to the sine rule, not to Clenshaw–Curtis"
        );
        match choose(fixed, Rule::Sine) {
            Ok(edges) => assert!(*on_rings && edges == half),
            Err(error) => {
                assert!(!on_rings);
                assert_eq!(
                    error.message(),
                    format!("the edges of the window {window} are not on rings of the 30° grid")
                );
            }
        }
    }
}

#[test]
fn half_weights_are_the_sine_rule_within_the_edges() {
    // (π/6)·sin 30°i = (π/6)·{0, ½, ½√3, 1, ½√3, ½, 0}; the ring of an edge counts half, but for a pole.
    let unit = std::f64::consts::PI / 6.0;
    let root = f64::sqrt(3.0) / 2.0;
    let of = |from_deg, to_deg| Window { from_deg, to_deg }.half_weights(6);
    for (got, want) in [
        (
            of(60.0, 120.0),
            [0.0, 0.0, root / 2.0, 1.0, root / 2.0, 0.0, 0.0],
        ),
        (of(0.0, 90.0), [0.0, 0.5, root, 0.5, 0.0, 0.0, 0.0]),
        (of(90.0, 180.0), [0.0, 0.0, 0.0, 0.5, root, 0.5, 0.0]),
        (of(30.0, 150.0), [0.0, 0.25, root, 1.0, root, 0.25, 0.0]),
        (of(0.0, 180.0), [0.0, 0.5, root, 1.0, root, 0.5, 0.0]),
    ] {
        for (g, w) in got.iter().zip(want) {
            assert!((g - unit * w).abs() < 1e-15, "{got:?}");
        }
        assert_eq!(got.len(), 7);
    }
}

#[test]
fn exact_windows_integrate_cosines_exactly() {
    // Ring means cos θ, 1 + cos 2θ and cos 3θ: ∫ cos θ sin θ = [½ sin² θ], ∫ 2 cos² θ sin θ = [−⅔ cos³ θ] and, with
    // cos 3θ = 4 cos³ θ − 3 cos θ, [−cos⁴ θ + (3/2) cos² θ]; closed forms.
    let window = Window {
        from_deg: 25.0,
        to_deg: 100.0,
    };
    let cos = |deg: f64| libm::cos(deg.to_radians());
    let over = |f: &dyn Fn(f64) -> f64| f(cos(100.0)) - f(cos(25.0));
    for n in [4, 5, 6, 7] {
        let weights = window.exact_weights(n);
        let sum = |mean: &dyn Fn(f64) -> f64| -> f64 {
            let rings = weights.iter().enumerate();
            rings
                .map(|(i, w)| w * mean(180.0 * i as f64 / n as f64))
                .sum()
        };
        let got = [
            sum(&cos),
            sum(&|t| 1.0 + cos(2.0 * t)),
            sum(&|t| cos(3.0 * t)),
        ];
        let want = [
            over(&|c| -0.5 * c * c),
            over(&|c| -2.0 / 3.0 * c * c * c),
            over(&|c| -c * c * c * c + 1.5 * c * c),
        ];
        for (g, w) in got.iter().zip(want) {
            assert!((g - w).abs() < 1e-14, "{n}: {got:?} {want:?}");
        }
    }
}

#[test]
fn a_table_has_both_forms_where_the_edges_allow() {
    let on = Window::near_horizon(30.0);
    let off = Window::near_horizon(45.0);
    let table = WeightTable::new(6, &[on, off, on]);
    assert_eq!(table.intervals(), 6);
    for rule in Rule::ALL {
        assert_eq!(table.whole(rule), rule.weights(6));
    }
    assert_ne!(table.whole(Rule::Sine), table.whole(Rule::ClenshawCurtis));
    assert_eq!(table.window(on, Edges::Half), Some(&on.half_weights(6)[..]));
    assert_eq!(
        table.window(on, Edges::Exact),
        Some(&on.exact_weights(6)[..])
    );
    assert_eq!(table.window(off, Edges::Half), None);
    assert_eq!(
        table.window(off, Edges::Exact),
        Some(&off.exact_weights(6)[..])
    );
    assert_eq!(table.window(Window::WHOLE, Edges::Exact), None);
}
