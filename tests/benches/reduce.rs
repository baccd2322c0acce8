//! Parse and reduce: a 1° grid, two polarisations, twenty frequencies (2 606 400 samples).
//!
//! `cargo bench -p spheresum-tests --features bench`. Quote ratios to a peer of the same run, never milliseconds.

#![allow(clippy::unwrap_used, clippy::expect_used, missing_docs)]

use criterion::{BatchSize, Criterion, Throughput, criterion_group, criterion_main};
use spheresum_core::Limits;
use spheresum_core::intake::{ReadOptions, Source};
use spheresum_core::reduce::{ReduceOptions, prepare, reduce};
use spheresum_core::unit::level;
use std::fmt::Write as _;
use std::hint::black_box;

const FREQUENCIES: u32 = 20;

/// Rows `frequency,theta,phi,pol,level`, three decimals, deterministic.
fn long_table() -> String {
    let mut text = String::from("frequency_mhz,theta_deg,phi_deg,pol,eirp_dbm\n");
    for f in 0..FREQUENCIES {
        let mhz = 1710.0 + 14.75 * f64::from(f);
        for theta in 0..=180_u32 {
            for phi in 0..360_u32 {
                let x = f64::from(theta) * 0.13 + f64::from(phi) * 0.031 + f64::from(f);
                for (pol, shift) in [("theta", 0.0), ("phi", 7.5)] {
                    let dbm = -20.0 + 12.0 * libm::sin(x + shift);
                    writeln!(text, "{mhz:.2},{theta}.0,{phi}.0,{pol},{dbm:.3}").unwrap();
                }
            }
        }
    }
    text
}

fn parse(c: &mut Criterion) {
    let text = long_table();
    let limits = Limits::default();
    let source = Source::from_text("long.csv", &text, &limits).unwrap();
    let registry = spheresum_adapters::registry();
    let mut group = c.benchmark_group("parse");
    group
        .sample_size(10)
        .throughput(Throughput::Bytes(text.len() as u64));
    group.bench_function("delimited", |b| {
        b.iter(|| {
            registry
                .read(
                    black_box(&source),
                    Some("delimited"),
                    &limits,
                    &ReadOptions::default(),
                )
                .unwrap()
        });
    });
    // The peer: a general CSV crate with a fast number parser, told the row count, into plain columns.
    group.bench_function("peer: csv + fast-float2", |b| {
        b.iter(|| peer_columns(black_box(text.as_bytes())));
    });
    group.finish();
}

/// Columns as the peer fills them.
struct Columns {
    numbers: [Vec<f64>; 4],
    polarisation: Vec<u8>,
}

fn peer_columns(text: &[u8]) -> Columns {
    let rows = 181 * 360 * 2 * FREQUENCIES as usize;
    let mut columns = Columns {
        numbers: std::array::from_fn(|_| Vec::with_capacity(rows)),
        polarisation: Vec::with_capacity(rows),
    };
    let mut reader = csv::ReaderBuilder::new().from_reader(text);
    let mut record = csv::ByteRecord::new();
    while reader.read_byte_record(&mut record).unwrap() {
        for (column, field) in [0, 1, 2, 4].into_iter().enumerate() {
            columns.numbers[column].push(fast_float2::parse(&record[field]).unwrap());
        }
        columns.polarisation.push(record[3][0]);
    }
    columns
}

fn reduction(c: &mut Criterion) {
    let limits = Limits::default();
    let source = Source::from_text("long.csv", &long_table(), &limits).unwrap();
    let registry = spheresum_adapters::registry();
    let (_, intake) = registry
        .read(&source, Some("delimited"), &limits, &ReadOptions::default())
        .unwrap();
    let readings = [intake.readings.unwrap()];
    let options = ReduceOptions::default();
    let samples = readings[0].len() as u64;
    let mut group = c.benchmark_group("reduce");
    group
        .sample_size(10)
        .throughput(Throughput::Elements(samples));
    group.bench_function("assemble", |b| {
        b.iter(|| prepare(black_box(&readings), &options, &limits).unwrap());
    });
    let prepared = prepare(&readings, &options, &limits).unwrap();
    group.bench_function("all figures", |b| {
        b.iter_batched(
            || prepared.clone(),
            |p| reduce(p, &options).unwrap(),
            BatchSize::PerIteration,
        );
    });
    let levels: Vec<f64> = (0..samples)
        .map(|i| -60.0 + (i % 1000) as f64 * 0.05)
        .collect();
    group.bench_function("dBm to watts", |b| {
        b.iter_batched(
            || levels.clone(),
            |mut l: Vec<f64>| level::w_from_dbm_in_place(&mut l),
            BatchSize::PerIteration,
        );
    });
    // The peer: the same conversion and a weighted sum by the standard library's exponential.
    let scale = std::f64::consts::LN_10 / 10.0;
    group.bench_function("peer: exp and weighted sum", |b| {
        b.iter(|| {
            let mut total = 0.0;
            for (ring, row) in black_box(&levels).chunks_exact(360).enumerate() {
                let weight = ((ring % 181) as f64).to_radians().sin();
                total += weight * row.iter().map(|x| (x * scale).exp()).sum::<f64>();
            }
            total
        });
    });
    group.finish();
}

criterion_group!(benches, parse, reduction);
criterion_main!(benches);
