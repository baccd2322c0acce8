//! The Rust face: a case straight through this library.

use crate::compare::{range_factor, range_factor_free_space, share_lost_percent};
use crate::error::Result;
use crate::figure::FigureState;
use crate::limits::Limits;
use crate::model::Readings;
use crate::reduce::{ReduceOptions, reduce_readings};
use crate::table::case::{Case, Input};
use crate::table::judge::{Answer, Outcome};
use crate::table::measure::{Amount, Kind, Symbol};
use crate::unit::{level, sum};

/// Runs a case through this library.
#[must_use]
pub fn run_rust(case: &Case) -> Outcome {
    let answers = match &case.input {
        Input::Weights { rule, intervals } => weights(&rule.weights(*intervals)),
        Input::Levels(levels) => of_levels(levels),
        Input::Difference { d_db, exponent } => of_difference(*d_db, *exponent),
        Input::Pattern(_) | Input::Sphere(_) => match case.readings() {
            Some(readings) => match readings.and_then(|r| reduced(r, &case.options)) {
                Ok(answers) => answers,
                Err(error) => return Outcome::failed(&error),
            },
            None => Vec::new(),
        },
    };
    Outcome::Answers(answers)
}

/// Figures of the first frequency: the inputs of tables have one.
fn reduced(readings: Readings, options: &ReduceOptions) -> Result<Vec<Answer>> {
    let reduction = reduce_readings(&[readings], options, &Limits::default())?;
    let Some(channel) = reduction.channels.into_iter().next() else {
        return Ok(Vec::new());
    };
    let bias = channel.noise.and_then(|n| n.bias_db);
    let bias = bias.map(|b| Answer::value("noise-bias", b, Symbol::Db));
    Ok(channel
        .figures
        .into_iter()
        .map(|figure| Answer {
            name: figure.name,
            state: figure.state,
            amount: figure.value.map(|v| Amount::new(v, figure.unit.into())),
        })
        .chain(bias)
        .collect())
}

fn weights(weights: &[f64]) -> Vec<Answer> {
    let ring = |(i, w): (usize, &f64)| Answer::value(format!("ring-weight {i}"), *w, Symbol::One);
    let mut answers: Vec<Answer> = weights.iter().enumerate().map(ring).collect();
    answers.push(Answer::value(
        "mean-of-one",
        sum::in_order(weights) / 2.0,
        Symbol::One,
    ));
    answers
}

/// What follows from levels: one of them in other units, several of them summed and averaged in linear terms.
fn of_levels(levels: &[Amount]) -> Vec<Answer> {
    let linear: Vec<f64> = levels.iter().map(|l| l.linear()).collect();
    let base = match levels.first().map(|l| l.unit.kind()) {
        Some(Kind::Power) => Symbol::Watt,
        _ => Symbol::One,
    };
    if let [single] = levels {
        let mut answers = vec![Answer {
            name: "value".to_string(),
            state: FigureState::Value,
            amount: Some(*single),
        }];
        if single.unit == Symbol::Db {
            // Field strengths and voltages go with the square root of power.
            answers.push(Answer::value(
                "amplitude",
                level::ratio_from_db(single.value / 2.0),
                Symbol::One,
            ));
        }
        return answers;
    }
    let mut answers = vec![Answer::value("sum", sum::in_order(&linear), base)];
    answers.extend(sum::mean(&linear).map(|mean| Answer::value("mean", mean, base)));
    answers
}

fn of_difference(d_db: f64, exponent: Option<f64>) -> Vec<Answer> {
    let mut answers = vec![
        Answer::value("power-change", -share_lost_percent(d_db), Symbol::Percent),
        Answer::value(
            "range-factor-free-space",
            range_factor_free_space(d_db),
            Symbol::One,
        ),
    ];
    if let Some(exponent) = exponent {
        let factor = range_factor(d_db, exponent);
        answers.push(Answer::value("range-factor", factor, Symbol::One));
        // A covered area grows with the square of the range.
        answers.push(Answer::value("area-factor", factor * factor, Symbol::One));
    }
    answers
}
