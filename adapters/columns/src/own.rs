//! Options: those that all text adapters share, and what this family asks a person.

use crate::format::of_format;
use crate::layout::{Fault, Layout, of_widths};
use spheresum_core::intake::ReadOptions;
use spheresum_core::intake::text::{Choices, choices};
use spheresum_core::{Error, Limits, Result};

/// Names of the own options.
const NAMES: &[&str] = &["format", "widths", "columns", "stars", "implied", "blanks"];

/// What a format implies beyond what is written: decimal signs and scale factors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Implied {
    /// As Fortran reads: `123456` under `F8.3` is 123.456.
    Apply,
    /// As it stands: `123456` is 123456.
    AsWritten,
}

/// The decided options.
#[derive(Clone, Debug, Default)]
pub(crate) struct Own {
    /// `format` or `widths`.
    pub(crate) layout: Option<Layout>,
    /// `columns`.
    pub(crate) columns: Option<String>,
    /// `stars=missing`.
    pub(crate) stars_are_missing: bool,
    /// `implied`.
    pub(crate) implied: Option<Implied>,
    /// `blanks=nothing`.
    pub(crate) blanks_mean_nothing: bool,
    /// The shared ones.
    pub(crate) choices: Choices,
}

impl Own {
    /// Reads the named options.
    ///
    /// # Errors
    /// Usage: an unknown name or value, or two layouts.
    pub(crate) fn of(options: &ReadOptions, limits: &Limits) -> Result<Self> {
        let named = |name: &str| options.named.get(name).map(|v| v.trim());
        let chosen = |name: &str, word: &str| match named(name) {
            None => Ok(false),
            Some(value) if value == word => Ok(true),
            Some(value) => Err(choices::unknown(name, value, word)),
        };
        let refuse = |name: &str, fault: Fault| {
            Error::usage(format!("the option {name}: {}", fault.message)).hint(fault.hint)
        };
        let layout = match (named("format"), named("widths")) {
            (Some(_), Some(_)) => {
                return Err(Error::usage("the options format and widths are both given")
                    .hint("give one of the two: both say where the fields stand"));
            }
            (Some(text), None) => Some(of_format(text, limits).map_err(|f| refuse("format", f))?),
            (None, Some(text)) => Some(of_widths(text, limits).map_err(|f| refuse("widths", f))?),
            (None, None) => None,
        };
        Ok(Self {
            layout,
            columns: named("columns").map(ToString::to_string),
            stars_are_missing: chosen("stars", "missing")?,
            implied: match named("implied") {
                None => None,
                Some("apply") => Some(Implied::Apply),
                Some("as-written") => Some(Implied::AsWritten),
                Some(value) => return Err(choices::unknown("implied", value, "apply, as-written")),
            },
            blanks_mean_nothing: chosen("blanks", "nothing")?,
            choices: Choices::of(options, "columns", NAMES)?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn own_options() {
        let of = |pairs: &[(&str, &str)]| {
            let options = pairs
                .iter()
                .fold(ReadOptions::default(), |o, (n, v)| o.with_named(n, v));
            Own::of(&options, &Limits::small())
        };
        let own = of(&[
            ("widths", "8,8"),
            ("stars", "missing"),
            ("implied", "apply"),
        ]);
        assert_eq!(
            own.as_ref()
                .ok()
                .and_then(|o| o.layout.as_ref())
                .map(|l| l.total),
            Some(16)
        );
        assert!(own.is_ok_and(|o| o.stars_are_missing && o.implied == Some(Implied::Apply)));
        for pairs in [
            &[("widths", "8,8"), ("format", "(2F8.3)")][..],
            &[("widths", "wide")],
            &[("format", "F8.3")],
            &[("stars", "zero")],
            &[("implied", "yes")],
            &[("blanks", "zero")],
            &[("separator", "blank")],
        ] {
            let group = of(pairs).err().map(|e| e.group());
            assert_eq!(group, Some(spheresum_core::Group::Usage), "{pairs:?}");
        }
    }
}
