//! Computed spheres on many grids against closed forms: what the tables hold on a few steps must hold on all.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "spheres/channels.rs"]
mod channels;
#[path = "spheres/directions.rs"]
mod directions;
#[path = "spheres/exact.rs"]
mod exact;
#[path = "spheres/fields.rs"]
mod fields;
#[path = "spheres/findings.rs"]
mod findings;
#[path = "spheres/gaps.rs"]
mod gaps;
#[path = "spheres/marks.rs"]
mod marks;
#[path = "spheres/missing.rs"]
mod missing;
#[path = "spheres/poles.rs"]
mod poles;
#[path = "spheres/range.rs"]
mod range;
#[path = "spheres/repeats.rs"]
mod repeats;
#[path = "spheres/sources.rs"]
mod sources;
#[path = "spheres/tools.rs"]
mod tools;
