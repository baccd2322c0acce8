//! The one way into the library: turns an outcome into a status and an error object, and a panic into INTERNAL.
//!
//! A panic must neither cross into C nor print. The runtime prints from its panic hook, so the first guarded call puts a hook of
//! its own before the one that is there: it keeps the place of a panic that happens inside a guarded call on the same thread,
//! and hands every other panic on. In the shared library the runtime is the library's own, so that no other code is touched;
//! a Rust program that links the rlib keeps its hook for its own panics.

use crate::error::SpheresumError;
use crate::status::{SPHERESUM_STATUS_INTERNAL, SPHERESUM_STATUS_OK, SPHERESUM_STATUS_USAGE};
use std::any::Any;
use std::cell::Cell;
use std::panic::{AssertUnwindSafe, PanicHookInfo, catch_unwind, set_hook, take_hook};
use std::sync::OnceLock;

/// A panic hook, as the runtime keeps it.
type Hook = Box<dyn Fn(&PanicHookInfo<'_>) + Send + Sync>;

/// The hook that was there before ours. Ours holds nothing, so that unloading the library leaves nothing behind.
static BEFORE: OnceLock<Hook> = OnceLock::new();

thread_local! {
    /// How many guarded calls this thread is in.
    static DEPTH: Cell<u32> = const { Cell::new(0) };
    /// Where the last panic inside one of them was.
    static PLACE: Cell<Option<String>> = const { Cell::new(None) };
}

/// Runs the body of a call. Writes `out_error` (NULL on success), and returns the status that belongs to it.
///
/// # Safety
/// `out_error` is NULL or can be written.
pub(crate) unsafe fn guard(
    out_error: *mut *mut SpheresumError,
    body: impl FnOnce() -> Result<(), SpheresumError>,
) -> i32 {
    if !out_error.is_aligned() {
        // There is nowhere to say why; nothing is done.
        return SPHERESUM_STATUS_USAGE;
    }
    let (status, error) = match caught(body) {
        Ok(()) => (SPHERESUM_STATUS_OK, None),
        Err(error) => (error.code(), Some(error)),
    };
    if !out_error.is_null() {
        let object = error.map_or(std::ptr::null_mut(), crate::handle::give);
        // SAFETY: not NULL and aligned, and the caller says that it can be written.
        unsafe { out_error.write(object) };
    }
    status
}

fn caught(body: impl FnOnce() -> Result<(), SpheresumError>) -> Result<(), SpheresumError> {
    install_hook();
    DEPTH.set(DEPTH.get() + 1);
    // Unwinding leaves nothing half-done behind: bodies own what they build, and write their outputs last.
    let outcome = catch_unwind(AssertUnwindSafe(body));
    DEPTH.set(DEPTH.get() - 1);
    outcome.unwrap_or_else(|payload| Err(internal(payload)))
}

fn install_hook() {
    // The hook cannot be changed by a thread that is unwinding.
    if BEFORE.get().is_some() || std::thread::panicking() {
        return;
    }
    BEFORE.get_or_init(|| {
        let before = take_hook();
        set_hook(Box::new(on_panic));
        before
    });
}

fn on_panic(info: &PanicHookInfo<'_>) {
    if DEPTH.try_with(Cell::get).is_ok_and(|depth| depth > 0) {
        let place = info.location().map(ToString::to_string);
        // Fails only while the thread ends; then the place is lost, not the error.
        let _ = PLACE.try_with(|p| p.set(place));
    } else if let Some(before) = BEFORE.get() {
        before(info);
    }
}

fn internal(payload: Box<dyn Any + Send>) -> SpheresumError {
    let what = payload
        .downcast_ref::<&str>()
        .copied()
        .or_else(|| payload.downcast_ref::<String>().map(String::as_str))
        .unwrap_or("no text");
    let place = PLACE.try_with(Cell::take).ok().flatten();
    let message = format!(
        "internal error at {}: {what}",
        place.as_deref().unwrap_or("an unknown place")
    );
    // Dropping a payload may panic again.
    std::mem::forget(payload);
    SpheresumError::new(SPHERESUM_STATUS_INTERNAL, &message)
        .hint("this is a fault of the library; please report the message")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{spheresum_error_code, spheresum_error_free, spheresum_error_message};
    use spheresum_core::Group;
    use std::ffi::CStr;
    use std::process::Command;

    /// Set for the child process that panics on purpose.
    const CHILD: &str = "SPHERESUM_TEST_PANIC_CHILD";

    fn run(body: impl FnOnce() -> Result<(), SpheresumError>) -> (i32, Option<(i32, String)>) {
        let mut error = std::ptr::null_mut();
        // SAFETY: `error` can be written; the object is live until it is freed, once.
        unsafe {
            let status = guard(&raw mut error, body);
            let seen = (!error.is_null()).then(|| {
                let text = CStr::from_ptr(spheresum_error_message(error));
                (
                    spheresum_error_code(error),
                    text.to_string_lossy().into_owned(),
                )
            });
            spheresum_error_free(error);
            (status, seen)
        }
    }

    #[test]
    fn status_and_object_agree() {
        assert_eq!(run(|| Ok(())), (0, None));
        let domain = run(|| Err(SpheresumError::of(Group::Domain, "no")));
        assert_eq!(domain, (3000, Some((3000, "no".to_string()))));
        // SAFETY: NULL is allowed.
        let without = unsafe {
            guard(std::ptr::null_mut(), || {
                Err(SpheresumError::of(Group::Limit, "no"))
            })
        };
        assert_eq!(without, 4000);
    }

    #[test]
    fn a_misaligned_error_output_is_refused_and_left_alone() {
        let mut places = [0x55_u64; 2];
        let mut ran = false;
        // SAFETY: refused by its address alone.
        let status = unsafe {
            guard(places.as_mut_ptr().byte_add(1).cast(), || {
                ran = true;
                Ok(())
            })
        };
        assert_eq!((status, ran, places), (2000, false, [0x55; 2]));
    }

    #[test]
    fn a_panic_becomes_internal_with_text_and_place() {
        let (status, seen) = run(|| panic!("planted {}", 7));
        assert_eq!(status, 9000);
        let (code, message) = seen.unwrap();
        assert_eq!(code, 9000);
        assert!(message.ends_with(": planted 7"), "{message}");
        assert!(message.contains("panic.rs:"), "{message}");
        let (status, seen) = run(|| std::panic::panic_any(7));
        assert_eq!(status, 9000);
        assert!(seen.unwrap().1.ends_with(": no text"));
    }

    #[test]
    fn a_guarded_panic_prints_nothing_and_others_still_do() {
        if std::env::var_os(CHILD).is_some() {
            assert_eq!(run(|| panic!("inside the guard")).0, 9000);
            assert!(catch_unwind(|| panic!("outside the guard")).is_err());
            let other = std::thread::spawn(|| panic!("on another thread")).join();
            assert!(other.is_err());
            return;
        }
        let child = Command::new(std::env::current_exe().unwrap())
            .args([
                "--exact",
                "panic::tests::a_guarded_panic_prints_nothing_and_others_still_do",
                "--nocapture",
            ])
            .env(CHILD, "1")
            .output()
            .unwrap();
        let printed = String::from_utf8_lossy(&child.stderr).into_owned()
            + &String::from_utf8_lossy(&child.stdout);
        assert!(child.status.success(), "{printed}");
        assert!(printed.contains("outside the guard"), "{printed}");
        assert!(printed.contains("on another thread"), "{printed}");
        assert!(!printed.contains("inside the guard"), "{printed}");
    }
}
