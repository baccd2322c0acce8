//! The live objects, a few of each kind.

use super::bytes::Bytes;
use spheresum::*;
use std::ffi::CStr;
use std::ptr::null_mut;

/// Objects of a kind.
const SLOTS: usize = 3;

/// The live objects of a kind; NULL where there is none.
pub(super) struct Slots<T> {
    live: [*mut T; SLOTS],
    free: unsafe extern "C" fn(*mut T),
    /// An object of another kind.
    other: *mut T,
}

impl<T> Slots<T> {
    fn new(other: *mut SpheresumError, free: unsafe extern "C" fn(*mut T)) -> Self {
        Self {
            live: [null_mut(); SLOTS],
            free,
            other: other.cast(),
        }
    }

    /// One of them, or NULL, or an object of another kind.
    pub(super) fn choose_mut(&self, bytes: &mut Bytes<'_>) -> *mut T {
        match usize::from(bytes.u8()) {
            254 => null_mut(),
            255 => self.other,
            slot => self.live[slot % SLOTS],
        }
    }

    pub(super) fn choose(&self, bytes: &mut Bytes<'_>) -> *const T {
        self.choose_mut(bytes)
    }

    pub(super) fn each(&self, look: impl Fn(*const T)) {
        self.live.iter().for_each(|one| look(*one));
    }

    /// # Safety
    /// Nobody uses the object any more.
    unsafe fn put(&mut self, slot: usize, new: *mut T) {
        // SAFETY: live or NULL, and forgotten from here on.
        unsafe { (self.free)(std::mem::replace(&mut self.live[slot % SLOTS], new)) };
    }
}

/// All live objects.
pub(super) struct Objects {
    /// An error object that stands for an object of another kind.
    other: *mut SpheresumError,
    pub(super) formats: Slots<SpheresumFormats>,
    pub(super) options: Slots<SpheresumOptions>,
    pub(super) readings: Slots<SpheresumReadings>,
    pub(super) runs: Slots<SpheresumRun>,
    pub(super) reductions: Slots<SpheresumReduction>,
    pub(super) comparisons: Slots<SpheresumComparison>,
    pub(super) files: Slots<SpheresumFile>,
    pub(super) texts: Slots<SpheresumText>,
}

impl Objects {
    pub(super) fn new() -> Self {
        let mut other = null_mut();
        // SAFETY: an output that lives.
        let status = unsafe { spheresum_options_new(null_mut(), &raw mut other) };
        assert!(status != 0 && !other.is_null());
        Self {
            other,
            formats: Slots::new(other, spheresum_formats_free),
            options: Slots::new(other, spheresum_options_free),
            readings: Slots::new(other, spheresum_readings_free),
            runs: Slots::new(other, spheresum_run_free),
            reductions: Slots::new(other, spheresum_reduction_free),
            comparisons: Slots::new(other, spheresum_comparison_free),
            files: Slots::new(other, spheresum_file_free),
            texts: Slots::new(other, spheresum_text_free),
        }
    }

    /// Frees one of them, or tries to free what is of another kind.
    ///
    /// # Safety
    /// What is in the slots is live.
    pub(super) unsafe fn free_one(&mut self, bytes: &mut Bytes<'_>) {
        let (kind, slot) = (bytes.u8(), usize::from(bytes.u8()));
        // SAFETY: as the caller says; an object of another kind is left alone.
        unsafe {
            match kind % 10 {
                0 => self.formats.put(slot, null_mut()),
                1 => self.options.put(slot, null_mut()),
                2 => self.readings.put(slot, null_mut()),
                3 => self.runs.put(slot, null_mut()),
                4 => self.reductions.put(slot, null_mut()),
                5 => self.comparisons.put(slot, null_mut()),
                6 => self.files.put(slot, null_mut()),
                7 => self.texts.put(slot, null_mut()),
                8 => spheresum_run_free(self.other.cast()),
                _ => spheresum_error_free(self.runs.live[slot % SLOTS].cast()),
            }
        }
    }

    /// # Safety
    /// What is in the slots is live.
    pub(super) unsafe fn free_all(&mut self) {
        // SAFETY: as the caller says.
        unsafe {
            for slot in 0..SLOTS {
                self.formats.put(slot, null_mut());
                self.options.put(slot, null_mut());
                self.readings.put(slot, null_mut());
                self.runs.put(slot, null_mut());
                self.reductions.put(slot, null_mut());
                self.comparisons.put(slot, null_mut());
                self.files.put(slot, null_mut());
                self.texts.put(slot, null_mut());
            }
            assert!(spheresum_error_code(self.other) != 0, "it was left alone");
            spheresum_error_free(self.other);
        }
    }
}

/// A call that makes an object; a new one takes the place of an old one.
///
/// # Safety
/// What is in the slots is live; the call writes its output as the header says.
pub(super) unsafe fn out<T>(
    slots: &mut Slots<T>,
    bytes: &mut Bytes<'_>,
    call: impl FnOnce(*mut *mut T, *mut *mut SpheresumError) -> i32,
) {
    let how = bytes.u8();
    let (mut error, mut made) = (null_mut(), slots.other);
    let output = match how {
        255 => null_mut(),
        _ => &raw mut made,
    };
    let passed = check(call(output, &raw mut error), error);
    if output.is_null() {
        assert!(!passed, "nowhere to write to");
        return;
    }
    assert!(made != slots.other, "the output was not written");
    assert_eq!(passed, !made.is_null());
    if passed {
        // SAFETY: as the caller says.
        unsafe { slots.put(usize::from(how), made) };
    }
}

/// Status and error object belong together; true for success. Frees the object.
pub(super) fn check(status: i32, error: *mut SpheresumError) -> bool {
    assert_eq!(status == SPHERESUM_STATUS_OK, error.is_null(), "{status}");
    // SAFETY: NULL or a live object, which is freed once.
    unsafe {
        let text = |text| CStr::from_ptr(text).to_str().map(str::to_string);
        let message = text(spheresum_error_message(error));
        assert!(
            (SPHERESUM_STATUS_OK..8000).contains(&status),
            "{status} {message:?}"
        );
        assert_eq!(spheresum_error_code(error), status);
        assert!(message.is_ok_and(|m| m.is_empty() == error.is_null()));
        assert!(text(spheresum_error_hint(error)).is_ok());
        assert!(text(spheresum_error_field(error)).is_ok());
        let (line, column) = (spheresum_error_line(error), spheresum_error_column(error));
        assert!(line > 0 || column == 0, "a column without a line");
        spheresum_error_free(error);
    }
    status == SPHERESUM_STATUS_OK
}
