//! Comparison of runs against the first: per figure the difference, what it costs in power and range, and a sentence.

mod directions;
mod figures;
mod named;
mod sentence;
mod together;

pub use directions::{At, Directions, directions};
pub use figures::{
    ComparedChannel, ComparedFigure, FigureVerdict, range_factor, range_factor_free_space,
    share_lost_percent,
};
pub use named::OPTION_NAMES;
pub use together::{reduce_together, reduce_together_watched};

use crate::error::{Error, Result};
use crate::figure::headline;
use crate::finding::Finding;
use crate::reduce::{ChannelResult, Reduction, Verdict};
use crate::unit::{Frequency, level, sum};
use crate::watch::{Span, Unwatched, Watch};

/// A run under its name.
#[derive(Clone, Copy, Debug)]
pub struct Named<'a> {
    /// The run's name.
    pub name: &'a str,
    /// Its reduction.
    pub reduction: &'a Reduction,
}

/// Options of a comparison.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct CompareOptions {
    /// Exponent of the log-distance path-loss model for a second range factor; 2 is free space.
    pub path_loss_exponent: Option<f64>,
}

impl CompareOptions {
    /// Checks that numbers are in range.
    ///
    /// # Errors
    /// Usage.
    pub fn check(&self) -> Result<()> {
        if self
            .path_loss_exponent
            .is_some_and(|n| !(n > 0.0 && n <= 10.0))
        {
            return Err(
                Error::usage("the path-loss exponent is a number above 0, at most 10")
                    .hint("free space is 2"),
            );
        }
        Ok(())
    }
}

/// One run compared with the reference.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct TestResult {
    /// The run's name.
    pub name: String,
    /// The result in one plain sentence.
    pub sentence: String,
    /// Name of the figure that the comparison stands or falls with.
    pub headline: String,
    /// By frequency that both have.
    pub channels: Vec<ComparedChannel>,
    /// Over all frequencies.
    pub summary: Vec<ComparedFigure>,
    /// Remarks on the comparison.
    pub findings: Vec<Finding>,
}

