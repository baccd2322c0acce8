//! Reference tables: the outside values that the library is checked by.

use crate::array::check;
use crate::error::SpheresumError;
use crate::file::bytes_of;
use crate::formats::SpheresumFormats;
use crate::handle::{get, prepare, put};
use crate::panic::guard;
use crate::readings::no_such;
use crate::string::{SpheresumText, c_string, required_text};
use crate::table_files::reduce_case;
use spheresum_core::table::{self, Case, Outcome, builtin, judge, run_rust, run_with};
use spheresum_core::{Error, Limits, Place};
use std::ffi::{CString, c_char};
use std::fmt::Write as _;
use std::path::Path;
use std::sync::OnceLock;

/// Number of reference tables in the library.
///
/// @return the number
#[unsafe(no_mangle)]
pub extern "C" fn spheresum_table_count() -> usize {
    builtin().len()
}

/// Name of a reference table.
///
/// @param index in: 0..count-1
/// @return text, never NULL, empty beyond the last; static, do not free
#[unsafe(no_mangle)]
pub extern "C" fn spheresum_table_name(index: usize) -> *const c_char {
    static TEXTS: OnceLock<Vec<CString>> = OnceLock::new();
    let texts = TEXTS.get_or_init(|| builtin().map(|t| c_string(t.0)).collect());
    texts.get(index).map_or(c"".as_ptr(), |t| t.as_ptr())
}

/// Checks the library by a reference table: outside values with their sources, and the deviation allowed.
///
/// @param index in: 0..count-1
/// @param out_passed out: number of rows that are content
/// @param out_failed out: number of rows that are not
/// @param out_text out, optional: a line a row: pass or fail, the row's name, and what was wanted and came out, parted by tabs; the caller owns it; free with
/// spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK (also where rows fail), _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_table_check(
    index: usize,
    out_passed: *mut usize,
    out_failed: *mut usize,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        if !out_text.is_null() {
            // SAFETY: it can be written, as the header asks.
            unsafe { prepare("out_text", out_text) }?;
        }
        check("out_passed", out_passed)?;
        check("out_failed", out_failed)?;
        let (name, text) = builtin()
            .nth(index)
            .ok_or_else(|| no_such("table", index, builtin().len()))?;
        let ran = run(name, text, &mut run_rust)?;
        // SAFETY: pointers are NULL or as the header asks, and the first two were checked.
        unsafe { ran.hand_over(out_passed, out_failed, out_text) };
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Checks the library by a table of one's own. Its cases may name files, which are looked for beside it and read with the formats; options that name
/// layouts are not taken, since the formats hold them.
///
/// @param formats in: the formats; they are not changed
/// @param path in: path of the table, UTF-8; its format is that of the library's own tables
/// @param out_passed out: number of rows that are content
/// @param out_failed out: number of rows that are not
/// @param out_text out, optional: as of spheresum_table_check(); the caller owns it; free with spheresum_text_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK (also where rows fail, or a file of a case cannot be read), _INPUT (this is no table; the error has its line), _USAGE, _IO, _LIMIT
/// or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_table_check_file(
    formats: *const SpheresumFormats,
    path: *const c_char,
    out_passed: *mut usize,
    out_failed: *mut usize,
    out_text: *mut *mut SpheresumText,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        if !out_text.is_null() {
            // SAFETY: it can be written, as the header asks.
            unsafe { prepare("out_text", out_text) }?;
        }
        check("out_passed", out_passed)?;
        check("out_failed", out_failed)?;
        // SAFETY: pointers are NULL or as the header asks.
        let (formats, path) = unsafe { (get("formats", formats)?, required_text("path", path)?) };
        let bytes = bytes_of(path, &Limits::default())?;
        let text = String::from_utf8(bytes).map_err(|_| {
            Error::input("the table is not UTF-8")
                .hint("save it as UTF-8")
                .at(Place::in_source(path))
        })?;
        let folder = Path::new(path).parent().unwrap_or(Path::new(""));
        let ran = run(path, &text, &mut |case| {
            run_with(case, &mut |case, files| {
                reduce_case(case, files, folder, formats)
            })
        })?;
        // SAFETY: pointers are NULL or as the header asks, and the first two were checked.
        unsafe { ran.hand_over(out_passed, out_failed, out_text) };
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// What came of a table.
#[derive(Default)]
struct Ran {
    passed: usize,
    failed: usize,
    /// A line a row.
    report: String,
}

impl Ran {
    /// Writes what came of the table.
    ///
    /// # Safety
    /// The first two can be written; `out_text` can be, or is NULL.
    unsafe fn hand_over(
        &self,
        out_passed: *mut usize,
        out_failed: *mut usize,
        out_text: *mut *mut SpheresumText,
    ) {
        // SAFETY: as the caller says.
        unsafe {
            if !out_text.is_null() {
                put(out_text, SpheresumText::of(&self.report));
            }
            out_passed.write(self.passed);
            out_failed.write(self.failed);
        }
    }
}

fn run(name: &str, text: &str, face: &mut dyn FnMut(&Case) -> Outcome) -> Result<Ran, Error> {
    let mut ran = Ran::default();
    for case in &table::parse(name, text)?.cases {
        let outcome = face(case);
        for row in &case.rows {
            let judgement = judge(row, &outcome);
            let word = match judgement.passed {
                true => "pass",
                false => "fail",
            };
            ran.passed += usize::from(judgement.passed);
            ran.failed += usize::from(!judgement.passed);
            let message = judgement.message.replace(['\t', '\n'], " ");
            let _ = writeln!(ran.report, "{word}\t{name}:{}\t{message}", row.line);
        }
    }
    Ok(ran)
}
