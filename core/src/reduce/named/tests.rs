#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::{Detector, NoiseOnly, Signal};
use crate::fill::Fill;
use crate::model::{Mark, Polarisation, Quantity, Reading, Readings, Value};
use crate::reduce::{NoiseOptions, reduce_readings};
use crate::rule::{Edges, EdgesChoice, Rule, RuleChoice};
use crate::{Group, Limits};

/// Per name: a value that is taken, and values that are not.
const VALUES: &[(&str, &str, &[&str])] = &[
    ("rule", "sine", &["", "simpson", "Sine", "1"]),
    ("edges", "exact", &["", "round", "2"]),
    ("fill", "cuts", &["", "spline"]),
    (
        "max-missing",
        "25",
        &["", "-1", "100.1", "all", "nan", "inf"],
    ),
    ("snap-deg", "0.5", &["", "0", "-1", "11", "nan", "one"]),
    (
        "conducted-power-dbm",
        "-3",
        &["", "301", "-301", "nan", "3 dBm"],
    ),
    ("accepted-power-dbm", "10", &["", "301", "-301", "inf", "x"]),
    (
        "device-size-mm",
        "80",
        &["", "0", "-5", "1e6", "nan", "8 cm"],
    ),
    ("eis-max-dbm", "-80", &["", "-400", "400", "nan", "inf"]),
    (
        "figures",
        "trp,nhprp_30",
        &["", "trp,", "power", "trp,power"],
    ),
    (
        "range",
        "theta=41,phi=42.5",
        &[
            "",
            "41",
            "theta=41",
            "theta=-1,phi=2",
            "theta=x,phi=2",
            "loss.csv",
        ],
    ),
    (
        "floor",
        "theta=-90,phi=-91",
        &[
            "",
            "loud",
            "theta=-90",
            "-401",
            "1e9",
            "nan",
            "theta=a,phi=b",
            "silent.csv",
        ],
    ),
    ("detector", "log", &["", "peak"]),
    ("signal", "noise-like", &["", "fm"]),
    ("averages", "400", &["", "0", "0.5", "2e12", "nan", "many"]),
    ("floor-averages", "1000", &["", "0", "-1", "inf", "many"]),
    ("noise-clear", "0.2", &["", "0", "-1", "101", "nan", "x"]),
    ("noise-limit", "2", &["", "0", "101", "nan", "x"]),
    ("target-uncertainty", "0.5", &["", "0", "101", "nan", "x"]),
    ("sweep-minutes", "30", &["", "0", "1e7", "nan", "x"]),
];

/// All but the EIS, which is not of powers.
fn of_powers()
-> impl DoubleEndedIterator<Item = &'static (&'static str, &'static str, &'static [&'static str])> {
    VALUES.iter().filter(|v| v.0 != "eis-max-dbm")
}

#[test]
fn every_name_has_values_here() {
    let known: Vec<&str> = OPTION_NAMES.iter().map(|o| o.name).collect();
    let tried: Vec<&str> = VALUES.iter().map(|v| v.0).collect();
    assert_eq!(known, tried);
    for option in OPTION_NAMES {
        assert!(!option.takes.is_empty() && option.what.ends_with('.'));
    }
}

#[test]
fn good_values_reach_their_options_in_any_order() {
    let (mut forwards, mut backwards) = (NamedOptions::new(), NamedOptions::new());
    for (name, good, _) in VALUES {
        let before = forwards.clone();
        forwards.set(name, good).unwrap();
        assert_ne!(forwards, before, "{name}");
    }
    for (name, good, _) in VALUES.iter().rev() {
        backwards.set(name, good).unwrap();
    }
    let floor = FloorParts {
        source: Some(FloorSource::Levels {
            theta_dbm: -90.0,
            phi_dbm: -91.0,
            averages: Some(1000.0),
        }),
        detector: Some(Detector::Log),
        signal: Some(Signal::NoiseLike),
        averages: Some(400.0),
        floor_averages: None,
    };
    let want = ReduceOptions {
        rule: RuleChoice::Fixed(Rule::Sine),
        edges: EdgesChoice::Fixed(Edges::Exact),
        fill: Fill::Cuts,
        max_missing_percent: 25.0,
        snap_deg: 0.5,
        conducted_power_dbm: Some(-3.0),
        accepted_power_dbm: Some(10.0),
        device_size_mm: Some(80.0),
        eis_max_dbm: Some(-80.0),
        figures: Some(vec!["trp".to_string(), "nhprp_30".to_string()]),
        range: Some(RangeLoss::constant(41.0, 42.5).unwrap()),
        floor: floor.build().unwrap(),
        noise: NoiseOptions {
            clear_db: 0.2,
            limit_db: 2.0,
            target_db: 0.5,
            sweep_min: Some(30.0),
        },
    };
    assert_eq!(forwards.build().unwrap(), want);
    assert_eq!(backwards.build().unwrap(), want);
}

