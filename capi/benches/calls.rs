//! What calls through C cost over the same in Rust: arrays of a 15° sphere in two polarisations (624 samples) to all figures.
//!
//! `cargo bench -p spheresum-capi --features bench`. Quote the ratio of one run, never microseconds. It stands here and not with the
//! other benchmarks because calling C is unsafe, which is forbidden there.

#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use criterion::{Criterion, criterion_group, criterion_main};
use spheresum::*;
use spheresum_core::reduce::{ReduceOptions, reduce_readings};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Frequency, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value};
use std::hint::black_box;
use std::ptr::{null, null_mut};
use std::time::{Duration, Instant};

/// The caller's arrays.
struct Arrays {
    theta_deg: Vec<f64>,
    phi_deg: Vec<f64>,
    level_dbm: [Vec<f64>; 2],
}

fn arrays() -> Arrays {
    let mut all = Arrays {
        theta_deg: Vec::new(),
        phi_deg: Vec::new(),
        level_dbm: [Vec::new(), Vec::new()],
    };
    for theta in 0..=12_u32 {
        for phi in 0..24_u32 {
            all.theta_deg.push(15.0 * f64::from(theta));
            all.phi_deg.push(15.0 * f64::from(phi));
            // A pole is one direction: what is measured there does not change with φ.
            let around = if theta % 12 == 0 { 0.0 } else { f64::from(phi) };
            for (level_dbm, shift) in all.level_dbm.iter_mut().zip([0.0, 7.5]) {
                let x = f64::from(theta) * 1.95 + around * 0.465 + shift;
                level_dbm.push(-20.0 + 12.0 * libm::sin(x));
            }
        }
    }
    all
}

/// TRP in dBm, by way of all figures, in Rust.
fn in_rust(of: &Arrays) -> f64 {
    let limits = Limits::default();
    let mut readings = Readings::new("arrays", Quantity::Eirp, &limits);
    let frequency = Frequency::parse("868.3", FrequencyUnit::Mhz);
    let frequency = readings.frequency_index(frequency, &limits).unwrap();
    for (polarisation, level_dbm) in [Polarisation::Theta, Polarisation::Phi]
        .into_iter()
        .zip(&of.level_dbm)
    {
        readings.reserve(level_dbm.len());
        for (index, level_dbm) in level_dbm.iter().enumerate() {
            let reading = Reading {
                frequency,
                theta_deg: of.theta_deg[index],
                phi_deg: of.phi_deg[index],
                polarisation,
                value: Value::Power(w_from_dbm(*level_dbm)),
                mark: Mark::Exact,
                line: u32::try_from(index + 1).unwrap(),
            };
            readings.push(reading).unwrap();
        }
    }
    let reduction = reduce_readings(&[readings], &ReduceOptions::default(), &limits).unwrap();
    reduction.channels[0].figure("trp").unwrap().value.unwrap()
}

/// The same by calls of C.
fn in_c(of: &Arrays) -> f64 {
    let (mut readings, mut run, mut reduction) = (null_mut(), null_mut(), null_mut());
    let (mut figure, mut trp_dbm, mut error) = (null(), 0.0, null_mut());
    let mut status = 0;
    // SAFETY: arrays of the length given, outputs that live, texts that end in a zero byte, objects that are freed once.
    unsafe {
        status |= spheresum_readings_new(
            SPHERESUM_QUANTITY_EIRP,
            c"arrays".as_ptr(),
            &raw mut readings,
            &raw mut error,
        );
        let polarisations = [SPHERESUM_POLARISATION_THETA, SPHERESUM_POLARISATION_PHI];
        for (polarisation, level_dbm) in polarisations.into_iter().zip(&of.level_dbm) {
            status |= spheresum_readings_add(
                readings,
                polarisation,
                868.3e6,
                level_dbm.len(),
                of.theta_deg.as_ptr(),
                of.phi_deg.as_ptr(),
                level_dbm.as_ptr(),
                SPHERESUM_UNIT_DECIBEL,
                null(),
                null(),
                &raw mut error,
            );
        }
        status |= spheresum_run_new(c"arrays".as_ptr(), &raw mut run, &raw mut error);
        status |= spheresum_run_add_readings(run, readings, &raw mut error);
        status |= spheresum_reduce(run, null(), &raw mut reduction, &raw mut error);
        status |= spheresum_reduction_find(
            reduction,
            0,
            c"trp".as_ptr(),
            &raw mut figure,
            &raw mut error,
        );
        let known = spheresum_figure_number(figure, SPHERESUM_NUMBER_VALUE, &raw mut trp_dbm);
        assert_eq!((status, known), (0, 1));
        spheresum_reduction_free(reduction);
        spheresum_run_free(run);
        spheresum_readings_free(readings);
    }
    trp_dbm
}

/// Time of a call.
fn time(call: fn(&Arrays) -> f64, of: &Arrays) -> Duration {
    let start = Instant::now();
    black_box(call(black_box(of)));
    start.elapsed()
}

/// Takes turns, so that both meet the same machine; prints the difference of the medians.
fn in_turns(of: &Arrays) {
    const TURNS: usize = 4001;
    let (mut rust, mut c) = (Vec::new(), Vec::new());
    for turn in 0..TURNS {
        if turn % 2 == 0 {
            rust.push(time(in_rust, of));
            c.push(time(in_c, of));
        } else {
            c.push(time(in_c, of));
            rust.push(time(in_rust, of));
        }
    }
    rust.sort();
    c.sort();
    let median = |of: &[Duration]| of[TURNS / 2].as_secs_f64();
    let (rust, c) = (median(&rust), median(&c));
    println!(
        "in turns: C over Rust {:.4}, {:+.2} us of {:.1} us",
        c / rust,
        1e6 * (c - rust),
        1e6 * rust
    );
}

fn calls(c: &mut Criterion) {
    let of = arrays();
    assert_eq!(in_rust(&of).to_bits(), in_c(&of).to_bits());
    in_turns(&of);
    let mut group = c.benchmark_group("a 15 degree sphere, arrays to figures");
    group.bench_function("Rust", |b| b.iter(|| in_rust(black_box(&of))));
    group.bench_function("C", |b| b.iter(|| in_c(black_box(&of))));
    group.finish();
}

criterion_group!(benches, calls);
criterion_main!(benches);
