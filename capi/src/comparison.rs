//! Comparisons: runs side by side with a reference.

use crate::array::required;
use crate::difference::SpheresumDifference;
use crate::error::SpheresumError;
use crate::finding::{SpheresumFinding, element, known};
use crate::handle::{Tagged, free, get, get_optional, handle, peek, prepare, put};
use crate::options::{SpheresumOptions, comparing, reducing, remember};
use crate::panic::guard;
use crate::reduction::SpheresumReduction;
use crate::run::SpheresumRun;
use crate::status::{SPHERESUM_STATUS_CANCELLED, SPHERESUM_STATUS_INTERNAL};
use crate::string::{Lazy, SpheresumText};
use crate::watch::Part;
use spheresum_core::Group;
use spheresum_core::compare::{Named, TestResult, compare_watched, reduce_together_watched};
use spheresum_core::document::{Run, comparison_csv, comparison_json};
use std::ffi::c_char;

/// Most runs of a comparison.
const MOST_RUNS: usize = 1000;

struct Channel {
    frequency_hz: Option<f64>,
    differences: Vec<SpheresumDifference>,
}

struct Test {
    result: TestResult,
    channels: Vec<Channel>,
    summary: Vec<SpheresumDifference>,
    findings: Vec<SpheresumFinding>,
    texts: [Lazy; 3],
}

impl Test {
    fn of(result: TestResult) -> Self {
        let channels = result
            .channels
            .iter()
            .map(|c| Channel {
                frequency_hz: c.frequency_hz.map(|f| f.hz()),
                differences: SpheresumDifference::all(&c.figures),
            })
            .collect();
        Self {
            channels,
            summary: SpheresumDifference::all(&result.summary),
            findings: SpheresumFinding::all(result.findings.clone()),
            texts: Default::default(),
            result,
        }
    }
}

pub(crate) struct Inner {
    /// The reference first.
    reductions: Vec<SpheresumReduction>,
    tests: Vec<Test>,
}

/// Runs compared with a reference. The caller owns it; free with spheresum_comparison_free().
pub struct SpheresumComparison(Tagged<Inner>);
handle!(
    SpheresumComparison,
    Inner,
    "spheresum_comparison",
    b"sph-comp"
);

/// Reduces runs by the same rule and compares all others with the first.
///
/// @param runs in: count runs; the first is the reference; they are not changed, and may be freed afterwards
/// @param count in: number of runs, at least 2
/// @param options in, optional: options of reducing, and path-loss-exponent; NULL: the defaults
/// @param out_comparison out: the result; the caller owns it; free with spheresum_comparison_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _DOMAIN, _LIMIT, _CANCELLED or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_compare(
    runs: *const *const SpheresumRun,
    count: usize,
    options: *const SpheresumOptions,
    out_comparison: *mut *mut SpheresumComparison,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_comparison", out_comparison)?;
            if !(2..=MOST_RUNS).contains(&count) {
                return Err(SpheresumError::of(
                    Group::Usage,
                    &format!("{count} runs were given, and a comparison has 2 to {MOST_RUNS}"),
                )
                .field("count"));
            }
            let mut all = Vec::new();
            for (index, run) in required("runs", runs, count)?.iter().enumerate() {
                all.push(get("runs", *run).map_err(|e| e.element(index))?);
            }
            let options = get_optional("options", options)?;
            put(
                out_comparison,
                SpheresumComparison::make(compared(&all, options)?),
            );
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// The error of a run, which counts as a line; what was stopped is no fault of one.
fn of_run(error: SpheresumError, index: usize) -> SpheresumError {
    match error.code() {
        SPHERESUM_STATUS_CANCELLED => error,
        _ => error.element(index),
    }
}

