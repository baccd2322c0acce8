//! Reductions: a run becomes figures.

use crate::array::check;
use crate::error::SpheresumError;
use crate::figure::SpheresumFigure;
use crate::finding::{SpheresumFinding, element};
use crate::handle::{Tagged, free, get, get_optional, handle, peek, prepare, put};
use crate::noise::SpheresumNoise;
use crate::options::SpheresumOptions;
use crate::panic::guard;
use crate::readings::no_such;
use crate::run::SpheresumRun;
use crate::string::{Lazy, SpheresumText, required_text};
use crate::words::number_of;
use spheresum_core::Error;
use spheresum_core::document::{Run, reduction_csv, reduction_json};
use spheresum_core::figure;
use spheresum_core::reduce::{Reduction, Verdict};
use spheresum_core::table::{Skeleton, SkeletonCase, typed_options};
use std::ffi::c_char;

/// Verdict on a run: noise does not matter.
pub const SPHERESUM_VERDICT_CLEAR: i32 = 0;
/// Verdict on a run: noise mattered and was corrected.
pub const SPHERESUM_VERDICT_CORRECTED: i32 = 1;
/// Verdict on a run: noise limits the result.
pub const SPHERESUM_VERDICT_NOISE_LIMITED: i32 = 2;
/// Verdict on a run: noise was not assessed.
pub const SPHERESUM_VERDICT_NOT_ASSESSED: i32 = 3;

struct Channel {
    frequency_hz: Option<f64>,
    figures: Vec<SpheresumFigure>,
    noise: Option<SpheresumNoise>,
}

pub(crate) struct Inner {
    /// Without figures and findings, which stand beside it.
    run: Run,
    channels: Vec<Channel>,
    summary: Vec<SpheresumFigure>,
    findings: Vec<SpheresumFinding>,
    texts: [Lazy; 2],
}

/// Result of a reduction. The caller owns it; free with spheresum_reduction_free(), unless it is borrowed from a comparison.
pub struct SpheresumReduction(Tagged<Inner>);
handle!(
    SpheresumReduction,
    Inner,
    "spheresum_reduction",
    b"sph-redu"
);

impl SpheresumReduction {
    /// Figures and findings are moved, not copied: most callers read a few and free the rest.
    pub(crate) fn of(mut run: Run) -> Self {
        let reduction = &mut run.reduction;
        let channels = reduction
            .channels
            .iter_mut()
            .map(|c| Channel {
                frequency_hz: c.frequency_hz.map(|f| f.hz()),
                figures: SpheresumFigure::all(std::mem::take(&mut c.figures)),
                noise: c.noise.clone().map(SpheresumNoise::of),
            })
            .collect();
        Self::make(Inner {
            channels,
            summary: SpheresumFigure::all(std::mem::take(&mut reduction.summary)),
            findings: SpheresumFinding::all(std::mem::take(&mut reduction.findings)),
            texts: Default::default(),
            run,
        })
    }

    /// The run with all that a document has.
    pub(crate) fn whole(&self) -> Run {
        self.inner().whole()
    }
}

impl Inner {
    fn whole(&self) -> Run {
        let mut run = self.run.clone();
        for (channel, kept) in run.reduction.channels.iter_mut().zip(&self.channels) {
            channel.figures = kept.figures.iter().map(SpheresumFigure::figure).collect();
        }
        run.reduction.summary = self.summary.iter().map(SpheresumFigure::figure).collect();
        run.reduction.findings = self
            .findings
            .iter()
            .map(SpheresumFinding::finding)
            .collect();
        run
    }

    fn reduction(&self) -> &Reduction {
        &self.run.reduction
    }
}

/// Reduces a run.
///
/// @param run in: the run; it is not changed, and may be freed afterwards
/// @param options in, optional: options; NULL: the defaults
/// @param out_reduction out: the result; the caller owns it; free with spheresum_reduction_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT, _USAGE, _DOMAIN (the readings cannot be reduced as asked), _LIMIT, _CANCELLED or _INTERNAL. A figure that the data
/// cannot support is no failure: it has the state SPHERESUM_FIGURE_REFUSED
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduce(
    run: *const SpheresumRun,
    options: *const SpheresumOptions,
    out_reduction: *mut *mut SpheresumReduction,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_reduction", out_reduction)?;
            let run = get("run", run)?;
            let options = get_optional("options", options)?;
            let reduced = run.reduce(options)?;
            put(out_reduction, SpheresumReduction::of(reduced));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// What can be said of the run as a whole.
///
/// @param reduction in: a reduction, or NULL
/// @return SPHERESUM_VERDICT_...; _NOT_ASSESSED for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_verdict(reduction: *const SpheresumReduction) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }.map_or(SPHERESUM_VERDICT_NOT_ASSESSED, |r| {
        verdict(r.reduction().verdict)
    })
}

