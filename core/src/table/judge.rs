//! What a face answers, and whether a row is content with it.

use crate::error::{Error, Group};
use crate::figure::FigureState;
use crate::table::case::{Asked, Check, Row, Tolerance};
use crate::table::measure::{Amount, Symbol};

/// A quantity that a face gave.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// Its name, as rows ask for it.
    pub name: String,
    /// Whether it has a value.
    pub state: FigureState,
    /// The value, where it has one.
    pub amount: Option<Amount>,
}

impl Answer {
    /// An answer with a value.
    #[must_use]
    pub fn value(name: impl Into<String>, value: f64, unit: Symbol) -> Self {
        Self {
            name: name.into(),
            state: FigureState::Value,
            amount: Some(Amount::new(value, unit)),
        }
    }
}

/// What came out of a case.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Outcome {
    /// Quantities.
    Answers(Vec<Answer>),
    /// An error, of one of these groups.
    Failed {
        /// The groups that it may be of: a face that tells some of them apart only gives them all.
        groups: Vec<Group>,
        /// What it said.
        message: String,
    },
}

impl Outcome {
    /// The outcome of an error.
    #[must_use]
    pub fn failed(error: &Error) -> Self {
        let hint = error.advice().map(|a| format!(" ({a})"));
        Self::Failed {
            groups: vec![error.group()],
            message: format!("{error}{}", hint.unwrap_or_default()),
        }
    }

    fn answer(&self, name: &str) -> Result<&Answer, String> {
        match self {
            Self::Answers(all) => all
                .iter()
                .find(|a| a.name == name)
                .ok_or_else(|| format!("got no {name}")),
            Self::Failed { message, .. } => Err(format!("got an error: {message}")),
        }
    }

    fn amount(&self, name: &str) -> Result<Amount, String> {
        let answer = self.answer(name)?;
        match (answer.state, answer.amount) {
            (FigureState::Value, Some(amount)) => Ok(amount),
            (state, _) => Err(format!("got {name} in state {}", state_word(state))),
        }
    }

    /// The number that was asked for, in `unit`.
    fn number(&self, of: &Asked, unit: Symbol) -> Result<f64, String> {
        let amount = match of {
            Asked::One(name) => self.amount(name)?,
            Asked::Ratio(over, under) => {
                let (over, under) = (self.amount(over)?, self.amount(under)?);
                if over.unit.kind() != under.unit.kind() {
                    return Err(format!(
                        "got {} over {}, which is no ratio",
                        over.unit, under.unit
                    ));
                }
                Amount::new(over.linear() / under.linear(), Symbol::One)
            }
        };
        amount
            .number_in(unit)
            .ok_or_else(|| format!("got {amount}, which has no {unit}"))
    }
}

/// How far a number lies from an expected one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Deviation {
    /// How far.
    pub deviation: f64,
    /// How far it may be; of a known mistake, how far it has to be.
    pub allowed: f64,
    /// Unit of both.
    pub unit: Symbol,
}

/// Whether a row is content.
#[derive(Clone, Debug, PartialEq)]
pub struct Judgement {
    /// True where it is.
    pub passed: bool,
    /// What was wanted and what came out, with the deviation and what is allowed.
    pub message: String,
    /// The deviation, where both are numbers.
    pub deviation: Option<Deviation>,
}

/// Judges a row by what a face gave. A number that is not a number never passes.
#[must_use]
pub fn judge(row: &Row, outcome: &Outcome) -> Judgement {
    match &row.check {
        Check::Gives { of, amount, within } => compared(
            of,
            *amount,
            *within,
            outcome,
            "want",
            "allowed",
            |deviation, allowed| deviation <= allowed,
        ),
        Check::Never { of, amount, beyond } => compared(
            of,
            *amount,
            *beyond,
            outcome,
            "must not be",
            "at least",
            |deviation, least| deviation > least,
        ),
        Check::Is { of, state } => is_in_state(of, *state, outcome),
        Check::Fails(group) => {
            let (passed, got) = match outcome {
                Outcome::Answers(_) => (false, "no error".to_string()),
                Outcome::Failed { groups, message } => {
                    let names: Vec<&str> = groups.iter().map(|g| g.as_str()).collect();
                    let names = names.join(" or ");
                    (groups.contains(group), format!("one of {names}: {message}"))
                }
            };
            Judgement {
                passed,
                message: format!("want an error of the group {}; got {got}", group.as_str()),
                deviation: None,
            }
        }
    }
}

fn compared(
    of: &Asked,
    amount: Amount,
    tolerance: Tolerance,
    outcome: &Outcome,
    verb: &str,
    limit: &str,
    content: fn(f64, f64) -> bool,
) -> Judgement {
    match outcome.number(of, amount.unit) {
        Ok(got) => {
            let deviation = (got - amount.value).abs();
            let allowed = tolerance.about(amount.value);
            let unit = amount.unit;
            Judgement {
                // Comparisons with NaN are false, so that NaN never passes.
                passed: content(deviation, allowed),
                message: format!(
                    "{of}: {verb} {amount}; got {got} {unit}; deviation {deviation:e} {0}, {limit} {allowed:e} {0}",
                    unit.of_difference()
                ),
                deviation: Some(Deviation {
                    deviation,
                    allowed,
                    unit: unit.of_difference(),
                }),
            }
        }
        Err(why) => Judgement {
            passed: false,
            message: format!("{of}: {verb} {amount}; {why}"),
            deviation: None,
        },
    }
}

