//! Reference tables: the outside values that the library is checked by.

use crate::array::check;
use crate::error::SpheresumError;
use crate::handle::{prepare, put};
use crate::panic::guard;
use crate::readings::no_such;
use crate::string::{SpheresumText, c_string};
use spheresum_core::table::{self, builtin, judge, run_rust};
use std::ffi::{CString, c_char};
use std::fmt::Write as _;
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
        let parsed = table::parse(name, text)?;
        let (mut passed, mut failed, mut report) = (0, 0, String::new());
        for case in &parsed.cases {
            let outcome = run_rust(case);
            for row in &case.rows {
                let judgement = judge(row, &outcome);
                let word = match judgement.passed {
                    true => "pass",
                    false => "fail",
                };
                passed += usize::from(judgement.passed);
                failed += usize::from(!judgement.passed);
                let message = judgement.message.replace(['\t', '\n'], " ");
                let _ = writeln!(report, "{word}\t{name}:{}\t{message}", row.line);
            }
        }
        // SAFETY: pointers are NULL or as the header asks, and the first two were checked.
        unsafe {
            if !out_text.is_null() {
                put(out_text, SpheresumText::of(&report));
            }
            out_passed.write(passed);
            out_failed.write(failed);
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}
