//! Options: those that all text adapters share, and the table.

use spheresum_core::Result;
use spheresum_core::intake::ReadOptions;
use spheresum_core::intake::text::Choices;

/// The decided options.
#[derive(Clone, Debug, Default)]
pub(crate) struct Own {
    /// `table`: the key under which the table stands.
    pub(crate) table: Option<String>,
    /// The shared ones.
    pub(crate) choices: Choices,
}

impl Own {
    /// Reads the named options.
    ///
    /// # Errors
    /// Usage: an unknown name or value.
    pub(crate) fn of(options: &ReadOptions) -> Result<Self> {
        Ok(Self {
            table: options.named.get("table").cloned(),
            choices: Choices::of(options, "json", &["table"])?,
        })
    }
}