fn compared(
    runs: &[&crate::run::Inner],
    options: Option<&crate::options::Inner>,
) -> Result<Inner, SpheresumError> {
    let given = reducing(options)?;
    let mut prepared = Vec::with_capacity(runs.len());
    let whole = crate::options::watch(options);
    let part = |from, to| Part { whole, from, to };
    for (index, run) in runs.iter().enumerate() {
        let (done, all) = (index as f64, runs.len() as f64);
        let watch = part(0.4 * done / all, 0.4 * (done + 1.0) / all);
        let mut one = run.prepare(&given, &watch).map_err(|e| of_run(e, index))?;
        remember(options, &mut one);
        prepared.push(one);
    }
    let reduced = reduce_together_watched(prepared, &given, &part(0.4, 0.9))?;
    let documents: Vec<Run> = runs
        .iter()
        .zip(reduced)
        .map(|(run, reduction)| run.document(reduction))
        .collect();
    let named: Vec<Named<'_>> = documents
        .iter()
        .map(|r| Named {
            name: &r.name,
            reduction: &r.reduction,
        })
        .collect();
    let Some((reference, tests)) = named.split_first() else {
        return Err(SpheresumError::of(
            Group::Usage,
            "there is nothing to compare",
        ));
    };
    let tests = compare_watched(*reference, tests, comparing(options), &part(0.9, 1.0))?;
    Ok(Inner {
        tests: tests.into_iter().map(Test::of).collect(),
        reductions: documents.into_iter().map(SpheresumReduction::of).collect(),
    })
}

/// Number of runs compared with the reference.
///
/// @param comparison in: a comparison, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_test_count(
    comparison: *const SpheresumComparison,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(comparison) }.map_or(0, |c| c.tests.len())
}

/// Reduction of a run.
///
/// @param comparison in: a comparison, or NULL
/// @param run in: 0 for the reference, then the tests
/// @return the reduction, borrowed, valid as long as the comparison; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_reduction(
    comparison: *const SpheresumComparison,
    run: usize,
) -> *const SpheresumReduction {
    // SAFETY: NULL or a live object, as the header asks.
    element(unsafe { peek(comparison) }.map(|c| &c.reductions), run)
}

/// # Safety
/// NULL or a live object.
unsafe fn test<'a>(comparison: *const SpheresumComparison, test: usize) -> Option<&'a Test> {
    // SAFETY: as the caller says.
    unsafe { peek(comparison) }?.tests.get(test)
}

/// Name of a test.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: 0..count-1
/// @return text, never NULL; borrowed, valid as long as the comparison
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_name(
    comparison: *const SpheresumComparison,
    index: usize,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { test(comparison, index) }.map_or(c"".as_ptr(), |t| t.texts[0].get(&t.result.name))
}

/// The result of a test in one plain sentence.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: 0..count-1
/// @return text, never NULL; borrowed, valid as long as the comparison
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_sentence(
    comparison: *const SpheresumComparison,
    index: usize,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { test(comparison, index) }.map_or(c"".as_ptr(), |t| t.texts[1].get(&t.result.sentence))
}

/// Name of the figure that a test stands or falls with.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: 0..count-1
/// @return text, never NULL; borrowed, valid as long as the comparison
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_headline(
    comparison: *const SpheresumComparison,
    index: usize,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { test(comparison, index) }.map_or(c"".as_ptr(), |t| t.texts[2].get(&t.result.headline))
}

/// By how much a test is worse than the reference at its worst frequency, in that figure; a bound where there is no value.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: 0..count-1
/// @param out_drop_db out, optional: the drop, dB; not written where it is not known
/// @return 1 where the drop is known, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_largest_drop_db(
    comparison: *const SpheresumComparison,
    index: usize,
    out_drop_db: *mut f64,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    let drop = unsafe { test(comparison, index) }.and_then(|t| t.result.largest_drop_db());
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { known(drop, out_drop_db) }
}

/// Number of frequencies that a test and the reference share.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: 0..count-1
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_channel_count(
    comparison: *const SpheresumComparison,
    index: usize,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { test(comparison, index) }.map_or(0, |t| t.channels.len())
}

/// Frequency of a channel.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: test, 0..count-1
/// @param channel in: 0..count-1
/// @param out_frequency_hz out, optional: the frequency, Hz; not written where it is not known
/// @return 1 where the frequency is known, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_frequency_hz(
    comparison: *const SpheresumComparison,
    index: usize,
    channel: usize,
    out_frequency_hz: *mut f64,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    let found =
        unsafe { test(comparison, index) }.and_then(|t| t.channels.get(channel)?.frequency_hz);
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { known(found, out_frequency_hz) }
}

