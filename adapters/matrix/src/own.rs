//! Options: those that all text adapters share, the separator, and which angle runs along the rows.

use spheresum_core::Result;
use spheresum_core::intake::ReadOptions;
use spheresum_core::intake::text::{Choices, Separator, choices};

/// The decided options.
#[derive(Clone, Debug, Default)]
pub(crate) struct Own {
    /// `separator`.
    pub(crate) separator: Option<Separator>,
    /// `rows`: true for θ.
    pub(crate) rows_are_theta: Option<bool>,
    /// The shared ones.
    pub(crate) choices: Choices,
}

impl Own {
    /// Reads the named options.
    ///
    /// # Errors
    /// Usage: an unknown name or value, or comma for both signs.
    pub(crate) fn of(options: &ReadOptions) -> Result<Self> {
        let choices = Choices::of(options, "matrix", &["separator", "rows"])?;
        let rows_are_theta = match options.named.get("rows").map(|v| v.trim()) {
            None => None,
            Some("theta") => Some(true),
            Some("phi") => Some(false),
            Some(other) => return Err(choices::unknown("rows", other, "theta, phi")),
        };
        Ok(Self {
            separator: Separator::chosen(options, &choices)?,
            rows_are_theta,
            choices,
        })
    }
}
