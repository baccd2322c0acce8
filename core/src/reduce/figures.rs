//! Which figures are wanted.

use crate::error::{Error, Result};
use crate::figure::{self, Spec};
use crate::model::Quantity;
use crate::reduce::ReduceOptions;

impl ReduceOptions {
    /// Asks for figures by name; one that is named twice is given once. None at all: all that apply.
    pub fn name_figures<'a>(&mut self, names: impl IntoIterator<Item = &'a str>) {
        let mut figures: Vec<String> = Vec::new();
        for name in names.into_iter().map(str::trim) {
            if !figures.iter().any(|f| f == name) {
                figures.push(name.to_string());
            }
        }
        self.figures = (!figures.is_empty()).then_some(figures);
    }
}

/// The figure that a name stands for: a summary comes with the figure that it is made of.
pub(super) fn base(name: &str) -> &str {
    figure::summarised_by(name).unwrap_or(name)
}

/// A figure by its own name.
///
/// # Errors
/// Usage: there is none.
pub(super) fn spec(name: &str) -> Result<Spec> {
    let all = figure::specs();
    all.iter().find(|s| s.name == name).copied().ok_or_else(|| {
        let known: Vec<&str> = all.iter().map(|s| s.name).collect();
        Error::usage(format!("there is no figure {name:?}"))
            .hint(format!("figures: {}", known.join(", ")))
    })
}

/// The figures that options ask for.
///
/// # Errors
/// Usage: a name that is unknown, or does not exist for the quantity.
pub(crate) fn wanted(quantity: Quantity, options: &ReduceOptions) -> Result<Vec<Spec>> {
    let given = options.given();
    let Some(names) = &options.figures else {
        return Ok(figure::specs()
            .into_iter()
            .filter(|s| (s.applies)(quantity) && !(s.optional)(&given, quantity))
            .collect());
    };
    let mut bases: Vec<&str> = Vec::new();
    for name in names {
        let base = base(name);
        if !bases.contains(&base) {
            bases.push(base);
        }
    }
    bases
        .into_iter()
        .map(|name| {
            let spec = spec(name)?;
            if !(spec.applies)(quantity) {
                let all = figure::specs();
                let fitting: Vec<&str> = all
                    .iter()
                    .filter(|s| (s.applies)(quantity))
                    .map(|s| s.name)
                    .collect();
                return Err(Error::usage(format!(
                    "the figure {name} does not exist for readings of {quantity}"
                ))
                .hint(format!("figures of {quantity}: {}", fitting.join(", "))));
            }
            Ok(spec)
        })
        .collect()
}
