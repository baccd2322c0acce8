//! Figures of two runs side by side, a row each.

use super::figure::{between, value};
use super::number::{Toward, two};
use super::table::{Align, Table};
use spheresum_core::compare::ComparedFigure;
use spheresum_core::figure::Figure;

/// A row: a figure, or a figure at a frequency.
pub struct Row<'a> {
    label: String,
    figure: &'a ComparedFigure,
    reference: String,
    test: String,
}

impl<'a> Row<'a> {
    /// A row that is called by the figure's name, with the figures of both runs: one without value says why in its own words.
    pub fn new(figure: &'a ComparedFigure, reference: &[Figure], test: &[Figure]) -> Self {
        let told = |of: &[Figure]| {
            of.iter()
                .find(|own| own.name == figure.name)
                .map_or_else(String::new, value)
        };
        Self {
            label: figure.name.clone(),
            figure,
            reference: told(reference),
            test: told(test),
        }
    }

    /// Called otherwise.
    pub fn called(mut self, label: String) -> Self {
        self.label = label;
        self
    }
}

/// The table; `label` heads the first column, `names` are the runs'.
pub fn table(label: &str, names: (&str, &str), rows: &[Row<'_>]) -> String {
    let exponent = rows.iter().find_map(|r| r.figure.path_loss_exponent);
    let with_exponent = exponent.map_or_else(String::new, |n| format!("range, n = {n}"));
    let mut table = Table::new(&[
        (label, Align::Left),
        (names.0, Align::Right),
        (names.1, Align::Right),
        ("difference", Align::Right),
        ("bounds", Align::Left),
        ("power lost", Align::Right),
        ("range", Align::Right),
        (&with_exponent, Align::Right),
        ("verdict", Align::Left),
    ]);
    let factor = |value: Option<f64>| value.map_or_else(String::new, |v| format!("× {v:.2}"));
    for row in rows {
        let f = row.figure;
        let lost = f.share_lost_percent;
        table.row(vec![
            row.label.clone(),
            row.reference.clone(),
            row.test.clone(),
            difference(f),
            bounds(f),
            lost.map_or_else(String::new, |p| {
                format!("{:.1} %", if p.abs() < 0.05 { 0.0 } else { p })
            }),
            factor(f.range_factor_free_space),
            factor(f.range_factor),
            f.verdict.as_str().to_string(),
        ]);
    }
    table.render(4)
}

/// The difference, or a dash.
pub fn difference(figure: &ComparedFigure) -> String {
    figure.difference_db.map_or_else(|| "–".to_string(), signed)
}

/// Bounds of the difference; nothing where they are the difference itself.
pub fn bounds(f: &ComparedFigure) -> String {
    between(
        f.difference_lower_db,
        f.difference_db,
        f.difference_upper_db,
    )
}

/// Decibels with their sign.
pub fn signed(value: f64) -> String {
    let text = two(value, Toward::Nearest);
    let sign = if text.starts_with('-') || text == "0.00" {
        ""
    } else {
        "+"
    };
    format!("{sign}{text} dB")
}