fn is_in_state(of: &Asked, state: FigureState, outcome: &Outcome) -> Judgement {
    let wanted = state_word(state);
    let answer = match of {
        Asked::One(name) => outcome.answer(name),
        Asked::Ratio(..) => Err("a ratio has no state".to_string()),
    };
    match answer {
        Ok(answer) => Judgement {
            // Only a value has a number beside it; a percentage of zero is one as well.
            passed: answer.state == state
                && (state == FigureState::Value
                    || answer
                        .amount
                        .is_none_or(|a| state == FigureState::Zero && a.value == 0.0)),
            message: match answer.amount {
                Some(amount) => format!(
                    "{of}: want {wanted}; got {} with {amount}",
                    state_word(answer.state)
                ),
                None => format!("{of}: want {wanted}; got {}", state_word(answer.state)),
            },
            deviation: None,
        },
        Err(why) => Judgement {
            passed: false,
            message: format!("{of}: want {wanted}; {why}"),
            deviation: None,
        },
    }
}

/// States that a table may ask for, by their words in JSON.
pub(super) const STATES: [(&str, FigureState); 4] = [
    ("value", FigureState::Value),
    ("zero", FigureState::Zero),
    ("not-above-zero", FigureState::NotAboveZero),
    ("refused", FigureState::Refused),
];

/// The word of a state, as JSON and tables write it.
#[must_use]
pub fn state_word(state: FigureState) -> &'static str {
    STATES
        .iter()
        .find(|s| s.1 == state)
        .map_or("unknown", |s| s.0)
}

/// The state of a word; `None` where there is none.
#[must_use]
pub fn state_of(word: &str) -> Option<FigureState> {
    STATES.iter().find(|s| s.0 == word).map(|s| s.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gives(value: f64, within: f64) -> Row {
        Row {
            line: 1,
            check: Check::Gives {
                of: Asked::One("trp".to_string()),
                amount: Amount::new(value, Symbol::Dbm),
                within: Tolerance::Absolute(Amount::new(within, Symbol::Db)),
            },
            sources: Vec::new(),
            because: None,
        }
    }

    fn never(value: f64, beyond: f64) -> Row {
        Row {
            check: Check::Never {
                of: Asked::One("trp".to_string()),
                amount: Amount::new(value, Symbol::Dbm),
                beyond: Tolerance::Absolute(Amount::new(beyond, Symbol::Db)),
            },
            ..gives(value, beyond)
        }
    }

    fn answers(value: f64) -> Outcome {
        Outcome::Answers(vec![Answer::value("trp", value, Symbol::Dbm)])
    }

    #[test]
    fn what_is_not_a_number_never_passes() {
        for row in [gives(1.0, 0.1), never(1.0, 0.1)] {
            assert!(!judge(&row, &answers(f64::NAN)).passed);
            assert!(!judge(&row, &Outcome::Answers(Vec::new())).passed);
            assert!(!judge(&row, &Outcome::failed(&Error::domain("no"))).passed);
        }
    }

    #[test]
    fn tolerances_hold_on_both_sides() {
        assert!(judge(&gives(1.0, 0.125), &answers(1.125)).passed);
        assert!(judge(&gives(1.0, 0.125), &answers(0.875)).passed);
        assert!(!judge(&gives(1.0, 0.125), &answers(1.126)).passed);
        assert!(!judge(&gives(1.0, 0.125), &answers(0.874)).passed);
        assert!(!judge(&never(1.0, 0.125), &answers(1.1)).passed);
        assert!(judge(&never(1.0, 0.125), &answers(1.2)).passed);
    }

    #[test]
    fn states_and_failures() {
        let is = |state| Row {
            check: Check::Is {
                of: Asked::One("trp".to_string()),
                state,
            },
            ..gives(0.0, 0.0)
        };
        let zero = Outcome::Answers(vec![Answer {
            name: "trp".to_string(),
            state: FigureState::Zero,
            amount: None,
        }]);
        assert!(judge(&is(FigureState::Zero), &zero).passed);
        assert!(!judge(&is(FigureState::Refused), &zero).passed);
        assert!(!judge(&gives(0.0, 1.0), &zero).passed);
        let fails = Row {
            check: Check::Fails(Group::Usage),
            ..gives(0.0, 0.0)
        };
        assert!(judge(&fails, &Outcome::failed(&Error::usage("no"))).passed);
        assert!(!judge(&fails, &Outcome::failed(&Error::domain("no"))).passed);
        assert!(!judge(&fails, &answers(0.0)).passed);
    }
}
