//! Reference tables: cases with what must come out, each with its unit, tolerance and source.
//!
//! A table is data, apart from any programming interface: the same rows run through this library ([`run_rust`]), through the C
//! interface and through the command. The format is described in `core/tables/README.md`; [`parse`] is strict, so that a row that
//! tests nothing cannot hide in a table.
//!
//! ```
//! use spheresum_core::table;
//!
//! for (name, text) in table::builtin() {
//!     for case in table::parse(name, text)?.cases {
//!         let outcome = table::run_rust(&case);
//!         for row in &case.rows {
//!             let judgement = table::judge(row, &outcome);
//!             assert!(judgement.passed, "{name}:{} {}: {}", row.line, case.name, judgement.message);
//!         }
//!     }
//! }
//! # Ok::<(), spheresum_core::Error>(())
//! ```

mod builtin;
mod case;
mod files;
mod judge;
mod line;
mod measure;
pub mod pattern;
mod read;
mod run;
mod sample;
mod skeleton;
mod source;
mod spheres;

pub use builtin::builtin;
pub use case::{Asked, Case, Check, Input, Row, Table, Tolerance};
pub use files::{Files, options_line, typed_options};
pub use judge::{Answer, Deviation, Judgement, Outcome, judge, state_of, state_word};
pub use measure::{Amount, Kind, Symbol};
pub use read::parse;
pub use run::{ReduceFiles, answers_of, run_rust, run_with};
pub use sample::{Level, SampledPattern};
pub use skeleton::{Skeleton, SkeletonCase};
pub use source::{Source, SourceKind};
pub use spheres::{EmbeddedSphere, SPHERES};