/// Number of figures that are compared in a channel.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: test, 0..count-1
/// @param channel in: 0..count-1
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_difference_count(
    comparison: *const SpheresumComparison,
    index: usize,
    channel: usize,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { test(comparison, index) }
        .and_then(|t| t.channels.get(channel))
        .map_or(0, |c| c.differences.len())
}

/// A figure of a channel, compared.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: test, 0..count-1
/// @param channel in: 0..count-1
/// @param figure in: 0..count-1
/// @return the difference, borrowed, valid as long as the comparison; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_difference(
    comparison: *const SpheresumComparison,
    index: usize,
    channel: usize,
    figure: usize,
) -> *const SpheresumDifference {
    // SAFETY: NULL or a live object, as the header asks.
    let found = unsafe { test(comparison, index) }.and_then(|t| t.channels.get(channel));
    element(found.map(|c| &c.differences), figure)
}

/// Number of figures over all frequencies that are compared.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: test, 0..count-1
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_summary_count(
    comparison: *const SpheresumComparison,
    index: usize,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { test(comparison, index) }.map_or(0, |t| t.summary.len())
}

/// A figure over all frequencies, compared.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: test, 0..count-1
/// @param figure in: 0..count-1
/// @return the difference, borrowed, valid as long as the comparison; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_summary(
    comparison: *const SpheresumComparison,
    index: usize,
    figure: usize,
) -> *const SpheresumDifference {
    // SAFETY: NULL or a live object, as the header asks.
    element(
        unsafe { test(comparison, index) }.map(|t| &t.summary),
        figure,
    )
}

/// Number of findings on a test.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: test, 0..count-1
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_finding_count(
    comparison: *const SpheresumComparison,
    index: usize,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { test(comparison, index) }.map_or(0, |t| t.findings.len())
}

/// A finding on a test.
///
/// @param comparison in: a comparison, or NULL
/// @param index in: test, 0..count-1
/// @param finding in: 0..count-1
/// @return the finding, borrowed, valid as long as the comparison; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_finding(
    comparison: *const SpheresumComparison,
    index: usize,
    finding: usize,
) -> *const SpheresumFinding {
    // SAFETY: NULL or a live object, as the header asks.
    element(
        unsafe { test(comparison, index) }.map(|t| &t.findings),
        finding,
    )
}

/// The whole comparison as a JSON document, schema spheresum.comparison/1, with all reductions.
///
/// @param comparison in: a comparison
/// @param out_text out: the document; the caller owns it; free with spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_json(
    comparison: *const SpheresumComparison,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_text", out_text)?;
            let comparison = get("comparison", comparison)?;
            let (reference, runs, tests) = comparison.parts()?;
            let text = comparison_json(&reference, &tests, &runs, &[])?;
            put(out_text, SpheresumText::of(&text));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// All compared figures as comma-separated values, one a row below a heading.
///
/// @param comparison in: a comparison
/// @param out_text out: the table; the caller owns it; free with spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_csv(
    comparison: *const SpheresumComparison,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_text", out_text)?;
            let comparison = get("comparison", comparison)?;
            let (reference, _, tests) = comparison.parts()?;
            let text = comparison_csv(&reference.name, &tests);
            put(out_text, SpheresumText::of(&text));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

impl Inner {
    /// Reference, other runs and results, as documents take them.
    fn parts(&self) -> Result<(Run, Vec<Run>, Vec<TestResult>), SpheresumError> {
        let mut runs = self.reductions.iter().map(SpheresumReduction::whole);
        let reference = runs.next().ok_or_else(|| {
            SpheresumError::new(SPHERESUM_STATUS_INTERNAL, "the comparison has no reference")
        })?;
        let tests = self.tests.iter().map(|t| t.result.clone()).collect();
        Ok((reference, runs.collect(), tests))
    }
}

/// Frees a comparison, and all that was borrowed from it.
///
/// @param comparison in: a comparison that was not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_comparison_free(comparison: *mut SpheresumComparison) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(comparison) };
}
