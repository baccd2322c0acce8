//! Rows: what must come out of a case.

use super::words::one_of;
use crate::error::{Group, Result};
use crate::figure::{self, FigureState};
use crate::model::Quantity;
use crate::table::case::{Asked, Case, Check, Input, Row, Tolerance};
use crate::table::judge::STATES;
use crate::table::line::Piece;
use crate::table::measure::{Amount, Kind, Symbol, number};
use crate::table::source::{Source, SourceKind};

/// Reads a row that begins with `key`.
pub(super) fn read<'a>(key: Piece<'a>, value: Piece<'a>, case: &Case) -> Result<Row> {
    let amounts = matches!(key.text, "gives" | "never");
    let count = match key.text {
        "fails" => 2,
        "is" => 3,
        _ => 4,
    };
    let parts = value.parts("|", count);
    if parts.len() != count {
        return Err(value
            .end()
            .error(format!(
                "a row `{}` has {count} parts, with | between them",
                key.text
            ))
            .hint(match key.text {
                "fails" => "fails: GROUP | SOURCE",
                "is" => "is: FIGURE | STATE | SOURCE",
                "never" => "never: QUANTITY | NUMBER UNIT | beyond NUMBER UNIT | SOURCE",
                _ => "gives: QUANTITY | NUMBER UNIT | within NUMBER UNIT | SOURCE",
            }));
    }
    let check = if amounts {
        let (of, units) = asked(parts[0], case)?;
        let amount = parts[1].amount_in(&units)?;
        if key.text == "gives" {
            let within = tolerance(parts[2], "within", amount)?;
            Check::Gives { of, amount, within }
        } else {
            let beyond = tolerance(parts[2], "beyond", amount)?;
            Check::Never { of, amount, beyond }
        }
    } else if key.text == "is" {
        let (of, _) = asked(parts[0], case)?;
        if matches!(of, Asked::Ratio(..)) {
            return Err(parts[0].error("a ratio has no state"));
        }
        Check::Is {
            of,
            state: one_of::<FigureState>(parts[1], "state", &STATES)?,
        }
    } else {
        Check::Fails(one_of(
            parts[0],
            "group",
            &Group::ALL.map(|g| (g.as_str(), g)),
        )?)
    };
    Ok(Row {
        line: key.line_number(),
        check,
        sources: vec![source(parts[count - 1])?],
        because: None,
    })
}

/// A source: kind, colon, text.
pub(super) fn source(piece: Piece<'_>) -> Result<Source> {
    let kinds = || SourceKind::ALL.map(SourceKind::as_str).join(", ");
    let Some((kind, text)) = piece.cut(":") else {
        return Err(piece
            .error("a source is its kind, a colon and what names it")
            .hint(format!("kinds: {}", kinds())));
    };
    let Some(found) = SourceKind::of(kind.text) else {
        return Err(kind
            .error(format!("there is no kind of source {:?}", kind.text))
            .hint(format!("kinds: {}", kinds())));
    };
    if text.text.is_empty() {
        return Err(text.error("the source is not named"));
    }
    Ok(Source {
        kind: found,
        text: text.text.to_string(),
    })
}

fn tolerance(piece: Piece<'_>, word: &str, amount: Amount) -> Result<Tolerance> {
    let Some((_, rest)) = piece.cut(" ").filter(|(first, _)| first.text == word) else {
        return Err(piece.error(format!("here stands `{word}`, a number and its unit")));
    };
    let tolerance = match rest.cut(" ") {
        Some((_, unit)) if unit.text == "relative" && amount.unit.is_decibel() => {
            return Err(rest
                .error("a share of a number of decibels says nothing of the power")
                .hint("give the tolerance of a level in dB"));
        }
        Some((share, unit)) if unit.text == "relative" => match number(share.text) {
            Some(share) => Tolerance::Relative(share),
            None => return Err(share.error(format!("{:?} is not a number", share.text))),
        },
        _ => Tolerance::Absolute(rest.amount_in(&[amount.unit.of_difference()])?),
    };
    if tolerance.about(1.0) < 0.0 {
        return Err(rest.error("a tolerance is not below 0"));
    }
    Ok(tolerance)
}

/// What is asked for, and the units that it has.
fn asked(piece: Piece<'_>, case: &Case) -> Result<(Asked, Vec<Symbol>)> {
    let unit_of = |name: Piece<'_>| -> Result<Symbol> {
        unit_of(&case.input, name.text).ok_or_else(|| {
            name.error(format!(
                "a case with this input has no quantity {:?}",
                name.text
            ))
            .hint(format!("quantities: {}", names(&case.input).join(", ")))
        })
    };
    let Some((over, under)) = piece.cut("/") else {
        return Ok((
            Asked::One(piece.text.to_string()),
            units_for(unit_of(piece)?),
        ));
    };
    if unit_of(over)?.kind() != unit_of(under)?.kind() {
        return Err(piece.error("these two have no ratio"));
    }
    Ok((
        Asked::Ratio(over.text.to_string(), under.text.to_string()),
        units_for(Symbol::Db),
    ))
}

