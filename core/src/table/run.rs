//! The Rust face: a case straight through this library.

use crate::compare::{range_factor, range_factor_free_space, share_lost_percent};
use crate::error::{Error, Result};
use crate::figure::FigureState;
use crate::limits::Limits;
use crate::model::Readings;
use crate::reduce::{ChannelResult, ReduceOptions, Reduction, reduce_readings};
use crate::table::case::{Case, Input};
use crate::table::files::Files;
use crate::table::judge::{Answer, Outcome};
use crate::table::measure::{Amount, Kind, Symbol};
use crate::unit::frequency::Frequency;
use crate::unit::{level, sum};

/// Runs a case through this library. Cases on files fail here, since what reads files stands outside of this crate:
/// [`run_with`].
#[must_use]
pub fn run_rust(case: &Case) -> Outcome {
    run_with(case, &mut |_, _| {
        Err(
            Error::usage("the case names files, and nothing is here to read them").hint(
                "run the table by the command `spheresum check`, or give a reader to run_with",
            ),
        )
    })
}

/// Reads the files of a case and reduces them as one run, by its [`Case::command_options`].
pub type ReduceFiles<'a> = dyn FnMut(&Case, &Files) -> Result<Reduction> + 'a;

/// Runs a case through this library; `reduce_files` reads and reduces what a case on files names.
#[must_use]
pub fn run_with(case: &Case, reduce_files: &mut ReduceFiles<'_>) -> Outcome {
    let answers = match &case.input {
        Input::Weights { rule, intervals } => weights(&rule.weights(*intervals)),
        Input::Levels(levels) => of_levels(levels),
        Input::Difference { d_db, exponent } => of_difference(*d_db, *exponent),
        Input::Files(files) => {
            let reduced = reduce_files(case, files);
            match reduced.and_then(|r| answers_of(&r, files.frequency)) {
                Ok(answers) => answers,
                Err(error) => return Outcome::failed(&error),
            }
        }
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

fn reduced(readings: Readings, options: &ReduceOptions) -> Result<Vec<Answer>> {
    let reduction = reduce_readings(&[readings], options, &Limits::default())?;
    answers_of(&reduction, None)
}

/// What rows may ask of a reduction: the figures of one frequency, and how much the floor lifts it.
///
/// # Errors
/// Usage: the reduction has several frequencies and none is named, or it has not the one that is named.
pub fn answers_of(reduction: &Reduction, frequency: Option<Frequency>) -> Result<Vec<Answer>> {
    let channel = channel_of(reduction, frequency)?;
    let bias = channel.noise.as_ref().and_then(|n| n.bias_db);
    let bias = bias.map(|b| Answer::value("noise-bias", b, Symbol::Db));
    Ok(channel
        .figures
        .iter()
        .map(|figure| Answer {
            name: figure.name.clone(),
            state: figure.state,
            amount: figure.value.map(|v| Amount::new(v, figure.unit.into())),
        })
        .chain(bias)
        .collect())
}

/// The channel of a frequency, or the only one.
fn channel_of(reduction: &Reduction, frequency: Option<Frequency>) -> Result<&ChannelResult> {
    let all = &reduction.channels;
    let (found, message) = match frequency {
        Some(wanted) => (
            all.iter().find(|c| c.frequency_hz == Some(wanted)),
            format!("the files hold nothing at {wanted}"),
        ),
        None => (
            all.first().filter(|_| all.len() == 1),
            "the files hold several frequencies".to_string(),
        ),
    };
    found.ok_or_else(|| {
        let held: Vec<String> = all
            .iter()
            .filter_map(|c| c.frequency_hz)
            .map(|f| f.to_string())
            .collect();
        Error::usage(message).hint(format!(
            "name one of them by a line `frequency:` of the case: {}",
            held.join(", ")
        ))
    })
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
