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
        let choices = Choices::of(options, "delimited", &["separator"])?;
        Ok(Self {
            separator: Separator::chosen(options, &choices)?,
            choices,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn separators_by_word() {
        let of = |name: &str, value: &str| Own::of(&ReadOptions::default().with_named(name, value));
        assert_eq!(
            of("separator", "tab").map(|o| o.separator).ok(),
            Some(Some(Separator::Tab))
        );
        for (name, value) in [("separater", "tab"), ("separator", "colon")] {
            let group = of(name, value).err().map(|e| e.group());
            assert_eq!(group, Some(spheresum_core::Group::Usage), "{name}={value}");
        }
        let both = ReadOptions::default()
            .with_named("separator", "comma")
            .with_named("decimal", "comma");
        assert!(Own::of(&both).is_err());
    }
}
