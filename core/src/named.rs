//! Options by name, as callers have them that know no Rust types.

use crate::error::{Error, Result};
use crate::spelling::nearest;

/// An option that is set by its name: what the command calls `--NAME`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct OptionName {
    /// Its name: the command's long option without the dashes.
    pub name: &'static str,
    /// What it takes.
    pub takes: &'static str,
    /// One line on what it does.
    pub what: &'static str,
}

impl OptionName {
    pub(crate) const fn new(name: &'static str, takes: &'static str, what: &'static str) -> Self {
        Self { name, takes, what }
    }
}

/// The option of a name.
///
/// # Errors
/// Usage: there is none; the hint has the nearest, and all.
pub(crate) fn find<'a>(name: &str, all: &'a [OptionName]) -> Result<&'a OptionName> {
    all.iter().find(|o| o.name == name).ok_or_else(|| {
        let names: Vec<&str> = all.iter().map(|o| o.name).collect();
        let meant = nearest(name, names.iter().copied())
            .map_or_else(String::new, |near| format!("did you mean {near}? "));
        Error::usage(format!("there is no option {name:?}"))
            .hint(format!("{meant}options: {}", names.join(", ")))
    })
}

/// The number that an option is set to. Whether it may be that is for the options to say.
///
/// # Errors
/// Usage: it is no number.
pub(crate) fn number(option: &OptionName, value: &str) -> Result<f64> {
    value.trim().parse().map_err(|_| {
        Error::usage(format!("{value:?} is no number"))
            .hint(format!("--{} takes {}", option.name, option.takes))
    })
}
