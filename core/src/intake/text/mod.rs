#![doc = include_str!("README.md")]

pub mod cell;
pub mod choices;
pub mod clip;
pub mod entries;
pub mod explain;
pub mod field;
pub mod gather;
mod guess;
pub mod judge;
pub mod meaning;
pub mod number;
mod outputs;
pub mod plan;
mod resolve;
pub mod row;
pub mod settle;
pub mod table;
pub mod tokens;
pub mod unit;
mod values;
pub mod word;

pub use cell::Cell;
pub use choices::Choices;
pub use clip::Clip;
pub use entries::{Entries, Entry, Key};
pub use gather::Gather;
pub use judge::judge;
pub use meaning::{Meaning, UnitText, ValueName, classify};
pub use plan::{Plan, Role};
pub use row::{Context, Row};
pub use settle::plan;
pub use table::{Field, Heading, Spot, Table};
pub use unit::Unit;
pub use word::{Guess, Part, What};
