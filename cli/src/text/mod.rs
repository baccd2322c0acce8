//! Results as text for people.

mod compared;
mod comparison;
mod differences;
mod figure;
mod findings;
mod formats;
pub mod look;
mod noise;
mod number;
mod panels;
mod ports;
mod reduction;
mod style;
mod table;
mod typed;
pub mod validation;
mod wrap;

pub use comparison::comparison;
pub use figure::refusal_line;
pub use formats::formats;
pub use reduction::reduction;
pub use typed::with_typed;
pub use wrap::paragraph;

use spheresum_core::Frequency;

/// Widest line that is aimed at, characters.
const WIDTH: usize = 110;

/// A frequency for people.
fn frequency(frequency: Option<Frequency>) -> String {
    frequency.map_or_else(|| "unknown frequency".to_string(), |f| f.to_string())
}

/// `1 reading`, `2 readings`.
fn count(n: usize, word: &str) -> String {
    if n == 1 {
        format!("1 {word}")
    } else {
        format!("{n} {word}s")
    }
}
