//! Options: those that all text adapters share, and the separator.

use spheresum_core::Result;
use spheresum_core::intake::ReadOptions;
use spheresum_core::intake::text::{Choices, Separator};

/// The decided options.
#[derive(Clone, Debug, Default)]
pub(crate) struct Own {
    /// `separator`.
    pub(crate) separator: Option<Separator>,
    /// The shared ones.
    pub(crate) choices: Choices,
}

impl Own {
    /// Reads the named options.
    ///
    /// # Errors
    /// Usage: an unknown name or value, or comma for both signs.
    pub(crate) fn of(options: &ReadOptions) -> Result<Self> {
        let choices = Choices::of(options, "cuts", &["separator"])?;
        Ok(Self {
            separator: Separator::chosen(options, &choices)?,
            choices,
        })
    }

    /// True where nobody chose separator or decimal sign.
    pub(crate) fn is_open(&self) -> bool {
        self.separator.is_none() && self.choices.decimal.is_none()
    }
}
