//! Bodies of the fuzz targets. Each takes any bytes and must not panic; what it reads has to hold what the model promises.
//!
//! To fuzz (stable Rust, `cargo install cargo-fuzz`), from the repository's root:
//!
//! ```text
//! mkdir -p fuzz/corpus/read_delimited
//! cargo fuzz run --fuzz-dir fuzz --features libfuzzer -s none read_delimited fuzz/corpus/read_delimited \
//!     fuzz/seeds/read_delimited -- -max_total_time=60 -dict=fuzz/dict/delimited.dict -max_len=4096
//! ```
//!
//! A crash goes, cut down by `cargo fuzz tmin`, into `regressions/` under a name that says what it was.

#[allow(unsafe_code, reason = "a C boundary cannot do without")]
mod capi_calls;
mod layout;

use spheresum_core::correct::RangeLoss;
use spheresum_core::intake::{
    Adapter, Encoding, Feed, Head, Intake, ReadOptions, Registry, Source,
};
use spheresum_core::reduce::{ReduceOptions, reduce_readings};
use spheresum_core::{Complex64, Curve, Error, Limits, Mark, Polarisation, Readings, Value};
use std::sync::OnceLock;

/// Body of a target.
pub type Body = fn(&[u8]);

/// Names of the targets, with their bodies.
pub const TARGETS: &[(&str, Body)] = &[
    ("read_delimited", |data| read_in_pieces("delimited", data)),
    ("read_matrix", |data| read("matrix", data)),
    ("read_cuts", |data| read("cuts", data)),
    ("read_columns", |data| read_in_pieces("columns", data)),
    ("read_keyed", |data| read("keyed", data)),
    ("read_json", |data| read("json", data)),
    ("read_touchstone", read_touchstone),
    ("reduce_delimited", reduce_delimited),
    ("detect", detect),
    ("layout", layout::layout),
    ("capi_calls", capi_calls::capi_calls),
];

/// All adapters, made once.
fn registry() -> &'static Registry {
    static REGISTRY: OnceLock<Registry> = OnceLock::new();
    REGISTRY.get_or_init(spheresum_adapters::registry)
}

/// Runs the body of a target.
///
/// # Panics
/// No target has the name; or the body found something.
#[expect(clippy::panic, reason = "a fuzz target that is misspelt must not pass")]
pub fn run(target: &str, data: &[u8]) {
    match TARGETS.iter().find(|(name, _)| *name == target) {
        Some((_, body)) => body(data),
        None => panic!("no target is called {target}"),
    }
}

/// Reads bytes with the adapter that fits best, if one does.
pub fn detect(data: &[u8]) {
    let limits = Limits::small();
    let Ok(source) = Source::from_bytes("fuzz", data.to_vec(), &limits) else {
        return;
    };
    let registry = registry();
    let candidates = registry.identify(&source);
    assert!(
        candidates
            .windows(2)
            .all(|w| w[0].look.confidence >= w[1].look.confidence)
    );
    match registry.read(&source, None, &limits, &ReadOptions::default()) {
        Ok((id, intake)) => {
            assert_eq!(candidates.first().map(|c| &c.id), Some(&id));
            check_intake(&intake, &limits);
        }
        Err(error) => check_error(&error),
    }
}

/// Reads bytes with the adapter for delimited text, and reduces what it gives: the whole line.
pub fn reduce_delimited(data: &[u8]) {
    let limits = Limits::small();
    let Ok(source) = Source::from_bytes("fuzz", data.to_vec(), &limits) else {
        return;
    };
    let registry = registry();
    let read = registry.read(&source, Some("delimited"), &limits, &ReadOptions::default());
    let Ok((_, intake)) = read else {
        return;
    };
    let Some(readings) = intake.readings else {
        return;
    };
    let mut options = ReduceOptions::default();
    if readings.quantity().needs_range_loss() {
        options.range = RangeLoss::constant(40.0, 41.5).ok();
    }
    match reduce_readings(&[readings], &options, &limits) {
        Ok(reduction) => {
            for figure in reduction.channels.iter().flat_map(|c| &c.figures) {
                let inside = |v: f64| {
                    figure.lower.is_none_or(|l| l <= v) && figure.upper.is_none_or(|u| u >= v)
                };
                assert!(
                    figure.value.is_none_or(|v| v.is_finite() && inside(v)),
                    "{figure:?}"
                );
            }
        }
        Err(error) => assert!(!error.message().is_empty()),
    }
}

/// Looks at bytes and reads them with the adapter of an id.
///
/// # Panics
/// No adapter has the id; or the contract is broken.
#[expect(clippy::panic, reason = "a fuzz target that is misspelt must not pass")]
pub fn read(id: &str, data: &[u8]) {
    let registry = registry();
    match registry.iter().find(|a| a.describe().id == id) {
        Some(adapter) => read_with(adapter, "fuzz", data),
        None => panic!("no adapter is called {id}"),
    }
}

