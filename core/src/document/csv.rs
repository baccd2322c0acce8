//! Comma-separated values, one row a figure, quoted as RFC 4180 says.

use crate::compare::{ComparedFigure, TestResult};
use crate::document::Run;
use crate::figure::{Figure, FigureState};
use crate::unit::Frequency;

const REDUCTION: &str = "run,scope,frequency_hz,figure,state,value,unit,lower,upper,bounds_assume,rule,edges,theta_deg,phi_deg,reason,interval_lower,interval_upper,coverage,standard_uncertainty_db";
const COMPARISON: &str = "reference,test,scope,frequency_hz,figure,unit,reference_value,test_value,difference_db,difference_lower_db,difference_upper_db,power_ratio,share_lost_percent,range_factor_free_space,range_factor,path_loss_exponent,verdict";

/// The figures of runs: a heading, then a row for each figure, channel by channel and the summary behind them.
///
/// Numbers are the shortest decimals that read back as they are; a cell is empty where there is none.
#[must_use]
pub fn reduction_csv(runs: &[Run]) -> String {
    let mut out = format!("{REDUCTION}\n");
    for run in runs {
        for channel in &run.reduction.channels {
            for figure in &channel.figures {
                row(
                    &mut out,
                    &figure_cells(&run.name, "channel", channel.frequency_hz, figure),
                );
            }
        }
        for figure in &run.reduction.summary {
            row(&mut out, &figure_cells(&run.name, "summary", None, figure));
        }
    }
    out
}

fn figure_cells(
    run: &str,
    scope: &str,
    frequency: Option<Frequency>,
    figure: &Figure,
) -> Vec<String> {
    let state = match figure.state {
        FigureState::Value => "value",
        FigureState::Zero => "zero",
        FigureState::NotAboveZero => "not-above-zero",
        _ => "refused",
    };
    vec![
        run.to_string(),
        scope.to_string(),
        number(frequency.map(Frequency::hz)),
        figure.name.clone(),
        state.to_string(),
        number(figure.value),
        figure.unit.symbol().to_string(),
        number(figure.lower),
        number(figure.upper),
        figure.bounds_assume.clone().unwrap_or_default(),
        figure.rule.map_or("", |r| r.as_str()).to_string(),
        figure.edges.map_or("", |e| e.as_str()).to_string(),
        number(figure.theta_deg),
        number(figure.phi_deg),
        figure.reason.clone().unwrap_or_default(),
        number(figure.interval_lower),
        number(figure.interval_upper),
        number(figure.coverage),
        number(figure.standard_uncertainty_db),
    ]
}

/// The figures of tests against the reference of a name, laid out as [`reduction_csv`] has them.
#[must_use]
pub fn comparison_csv(reference: &str, tests: &[TestResult]) -> String {
    let mut out = format!("{COMPARISON}\n");
    for test in tests {
        for channel in &test.channels {
            for figure in &channel.figures {
                row(
                    &mut out,
                    &compared_cells(
                        reference,
                        &test.name,
                        "channel",
                        channel.frequency_hz,
                        figure,
                    ),
                );
            }
        }
        for figure in &test.summary {
            row(
                &mut out,
                &compared_cells(reference, &test.name, "summary", None, figure),
            );
        }
    }
    out
}

fn compared_cells(
    reference: &str,
    test: &str,
    scope: &str,
    frequency: Option<Frequency>,
    f: &ComparedFigure,
) -> Vec<String> {
    vec![
        reference.to_string(),
        test.to_string(),
        scope.to_string(),
        number(frequency.map(Frequency::hz)),
        f.name.clone(),
        f.unit.symbol().to_string(),
        number(f.reference),
        number(f.test),
        number(f.difference_db),
        number(f.difference_lower_db),
        number(f.difference_upper_db),
        number(f.power_ratio),
        number(f.share_lost_percent),
        number(f.range_factor_free_space),
        number(f.range_factor),
        number(f.path_loss_exponent),
        f.verdict.as_str().to_string(),
    ]
}

/// The shortest decimal that reads back as the number; nothing where there is none.
fn number(value: Option<f64>) -> String {
    value.map_or_else(String::new, |v| v.to_string())
}

fn row(out: &mut String, cells: &[String]) {
    for (n, cell) in cells.iter().enumerate() {
        if n > 0 {
            out.push(',');
        }
        out.push_str(&quoted(cell));
    }
    out.push('\n');
}

fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_needs_quotes_has_them() {
        let mut out = String::new();
        row(
            &mut out,
            &[
                "a".into(),
                "b,c".into(),
                "d\"e".into(),
                String::new(),
                "f\ng".into(),
            ],
        );
        assert_eq!(out, "a,\"b,c\",\"d\"\"e\",,\"f\ng\"\n");
    }
}
