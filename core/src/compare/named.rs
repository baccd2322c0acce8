//! Options of a comparison by name.

use crate::compare::CompareOptions;
use crate::error::Result;
use crate::named::{OptionName, find, number};

/// The options of a comparison that have a name.
pub const OPTION_NAMES: &[OptionName] = &[OptionName::new(
    "path-loss-exponent",
    "a number above 0, at most 10",
    "Exponent of the path-loss model for a second range factor; 2 is free space.",
)];

impl CompareOptions {
    /// Sets an option by its name, one of [`OPTION_NAMES`]. Where that fails nothing changes.
    ///
    /// # Errors
    /// Usage: no option has the name; the value is no number, or out of range.
    pub fn set(&mut self, name: &str, value: &str) -> Result<()> {
        let option = find(name, OPTION_NAMES)?;
        let new = Self {
            path_loss_exponent: Some(number(option, value)?),
        };
        new.check()?;
        *self = new;
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_exponent_comes_back_and_bad_ones_change_nothing() {
        let mut options = CompareOptions::default();
        options.set("path-loss-exponent", " 2.8").unwrap();
        assert_eq!(options.path_loss_exponent, Some(2.8));
        for bad in ["", "two", "0", "-1", "10.5", "nan", "inf"] {
            assert!(options.set("path-loss-exponent", bad).is_err(), "{bad}");
        }
        let error = options.set("pathloss-exponent", "2").unwrap_err();
        assert_eq!(
            error.advice(),
            Some("did you mean path-loss-exponent? options: path-loss-exponent")
        );
        assert_eq!(options.path_loss_exponent, Some(2.8));
    }
}
