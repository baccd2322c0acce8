//! Progress of long calls, and stopping them.

use spheresum_core::watch::Watch;
use std::ffi::{CString, c_char, c_void};

/// Is told how far a call is: done runs from 0 to 1, what is a text that is valid during the call. Returns 0 to go on; anything else stops the call,
/// which then returns SPHERESUM_STATUS_CANCELLED. It is called on the thread of the call, now and then. No exception and no longjmp may leave it.
#[allow(non_camel_case_types)]
pub type spheresum_watch =
    Option<unsafe extern "C" fn(done: f64, what: *const c_char, user: *mut c_void) -> i32>;

/// A caller's watch.
#[derive(Clone, Copy)]
pub(crate) struct Caller {
    pub(crate) call: unsafe extern "C" fn(f64, *const c_char, *mut c_void) -> i32,
    pub(crate) user: *mut c_void,
}

// SAFETY: the header says that the function and its data may be used on every thread that makes a call with the options.
unsafe impl Send for Caller {}
// SAFETY: as above.
unsafe impl Sync for Caller {}

impl Watch for Caller {
    fn at(&self, done: f64, what: &str) -> bool {
        let what = CString::new(what).unwrap_or_default();
        // SAFETY: the caller's function with the caller's data, as the header asks.
        unsafe { (self.call)(done, what.as_ptr(), self.user) == 0 }
    }
}

/// A part of a call that is made of several.
pub(crate) struct Part<'w> {
    pub(crate) whole: &'w dyn Watch,
    pub(crate) from: f64,
    pub(crate) to: f64,
}

impl Watch for Part<'_> {
    fn at(&self, done: f64, what: &str) -> bool {
        // The end is met exactly.
        let at = if done >= 1.0 {
            self.to
        } else {
            self.from + (self.to - self.from) * done
        };
        self.whole.at(at, what)
    }
}