fn units_for(unit: Symbol) -> Vec<Symbol> {
    match unit {
        Symbol::Dbm | Symbol::Watt | Symbol::Milliwatt => {
            vec![Symbol::Dbm, Symbol::Watt, Symbol::Milliwatt]
        }
        Symbol::Dbi => vec![Symbol::Dbi, Symbol::One],
        Symbol::Db | Symbol::One | Symbol::Percent => {
            vec![Symbol::Db, Symbol::One, Symbol::Percent]
        }
        Symbol::Degree | Symbol::Wavelength => vec![unit],
    }
}

/// Unit of a quantity of an input; `None` where it has no such quantity.
fn unit_of(input: &Input, name: &str) -> Option<Symbol> {
    match input {
        Input::Pattern(_) | Input::Sphere(_) | Input::Files(_) if name == "noise-bias" => {
            Some(Symbol::Db)
        }
        Input::Pattern(_) | Input::Sphere(_) | Input::Files(_) => figures(input)
            .into_iter()
            .find(|s| s.name == name)
            .map(|s| s.unit.into()),
        Input::Weights { intervals, .. } => match name.strip_prefix("ring-weight ") {
            Some(ring) => (ring.parse::<usize>().ok()? <= *intervals).then_some(Symbol::One),
            None => (name == "mean-of-one").then_some(Symbol::One),
        },
        Input::Levels(levels) => {
            let first = levels.first()?.unit;
            let base = if first.kind() == Kind::Power {
                Symbol::Watt
            } else {
                Symbol::One
            };
            match (name, levels.len()) {
                ("value", 1) => Some(base),
                ("amplitude", 1) if first == Symbol::Db => Some(Symbol::One),
                ("sum" | "mean", 2..) => Some(base),
                _ => None,
            }
        }
        Input::Difference { exponent, .. } => match name {
            "power-change" => Some(Symbol::Percent),
            "range-factor-free-space" => Some(Symbol::One),
            "range-factor" | "area-factor" if exponent.is_some() => Some(Symbol::One),
            _ => None,
        },
    }
}

fn figures(input: &Input) -> Vec<figure::Spec> {
    if let Input::Files(_) = input {
        // What they hold is known when they are read.
        return figure::specs();
    }
    let quantity = match input {
        Input::Pattern(sampled) => Some(sampled.quantity()),
        Input::Sphere(sphere) => match sphere.quantity() {
            Some(Quantity::Field(_)) => Some(Quantity::Relative),
            other => other,
        },
        _ => None,
    };
    match quantity {
        Some(quantity) => figure::specs()
            .into_iter()
            .filter(|s| (s.applies)(quantity))
            .collect(),
        None => Vec::new(),
    }
}

fn names(input: &Input) -> Vec<String> {
    match input {
        Input::Pattern(_) | Input::Sphere(_) | Input::Files(_) => {
            figures(input).iter().map(|s| s.name.to_string()).collect()
        }
        Input::Weights { intervals, .. } => vec![
            format!("ring-weight 0 … {intervals}"),
            "mean-of-one".to_string(),
        ],
        Input::Levels(_) | Input::Difference { .. } => [
            "value",
            "amplitude",
            "sum",
            "mean",
            "power-change",
            "range-factor-free-space",
            "range-factor",
            "area-factor",
        ]
        .into_iter()
        .filter(|n| unit_of(input, n).is_some())
        .map(ToString::to_string)
        .collect(),
    }
}

/// True where two rows of a case ask for the same thing.
pub(super) fn asks_the_same(a: &Row, b: &Row) -> bool {
    match (&a.check, &b.check) {
        (
            Check::Gives {
                of: x, amount: m, ..
            },
            Check::Gives {
                of: y, amount: n, ..
            },
        ) => x == y && m.unit == n.unit,
        (
            Check::Never {
                of: x, amount: m, ..
            },
            Check::Never {
                of: y, amount: n, ..
            },
        ) => x == y && m == n,
        (Check::Is { of: x, .. }, Check::Is { of: y, .. }) => x == y,
        (Check::Fails(_), Check::Fails(_)) => true,
        _ => false,
    }
}

/// What can be checked of a row only when its case is complete.
pub(super) fn check(row: &Row, case: &Case, place: Piece<'_>) -> Result<()> {
    match &row.check {
        Check::Gives { within, .. } if within.is_loose() && row.because.is_none() => Err(place
            .error("a tolerance this loose needs its reason")
            .hint("add a line `because: …` below the row")),
        Check::Never { of, amount, beyond } => {
            let right = case
                .rows
                .iter()
                .filter(|r| super::gives(r))
                .find_map(|r| match &r.check {
                    Check::Gives {
                        of: x,
                        amount: right,
                        ..
                    } if x == of && right.unit == amount.unit => Some(*right),
                    _ => None,
                });
            match right {
                None => Err(place
                    .error("the right amount of this is not given in the case")
                    .hint("add a row `gives:` of the same quantity in the same unit")),
                Some(right) if (right.value - amount.value).abs() <= beyond.about(amount.value) => {
                    Err(place.error("the wrong amount lies so near to the right one that the row cannot tell them apart"))
                }
                Some(_) => Ok(()),
            }
        }
        Check::Fails(_) if case.rows.len() > 1 => {
            Err(place.error("a case that fails gives nothing else"))
        }
        _ => Ok(()),
    }
}
