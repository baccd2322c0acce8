//! Layouts: TOML texts that describe a text format, so that no code is needed.
//!
//! ```
//! use spheresum_adapter_layout::{Layout, LayoutAdapter};
//! use spheresum_core::intake::{Adapter, ReadOptions, Source};
//! use spheresum_core::Limits;
//!
//! let layout = Layout::parse("gauge.toml", r#"
//! id = "gauge-export"
//! name = "export of the river gauge's range"
//! kind = "table"
//! [text]
//! separator = "semicolon"
//! [[column]]
//! heading = "Elev"
//! is = "elevation_deg"
//! [[column]]
//! heading = "Turn"
//! is = "phi_deg"
//! [[column]]
//! heading = "Pwr V"
//! is = "eirp_theta_dbm"
//! "#)?;
//! let adapter = LayoutAdapter::new(layout);
//! let limits = Limits::default();
//! let source = Source::from_text("a.txt", "Elev;Turn;Pwr V\n60;45;-3.5\n", &limits)?;
//! let intake = adapter.read(&source, &limits, &ReadOptions::default())?;
//! let first = intake.readings.and_then(|r| r.get(0));
//! assert_eq!(first.map(|r| (r.theta_deg, r.phi_deg)), Some((30.0, 45.0)));
//! # Ok::<(), spheresum_core::Error>(())
//! ```
#![doc = include_str!("../README.md")]

mod adapter;
mod layout;
mod parse;
mod propose;
mod read;
mod recognise;
mod said;
mod title;

pub use adapter::LayoutAdapter;
pub use layout::Layout;
pub use propose::propose;
