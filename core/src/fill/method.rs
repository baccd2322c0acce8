//! The ways gaps are filled, and their words.

use crate::error::{Error, Result};
use std::fmt;
use std::str::FromStr;

/// The way gaps are filled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fill {
    /// Along the cuts in φ and θ, in linear power; caps from the ring means.
    Cuts,
    /// By spherical harmonics that are fitted to all readings.
    Harmonic,
    /// By whichever of these predicts readings next to the gap better.
    #[default]
    Auto,
    /// Not at all.
    None,
}

impl Fill {
    /// All words.
    pub const ALL: [Self; 4] = [Self::Cuts, Self::Harmonic, Self::Auto, Self::None];

    /// The word used in options and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Cuts => "cuts",
            Self::Harmonic => "harmonic",
            Self::Auto => "auto",
            Self::None => "none",
        }
    }
}

impl fmt::Display for Fill {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Fill {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        Self::ALL
            .into_iter()
            .find(|f| f.as_str() == text)
            .ok_or_else(|| {
                Error::usage(format!("there is no fill method {text:?}"))
                    .hint("fill: auto, cuts, harmonic, none")
            })
    }
}