#[test]
fn bad_values_are_refused_with_what_to_do_and_change_nothing() {
    for (name, good, bad) in VALUES {
        let mut named = NamedOptions::new();
        named.set(name, good).unwrap();
        let before = named.clone();
        for value in *bad {
            let error = named.set(name, value).map_err(|e| e.group());
            assert_eq!(error, Err(Group::Usage), "{name} {value:?}");
            assert_eq!(named, before, "{name} {value:?}");
        }
    }
    let mut named = NamedOptions::new();
    let error = named.set("max-missing", "many").unwrap_err();
    assert_eq!(error.message(), "\"many\" is no number");
    assert_eq!(
        error.advice(),
        Some("--max-missing takes per cent, 0 to 100")
    );
}

#[test]
fn unknown_names_hear_the_nearest() {
    let mut named = NamedOptions::new();
    for (name, near) in [
        ("ruel", "did you mean rule? "),
        ("--rule", "did you mean rule? "),
        ("noise_limit", "did you mean noise-limit? "),
        ("colour", "options: rule, edges, "),
    ] {
        let error = named.set(name, "1").unwrap_err();
        assert_eq!(error.group(), Group::Usage);
        assert!(error.advice().unwrap().starts_with(near), "{name}");
    }
}

#[test]
fn what_depends_on_a_floor_needs_one() {
    for (name, good, _) in VALUES {
        let alone = [
            "detector",
            "signal",
            "averages",
            "floor-averages",
            "noise-clear",
            "noise-limit",
            "target-uncertainty",
            "sweep-minutes",
        ]
        .contains(name);
        let mut named = NamedOptions::new();
        named.set(name, good).unwrap();
        match named.build() {
            Ok(_) => assert!(!alone && *name != "floor", "{name}"),
            Err(error) if alone => {
                let advice = format!("give --floor, or leave out --{name}");
                assert_eq!(error.advice(), Some(advice.as_str()));
            }
            Err(error) => {
                assert_eq!(*name, "floor");
                assert!(error.advice().unwrap().contains("--detector"));
            }
        }
        named.set("floor", "estimated").unwrap();
        named.set("detector", "rms").unwrap();
        let refused = named.build().map_err(|e| e.message().to_string()).err();
        let of_levels = "--floor-averages is for a floor that is given as levels";
        let want = (*name == "floor-averages").then(|| of_levels.to_string());
        assert_eq!(refused, want, "{name}");
    }
    let mut named = NamedOptions::new();
    named.set("rule", "clenshaw-curtis").unwrap();
    named.set("edges", "half").unwrap();
    assert!(named.build().is_err());
}

/// A 30° grid at 1 µW EIRP, or what else is given, in both polarisations.
fn readings(quantity: Quantity) -> Readings {
    let limits = Limits::default();
    let mut readings = Readings::new("t", quantity, &limits);
    let frequency = readings.frequency_index(None, &limits).unwrap();
    for (i, j) in (0..=6).flat_map(|i| (0..12).map(move |j| (i, j))) {
        for polarisation in [Polarisation::Theta, Polarisation::Phi] {
            let reading = Reading {
                frequency,
                theta_deg: 30.0 * f64::from(i),
                phi_deg: 30.0 * f64::from(j),
                polarisation,
                value: Value::Power(1e-6),
                mark: Mark::Exact,
                line: 0,
            };
            readings.push(reading).unwrap();
        }
    }
    readings
}

#[test]
fn the_history_gives_the_options_back() {
    let mut named = NamedOptions::new();
    for (name, good, _) in of_powers() {
        named.set(name, good).unwrap();
    }
    let options = named.build().unwrap();
    let readings = [readings(Quantity::ReceivedPower)];
    let reduction = reduce_readings(&readings, &options, &Limits::default()).unwrap();
    let mut again = NamedOptions::new();
    let mut names: Vec<&str> = Vec::new();
    for (name, value) in reduction.history.iter().flat_map(|step| &step.options) {
        again.set(name, value).unwrap();
        names.push(name);
    }
    names.sort_unstable();
    let mut all: Vec<&str> = of_powers().map(|v| v.0).collect();
    all.sort_unstable();
    assert_eq!(names, all);
    assert_eq!(again.build().unwrap(), options);
}

#[test]
fn what_was_read_from_files_is_handed_over() {
    let noise = NoiseOnly::of(&readings(Quantity::Eirp)).unwrap();
    let loss = RangeLoss::constant(1.0, 2.0).unwrap();
    let mut named = NamedOptions::new();
    named.set("floor", "-90").unwrap();
    named.set("detector", "rms").unwrap();
    named.set_floor(FloorSource::Readings(Box::new(noise)));
    named.set_range(loss.clone());
    let options = named.build().unwrap();
    assert_eq!(options.range, Some(loss));
    let floor = options.floor.unwrap();
    assert!(matches!(floor.source, FloorSource::Readings(_)));
    assert_eq!((floor.detector, floor.signal), (Detector::Rms, Signal::Cw));
    named.set("floor-averages", "5").unwrap();
    assert!(named.build().is_err());
}