/// The number of a verdict.
pub(crate) fn verdict(verdict: Verdict) -> i32 {
    match verdict {
        Verdict::Clear => SPHERESUM_VERDICT_CLEAR,
        Verdict::Corrected => SPHERESUM_VERDICT_CORRECTED,
        Verdict::NoiseLimited => SPHERESUM_VERDICT_NOISE_LIMITED,
        _ => SPHERESUM_VERDICT_NOT_ASSESSED,
    }
}

/// What was integrated.
///
/// @param reduction in: a reduction, or NULL
/// @return SPHERESUM_QUANTITY_...; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_quantity(reduction: *const SpheresumReduction) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }.map_or(0, |r| number_of(r.reduction().quantity))
}

/// Name of the run.
///
/// @param reduction in: a reduction, or NULL
/// @return text, never NULL; borrowed, valid as long as the reduction
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_name(
    reduction: *const SpheresumReduction,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }.map_or(c"".as_ptr(), |r| r.texts[0].get(&r.run.name))
}

/// Rule of whole-sphere figures, such as sine.
///
/// @param reduction in: a reduction, or NULL
/// @return text, never NULL; borrowed, valid as long as the reduction
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_rule(
    reduction: *const SpheresumReduction,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }.map_or(c"".as_ptr(), |r| {
        r.texts[1].get(r.reduction().rule.as_str())
    })
}

/// Number of frequencies.
///
/// @param reduction in: a reduction, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_channel_count(
    reduction: *const SpheresumReduction,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }.map_or(0, |r| r.channels.len())
}

/// Frequency of a channel. They are in ascending order, an unknown one first.
///
/// @param reduction in: a reduction, or NULL
/// @param channel in: 0..count-1
/// @param out_frequency_hz out, optional: the frequency, Hz; not written where it is not known
/// @return 1 where the frequency is known, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_frequency_hz(
    reduction: *const SpheresumReduction,
    channel: usize,
    out_frequency_hz: *mut f64,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    let found = unsafe { peek(reduction) }.and_then(|r| r.channels.get(channel)?.frequency_hz);
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { crate::finding::known(found, out_frequency_hz) }
}

/// Number of figures of a channel.
///
/// @param reduction in: a reduction, or NULL
/// @param channel in: 0..count-1
/// @return the number; 0 for NULL and where there is no such channel
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_figure_count(
    reduction: *const SpheresumReduction,
    channel: usize,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }
        .and_then(|r| r.channels.get(channel))
        .map_or(0, |c| c.figures.len())
}

/// A figure of a channel.
///
/// @param reduction in: a reduction, or NULL
/// @param channel in: 0..count-1
/// @param index in: 0..count-1
/// @return the figure, borrowed, valid as long as the reduction; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_figure(
    reduction: *const SpheresumReduction,
    channel: usize,
    index: usize,
) -> *const SpheresumFigure {
    // SAFETY: NULL or a live object, as the header asks.
    let found = unsafe { peek(reduction) }.and_then(|r| r.channels.get(channel));
    element(found.map(|c| &c.figures), index)
}

/// A figure of a channel by its name.
///
/// @param reduction in: a reduction
/// @param channel in: 0..count-1
/// @param name in: its name, such as trp
/// @param out_figure out: the figure, borrowed, valid as long as the reduction
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE (no such channel or figure) or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_find(
    reduction: *const SpheresumReduction,
    channel: usize,
    name: *const c_char,
    out_figure: *mut *const SpheresumFigure,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        check("out_figure", out_figure)?;
        // SAFETY: pointers are NULL or as the header asks; the output was checked.
        unsafe {
            out_figure.write(std::ptr::null());
            let reduction = get("reduction", reduction)?;
            let name = required_text("name", name)?;
            let count = reduction.channels.len();
            let channel = reduction
                .channels
                .get(channel)
                .ok_or_else(|| no_such("channel", channel, count))?;
            let found = channel.figures.iter().find(|f| f.name() == name);
            let found = found.ok_or_else(|| no_figure(name, &channel.figures))?;
            out_figure.write(std::ptr::from_ref(found));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

fn no_figure(name: &str, there: &[SpheresumFigure]) -> SpheresumError {
    let names: Vec<&str> = there.iter().map(SpheresumFigure::name).collect();
    let message = match figure::specs().iter().any(|s| s.name == name) {
        true => format!("the figure {name} does not apply to these readings, or was not asked for"),
        false => format!("there is no figure {name}"),
    };
    SpheresumError::of(spheresum_core::Group::Usage, &message)
        .field("name")
        .hint(&format!(
            "the figures of this result are {}",
            names.join(", ")
        ))
}

/// What noise does to a channel, where a floor was taken off.
///
/// @param reduction in: a reduction, or NULL
/// @param channel in: 0..count-1
/// @return the report, borrowed, valid as long as the reduction; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_noise(
    reduction: *const SpheresumReduction,
    channel: usize,
) -> *const SpheresumNoise {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }
        .and_then(|r| r.channels.get(channel)?.noise.as_ref())
        .map_or(std::ptr::null(), std::ptr::from_ref)
}

