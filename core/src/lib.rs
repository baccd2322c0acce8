//! Reduction of over-the-air antenna chamber measurements: samples over the sphere in two polarisations become total
//! radiated power and its kin.
//!
//! ```text
//! bytes ──adapter──▶ Readings ──assemble──▶ Sphere ──correct──▶ Sphere ──fill──▶ Sphere ──reduce──▶ Reduction ──compare──▶ Comparison
//! ```
//!
//! Each step is a plain function of its input and its options, and appends to the history what it did. Folders stand in the order
//! in which the data flows; each uses only those before it.
//!
//! What each figure is, where it ends and what proves it: [`figure::pages`].

pub mod assemble;
pub mod compare;
pub mod correct;
#[cfg(feature = "json")]
pub mod document;
pub mod error;
pub mod figure;
pub mod fill;
pub mod finding;
pub mod harmonic;
pub mod history;
pub mod intake;
#[cfg(feature = "adapter-kit")]
pub mod kit;
pub mod limits;
pub mod model;
pub mod named;
pub mod place;
pub mod reduce;
pub mod rule;
pub mod running;
pub mod spelling;
pub mod survey;
pub mod table;
pub mod uncertainty;
pub mod unit;
pub mod validation;
pub mod watch;

pub use error::{Error, Group, Result};
pub use finding::{Finding, Severity};
pub use limits::Limits;
pub use model::*;
pub use place::{Excerpt, Place};
pub use unit::Frequency;