/// Looks at bytes and reads them with an adapter: it must not panic, and must hold what the contract promises.
pub fn read_with(adapter: &dyn Adapter, name: &str, data: &[u8]) {
    let limits = Limits::small();
    let Ok(source) = Source::from_bytes(name, data.to_vec(), &limits) else {
        return;
    };
    let look = adapter.look(&Head::of(&source));
    assert!(!look.reason.is_empty(), "a look without a reason");
    match adapter.read(&source, &limits, &ReadOptions::default()) {
        Ok(intake) => check_intake(&intake, &limits),
        Err(error) => check_error(&error),
    }
}

/// Reads bytes whole, and once more with few of them held at a time: it must come to the same.
pub fn read_in_pieces(id: &str, data: &[u8]) {
    read(id, data);
    let (limits, options) = (Limits::small(), ReadOptions::default());
    let Ok(source) = Source::from_bytes("fuzz", data.to_vec(), &limits) else {
        return;
    };
    let size = data.first().map_or(2, |byte| 2 + usize::from(*byte));
    let opened = Feed::open_by("fuzz", None, || Ok(data), &limits, size);
    assert!(opened.is_ok(), "not opened in pieces of {size}");
    let Ok(mut feed) = opened else { return };
    // Of Latin-1 text the first pieces may be ASCII, and refused before it is known.
    if feed.is_whole() || source.encoding() != Encoding::Utf8 {
        return;
    }
    let whole = registry().read(&source, Some(id), &limits, &options);
    let pieces = registry().read_feed(&mut feed, Some(id), &limits, &options);
    let told = format!("{pieces:?}");
    assert_eq!(told, format!("{whole:?}"), "in pieces of {size}");
}

/// Reads bytes as a Touchstone file: as it is, and as the losses of a range path.
pub fn read_touchstone(data: &[u8]) {
    read("touchstone", data);
    let limits = Limits::small();
    let Ok(source) = Source::from_bytes("fuzz", data.to_vec(), &limits) else {
        return;
    };
    let options = ReadOptions::default().with_named("theta", "S21");
    let registry = registry();
    match registry.read(&source, Some("touchstone"), &limits, &options) {
        Ok((_, intake)) => check_intake(&intake, &limits),
        // That a transfer is not there has no place in the file.
        Err(error) => assert!(!error.message().is_empty()),
    }
}

fn check_intake(intake: &Intake, limits: &Limits) {
    if let Some(readings) = &intake.readings {
        check_readings(readings, limits);
    }
    if let Some(curve) = &intake.curve {
        check_curve(curve, limits);
    }
    assert!(
        intake.readings.is_some() != intake.curve.is_some(),
        "readings or a curve"
    );
}

fn check_error(error: &Error) {
    assert!(!error.message().is_empty());
    let place = error.place().cloned().unwrap_or_default();
    assert!(place.line.is_some_and(|l| l >= 1), "{error}: no line");
    assert!(place.column.is_some_and(|c| c >= 1), "{error}: no column");
    if let Some(excerpt) = &place.excerpt {
        let part = excerpt.text.get(excerpt.start..excerpt.end);
        assert!(part.is_some(), "{error}: the caret is outside of its line");
    }
}

fn check_readings(readings: &Readings, limits: &Limits) {
    assert!(!readings.is_empty() && readings.len() <= limits.max_readings);
    assert!(readings.frequencies().len() <= limits.max_frequencies);
    let quantity = readings.quantity();
    for reading in readings.iter() {
        assert!(reading.frequency < readings.frequencies().len());
        assert!((-180.0..=360.0).contains(&reading.theta_deg));
        assert!((-360.0..=720.0).contains(&reading.phi_deg));
        assert!(reading.line >= 1 && reading.line < u32::MAX);
        match reading.value {
            Value::Power(p) => {
                let lost_link = quantity.is_sensitivity()
                    && reading.mark == Mark::AtLeast
                    && p == f64::INFINITY;
                assert!(!quantity.is_complex() && p >= 0.0 && (p.is_finite() || lost_link));
                assert!(p > 0.0 || !quantity.is_sensitivity());
            }
            Value::Field(e) => {
                assert!(quantity.is_complex() && e.re.is_finite() && e.im.is_finite())
            }
        }
    }
}

fn check_curve(curve: &Curve, limits: &Limits) {
    let mut count = 0;
    for polarisation in [Polarisation::Theta, Polarisation::Phi] {
        let points = curve.points(polarisation);
        count += points.len();
        assert!(points.iter().all(|(_, value)| value.is_finite()));
        assert!(
            points.windows(2).all(|w| w[0].0 < w[1].0),
            "frequencies ascend"
        );
    }
    if let Some(ports) = curve.ports() {
        assert!((1..=4).contains(&ports.ports()));
        assert!(ports.frequencies().len() <= limits.max_frequencies);
        assert!(ports.values().len() <= limits.max_readings);
        assert!(ports.frequencies().is_sorted_by(|a, b| a < b));
        let finite = |v: &Complex64| v.re.is_finite() && v.im.is_finite();
        assert!(ports.values().iter().all(finite));
        count += ports.values().len();
    }
    assert!(count > 0, "a curve without points");
}