/// Number of figures over all frequencies.
///
/// @param reduction in: a reduction, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_summary_count(
    reduction: *const SpheresumReduction,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }.map_or(0, |r| r.summary.len())
}

/// A figure over all frequencies.
///
/// @param reduction in: a reduction, or NULL
/// @param index in: 0..count-1
/// @return the figure, borrowed, valid as long as the reduction; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_summary(
    reduction: *const SpheresumReduction,
    index: usize,
) -> *const SpheresumFigure {
    // SAFETY: NULL or a live object, as the header asks.
    element(unsafe { peek(reduction) }.map(|r| &r.summary), index)
}

/// Number of findings.
///
/// @param reduction in: a reduction, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_finding_count(
    reduction: *const SpheresumReduction,
) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(reduction) }.map_or(0, |r| r.findings.len())
}

/// A finding.
///
/// @param reduction in: a reduction, or NULL
/// @param index in: 0..count-1
/// @return the finding, borrowed, valid as long as the reduction; NULL where there is none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_finding(
    reduction: *const SpheresumReduction,
    index: usize,
) -> *const SpheresumFinding {
    // SAFETY: NULL or a live object, as the header asks.
    element(unsafe { peek(reduction) }.map(|r| &r.findings), index)
}

/// The whole result as a JSON document, schema spheresum.reduction/1, with its history.
///
/// @param reduction in: a reduction
/// @param out_text out: the document; the caller owns it; free with spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_json(
    reduction: *const SpheresumReduction,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_text", out_text)?;
            let reduction = get("reduction", reduction)?;
            let text = reduction_json(&[reduction.whole()])?;
            put(out_text, SpheresumText::of(&text));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// All figures as comma-separated values, one a row below a heading.
///
/// @param reduction in: a reduction
/// @param out_text out: the table; the caller owns it; free with spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_csv(
    reduction: *const SpheresumReduction,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_text", out_text)?;
            let reduction = get("reduction", reduction)?;
            let text = reduction_csv(&[reduction.whole()]);
            put(out_text, SpheresumText::of(&text));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// True for an option of reading or reducing, as the command has them.
fn is_option_of_command(name: &str) -> bool {
    let of_command = ["layout", "layouts", "range-path"].contains(&name);
    of_command || crate::options::is_name(name)
}

/// A table to start from: a row a figure with what the reduction gave, each marked as a snapshot, for spheresum_table_check_file(). Values and sources of one's own go in
/// their place.
///
/// @param reduction in: a reduction
/// @param files in: the files of the run, from the folder of the table, with commas between them; path\@theta, path\@phi or path\@868.3 (MHz) where a file does not say so
/// itself
/// @param options in: the options that the run was read and reduced with, as they are typed behind the command: --name value and so on; empty: none
/// @param source in: what the rows come from, such as a version and a date
/// @param out_text out: the table; the caller owns it; free with spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE (also options that are none) or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_skeleton(
    reduction: *const SpheresumReduction,
    files: *const c_char,
    options: *const c_char,
    source: *const c_char,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_text", out_text)?;
            let run = get("reduction", reduction)?.whole();
            let files = required_text("files", files)?.split(',');
            let files: Vec<String> = files.map(|f| f.trim().to_string()).collect();
            let options = typed_options(required_text("options", options)?)
                .map_err(|e| SpheresumError::from(e).field("options"))?;
            if let Some((name, _)) = options.iter().find(|o| !is_option_of_command(&o.0)) {
                let error = Error::usage(format!("there is no option {name:?}"));
                return Err(SpheresumError::from(error).field("options"));
            }
            let text = Skeleton {
                title: &format!("figures of {}", run.name),
                source: required_text("source", source)?,
                cases: &[SkeletonCase {
                    name: &run.name,
                    files: &files,
                    options: &options,
                    reduction: &run.reduction,
                }],
            }
            .table()?;
            put(out_text, SpheresumText::of(&text));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Frees a reduction that the caller owns, and all that was borrowed from it.
///
/// @param reduction in: a reduction that was not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_reduction_free(reduction: *mut SpheresumReduction) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(reduction) };
}
