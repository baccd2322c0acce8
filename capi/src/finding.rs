//! Findings: remarks about data.

use crate::handle::{Tagged, handle, peek};
use crate::string::{Lazy, by_option};
use spheresum_core::{Finding, Severity};
use std::ffi::c_char;

/// Severity of a finding: worth knowing.
pub const SPHERESUM_SEVERITY_NOTE: i32 = 0;
/// Severity of a finding: it may move the result.
pub const SPHERESUM_SEVERITY_WARNING: i32 = 1;
/// Severity of a finding: something that was asked for was refused.
pub const SPHERESUM_SEVERITY_REFUSAL: i32 = 2;

pub(crate) struct Inner {
    finding: Finding,
    texts: [Lazy; 5],
}

/// A remark about the data: what, where, how much, and what to do. Borrowed from the object that it is a remark on.
pub struct SpheresumFinding(Tagged<Inner>);
handle!(SpheresumFinding, Inner, "spheresum_finding", b"sph-find");

impl SpheresumFinding {
    pub(crate) fn all(findings: Vec<Finding>) -> Vec<Self> {
        let one = |finding| {
            Self::make(Inner {
                finding,
                texts: Default::default(),
            })
        };
        findings.into_iter().map(one).collect()
    }

    /// A copy of the finding.
    pub(crate) fn finding(&self) -> Finding {
        self.inner().finding.clone()
    }
}

/// Element of a list of objects, as a borrowed pointer; NULL beyond its end.
pub(crate) fn element<T>(all: Option<&Vec<T>>, index: usize) -> *const T {
    all.and_then(|a| a.get(index))
        .map_or(std::ptr::null(), std::ptr::from_ref)
}

/// How much it matters.
///
/// @param finding in: a finding, or NULL
/// @return SPHERESUM_SEVERITY_...; _NOTE for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_severity(finding: *const SpheresumFinding) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    match unsafe { peek(finding) }.map(|f| f.finding.severity) {
        Some(Severity::Warning) => SPHERESUM_SEVERITY_WARNING,
        Some(Severity::Refusal) => SPHERESUM_SEVERITY_REFUSAL,
        _ => SPHERESUM_SEVERITY_NOTE,
    }
}

/// A stable word for programs, such as repeats.
///
/// @param finding in: a finding, or NULL
/// @return text, never NULL; borrowed, valid as long as the finding
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_code(finding: *const SpheresumFinding) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(finding) }, 0, |f| &f.code)
}

/// One sentence for people.
///
/// @param finding in: a finding, or NULL
/// @return text, never NULL; borrowed, valid as long as the finding
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_message(
    finding: *const SpheresumFinding,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(finding) }, 1, |f| &f.message)
}

/// What to do about it.
///
/// @param finding in: a finding, or NULL
/// @return text, never NULL, empty where nothing is known; borrowed, valid as long as the finding
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_advice(
    finding: *const SpheresumFinding,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(finding) }, 2, |f| {
        f.advice.as_deref().unwrap_or_default()
    })
}

/// Name of the source that it stands in.
///
/// @param finding in: a finding, or NULL
/// @return text, never NULL, empty where it stands nowhere; borrowed, valid as long as the finding
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_source(
    finding: *const SpheresumFinding,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(finding) }, 3, |f| {
        f.place
            .as_ref()
            .and_then(|p| p.source.as_deref())
            .unwrap_or_default()
    })
}

/// Name of the field that it stands in.
///
/// @param finding in: a finding, or NULL
/// @return text, never NULL, empty where it has none; borrowed, valid as long as the finding
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_field(
    finding: *const SpheresumFinding,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    text(unsafe { peek(finding) }, 4, |f| {
        f.place
            .as_ref()
            .and_then(|p| p.field.as_deref())
            .unwrap_or_default()
    })
}

/// Line that it stands in, from 1.
///
/// @param finding in: a finding, or NULL
/// @return the line; 0 where it stands in none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_line(finding: *const SpheresumFinding) -> u64 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(finding) }
        .and_then(|f| f.finding.place.as_ref()?.line)
        .unwrap_or(0)
}

/// Column in that line, from 1, in characters.
///
/// @param finding in: a finding, or NULL
/// @return the column; 0 where it stands in none
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_column(finding: *const SpheresumFinding) -> u64 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(finding) }
        .and_then(|f| f.finding.place.as_ref()?.column)
        .unwrap_or(0)
}

/// What it does to the result.
///
/// @param finding in: a finding, or NULL
/// @param out_effect_db out, optional: the effect, dB; not written where it is not known
/// @return 1 where the effect is known, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_finding_effect_db(
    finding: *const SpheresumFinding,
    out_effect_db: *mut f64,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    let effect = unsafe { peek(finding) }.and_then(|f| f.finding.effect_db);
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { known(effect, out_effect_db) }
}

/// Writes a number where it is known, and says whether it is.
///
/// # Safety
/// `out` is NULL or can be written.
pub(crate) unsafe fn known(number: Option<f64>, out: *mut f64) -> i32 {
    let Some(number) = number.filter(|n| n.is_finite()) else {
        return 0;
    };
    if !out.is_null() && out.is_aligned() {
        // SAFETY: as the caller says.
        unsafe { out.write(number) };
    }
    1
}

fn text<'a>(
    inner: Option<&'a Inner>,
    which: usize,
    of: impl FnOnce(&'a Finding) -> &'a str,
) -> *const c_char {
    match inner.and_then(|i| Some((i, i.texts.get(which)?))) {
        Some((inner, lazy)) => lazy.get(&by_option(of(&inner.finding))),
        None => c"".as_ptr(),
    }
}
