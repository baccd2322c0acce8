//! Reducing several runs alike: one rule, one window form, one fill method.

use crate::error::Result;
use crate::fill::Fill;
use crate::model::State;
use crate::reduce::{Prepared, ReduceOptions, Reduction, reduce_within};
use crate::rule::{Edges, EdgesChoice, Rule, RuleChoice};
use crate::watch::{Span, Unwatched, Watch};

/// Reduces all runs with the same rule and window form.
///
/// Where `auto` would choose differently for different runs: the sine rule if any run lacks a pole ring, otherwise
/// Clenshaw–Curtis; exact edges if the θ steps differ; harmonics for every gap, where `auto` would choose for each by itself.
///
/// # Errors
/// As [`reduce`](crate::reduce::reduce()), for the first run that fails.
pub fn reduce_together(runs: Vec<Prepared>, options: &ReduceOptions) -> Result<Vec<Reduction>> {
    reduce_together_watched(runs, options, &Unwatched)
}

/// As [`reduce_together`], with progress told to a watch, which can stop it.
///
/// # Errors
/// As [`reduce_together`]; Cancelled: the watch said stop.
pub fn reduce_together_watched(
    runs: Vec<Prepared>,
    options: &ReduceOptions,
    watch: &dyn Watch,
) -> Result<Vec<Reduction>> {
    let span = Span::whole(watch);
    span.at(0.0, "choosing the rule of all runs")?;
    let mut common = options.clone();
    if common.rule == RuleChoice::Auto {
        common.rule = RuleChoice::Fixed(common_rule(&runs, options.edges));
    }
    if common.edges == EdgesChoice::Auto && steps_differ(&runs) {
        common.edges = EdgesChoice::Fixed(Edges::Exact);
    }
    if common.fill == Fill::Auto && runs.iter().any(has_gaps) {
        common.fill = Fill::Harmonic;
    }
    let mut reductions = Vec::with_capacity(runs.len());
    let count = runs.len();
    for (n, run) in runs.into_iter().enumerate() {
        reductions.push(reduce_within(run, &common, span.nth(n, count))?);
    }
    span.at(1.0, "reduced")?;
    Ok(reductions)
}

fn common_rule(runs: &[Prepared], edges: EdgesChoice) -> Rule {
    if edges == EdgesChoice::Fixed(Edges::Half) {
        return Rule::Sine;
    }
    let mut rules = runs.iter().filter_map(|run| {
        let grid = run.sphere.grid().equal_angle()?;
        let states = run.sphere.states();
        let (_, _, directions) = states.dim();
        let poles_read = states.outer_iter().all(|f| {
            f.outer_iter()
                .all(|p| p[0] != State::Missing && p[directions - 1] != State::Missing)
        });
        Some((Rule::auto(grid, poles_read), poles_read))
    });
    let Some((first, mut poles)) = rules.next() else {
        return Rule::Sine;
    };
    let mut same = true;
    for (rule, read) in rules {
        same &= rule == first;
        poles &= read;
    }
    if same {
        first
    } else if poles {
        Rule::ClenshawCurtis
    } else {
        Rule::Sine
    }
}

/// True where a direction that is no pole was not read.
fn has_gaps(run: &Prepared) -> bool {
    let grid = run.sphere.grid().equal_angle();
    run.sphere
        .states()
        .indexed_iter()
        .any(|((_, _, d), state)| {
            *state == State::Missing && grid.is_none_or(|g| !g.is_pole(d / g.phi_count()))
        })
}

fn steps_differ(runs: &[Prepared]) -> bool {
    let mut steps = runs
        .iter()
        .filter_map(|r| r.sphere.grid().equal_angle().map(|g| g.intervals()));
    let first = steps.next();
    steps.any(|n| Some(n) != first)
}