/// Compares each test with the reference.
///
/// All runs must have been reduced with one rule, one window form and one fill method: see [`reduce_together`].
///
/// # Errors
/// - Usage: no test; runs of different quantities, rules, window forms or fill methods; a path-loss exponent not above 0;
/// - Domain: no frequency in common.
pub fn compare(
    reference: Named<'_>,
    tests: &[Named<'_>],
    options: CompareOptions,
) -> Result<Vec<TestResult>> {
    compare_watched(reference, tests, options, &Unwatched)
}

/// As [`compare`], with progress told to a watch, which can stop it.
///
/// # Errors
/// As [`compare`]; Cancelled: the watch said stop.
pub fn compare_watched(
    reference: Named<'_>,
    tests: &[Named<'_>],
    options: CompareOptions,
    watch: &dyn Watch,
) -> Result<Vec<TestResult>> {
    if tests.is_empty() {
        return Err(Error::usage(
            "a comparison needs a reference and at least one test",
        ));
    }
    options.check()?;
    let span = Span::whole(watch);
    let mut results = Vec::with_capacity(tests.len());
    for (n, test) in tests.iter().enumerate() {
        results.push(one(reference, *test, options, span.nth(n, tests.len()))?);
    }
    span.at(1.0, "compared")?;
    Ok(results)
}

fn one(
    reference: Named<'_>,
    test: Named<'_>,
    options: CompareOptions,
    span: Span<'_>,
) -> Result<TestResult> {
    let (a, b) = (reference.reduction, test.reduction);
    if a.quantity != b.quantity {
        return Err(Error::usage(format!(
            "{} holds {} and {} holds {}: they cannot be compared",
            reference.name, a.quantity, test.name, b.quantity
        )));
    }
    if (a.rule, a.edges, a.fill) != (b.rule, b.edges, b.fill) {
        return Err(Error::usage(
            "the runs were reduced with different rules, window forms or fill methods",
        )
        .hint("reduce them together"));
    }
    let mut findings = Vec::new();
    let pairs = matching(reference, test, &mut findings)?;
    let same_grid = a.sphere.grid() == b.sphere.grid();
    if !same_grid {
        findings.push(
            Finding::note(
                "grids-differ",
                format!("{} and {} were measured on different grids: only figures are compared, not directions", reference.name, test.name),
            )
            .advice("measure both on one grid to see where they differ"),
        );
    }
    let mut channels = Vec::with_capacity(pairs.len());
    for (n, (i, j)) in pairs.iter().enumerate() {
        span.nth(n, pairs.len()).at(0.0, "comparing")?;
        let (ra, rb) = (&a.channels[*i], &b.channels[*j]);
        channels.push(ComparedChannel {
            frequency_hz: rb.frequency_hz.or(ra.frequency_hz),
            figures: figures::compare_all(
                &ra.figures,
                &rb.figures,
                options,
                is_noise_limited(ra) || is_noise_limited(rb),
            ),
            directions: if same_grid {
                directions(at(a, *i), at(b, *j))
            } else {
                None
            },
        });
    }
    // Averages over different channels are no comparison.
    let whole = pairs.len() == a.channels.len() && pairs.len() == b.channels.len();
    let summary = if whole {
        let limited = [a, b].iter().any(|r| r.verdict == Verdict::NoiseLimited);
        figures::compare_all(&a.summary, &b.summary, options, limited)
    } else {
        Vec::new()
    };
    let sentence = sentence::of(reference.name, test.name, a, b, &channels, &summary);
    Ok(TestResult {
        name: test.name.to_string(),
        sentence,
        headline: headline(a.quantity).to_string(),
        channels,
        summary,
        findings,
    })
}

impl TestResult {
    /// The largest loss of the headline figure over the frequencies, dB: positive where the test is worse. Where a figure has no
    /// value, the least loss that its bounds allow; `None` where nothing is known.
    #[must_use]
    pub fn largest_drop_db(&self) -> Option<f64> {
        let drop = |f: &ComparedFigure| {
            if figures::is_sensitivity(&f.name) {
                f.difference_db.or(f.difference_lower_db)
            } else {
                f.difference_db.or(f.difference_upper_db).map(|d| -d)
            }
        };
        let channels = self
            .channels
            .iter()
            .filter_map(|c| c.figure(&self.headline));
        channels.filter_map(drop).reduce(f64::max)
    }
}

/// A frequency of a reduction, with its floor.
fn at(reduction: &Reduction, frequency: usize) -> At<'_> {
    let channel = reduction.channels.get(frequency);
    let noise = channel.and_then(|c| c.noise.as_ref());
    let floors: Vec<f64> = noise
        .iter()
        .flat_map(|n| &n.floor)
        .map(|f| level::w_from_dbm(f.floor_dbm))
        .collect();
    At {
        sphere: &reduction.sphere,
        frequency,
        floor_w: sum::in_order(&floors),
    }
}

/// True where noise limits a channel.
fn is_noise_limited(channel: &ChannelResult) -> bool {
    let noise = channel.noise.as_ref();
    noise.is_some_and(|n| n.verdict == Verdict::NoiseLimited)
}

/// Pairs of channel indices with one frequency.
fn matching(
    reference: Named<'_>,
    test: Named<'_>,
    findings: &mut Vec<Finding>,
) -> Result<Vec<(usize, usize)>> {
    let (a, b) = (&reference.reduction.channels, &test.reduction.channels);
    let mut pairs = Vec::new();
    for (i, channel) in a.iter().enumerate() {
        if let Some(j) = b
            .iter()
            .position(|other| other.frequency_hz == channel.frequency_hz)
        {
            pairs.push((i, j));
        }
    }
    if let ([one], [other]) = (a.as_slice(), b.as_slice())
        && pairs.is_empty()
        && (one.frequency_hz.is_none() || other.frequency_hz.is_none())
    {
        findings.push(
            Finding::warning(
                "frequency-unknown",
                "one of the two runs names no frequency; they are compared as one channel",
            )
            .advice("say the frequency with --frequency-mhz"),
        );
        return Ok(vec![(0, 0)]);
    }
    if pairs.is_empty() {
        let list = |of: &[crate::reduce::ChannelResult]| {
            let names: Vec<String> = of.iter().map(|c| frequency_text(c.frequency_hz)).collect();
            names.join(", ")
        };
        return Err(Error::domain(format!(
            "{} ({}) and {} ({}) have no frequency in common",
            reference.name,
            list(a),
            test.name,
            list(b)
        ))
        .hint("compare runs of the same channels"));
    }
    if pairs.len() < a.len() || pairs.len() < b.len() {
        findings.push(Finding::warning(
            "frequencies-differ",
            format!(
                "only the {} frequencies that {} and {} share are compared",
                pairs.len(),
                reference.name,
                test.name
            ),
        ));
    }
    Ok(pairs)
}

/// A frequency for people.
pub(crate) fn frequency_text(frequency: Option<Frequency>) -> String {
    frequency.map_or_else(|| "unknown frequency".to_string(), |f| f.to_string())
}
