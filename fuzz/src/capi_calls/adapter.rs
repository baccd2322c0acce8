//! An adapter of the caller's, which takes the text that it reads for calls of the sink.

use super::bytes::Bytes;
use super::objects::check;
use spheresum::*;
use std::ffi::{c_char, c_void};
use std::ptr::null_mut;

/// First byte of a text of the adapter.
const MINE: u8 = b'@';

/// Adds the adapter, with a table that is whole or not.
///
/// # Safety
/// The formats are live, NULL, or another live object.
pub(super) unsafe fn add(bytes: &mut Bytes<'_>, formats: *mut SpheresumFormats) {
    let how = bytes.u8();
    let (id, name) = (bytes.text(), bytes.text());
    let mut destroyed = 0_u32;
    let adapter = SpheresumAdapter {
        size: match how & 3 {
            0 => usize::from(bytes.u8() % 49),
            _ => size_of::<SpheresumAdapter>(),
        },
        id: match how & 4 {
            0 => id.as_ptr(),
            _ => c"fuzz".as_ptr(),
        },
        name: name.as_ptr(),
        look: (how & 8 == 0).then_some(look),
        read: (how & 16 == 0).then_some(read),
        // Data that does not outlive this call must not be destroyed after it.
        destroy: None,
    };
    let mut error = null_mut();
    // SAFETY: as the caller says; the table lives, and its functions use no data.
    let status = unsafe {
        spheresum_formats_add(
            formats,
            &raw const adapter,
            (&raw mut destroyed).cast(),
            &raw mut error,
        )
    };
    check(status, error);
}

unsafe extern "C" fn look(
    _: *const c_char,
    text: *const c_char,
    length: usize,
    reason: *mut c_char,
    capacity: usize,
    _: *mut c_void,
) -> i32 {
    // SAFETY: as the header says: `length` bytes, and room for `capacity`.
    let text = unsafe { std::slice::from_raw_parts(text.cast::<u8>(), length) };
    let mut bytes = Bytes::of(text);
    if bytes.u8() != MINE {
        return SPHERESUM_CONFIDENCE_NONE;
    }
    let (confidence, length) = (i32::from(bytes.u8() % 5), usize::from(bytes.u8()));
    for at in 0..length.min(capacity) {
        // SAFETY: as above.
        unsafe { reason.add(at).write(bytes.u8().cast_signed()) };
    }
    confidence
}

unsafe extern "C" fn read(
    _: *const c_char,
    text: *const c_char,
    length: usize,
    sink: *mut SpheresumSink,
    _: *mut c_void,
) -> i32 {
    // SAFETY: as the header says.
    let text = unsafe { std::slice::from_raw_parts(text.cast::<u8>(), length) };
    let mut bytes = Bytes::of(text);
    for _ in 0..64 {
        if bytes.is_empty() {
            break;
        }
        let mut error = null_mut();
        // SAFETY: the sink of this call.
        let status = unsafe {
            match bytes.u8() % 6 {
                0 => spheresum_sink_begin(sink, i32::from(bytes.u8() % 11), &raw mut error),
                1 | 2 => spheresum_sink_add(
                    sink,
                    i32::from(bytes.u8() % 5) - 1,
                    f64::from(bytes.u8()) * 1e7,
                    f64::from(bytes.u8() % 16) * 15.0,
                    f64::from(bytes.u8() % 32) * 15.0,
                    f64::from(bytes.u8()) - 128.0,
                    i32::from(bytes.u8() % 3),
                    bytes.u8() % 4,
                    u64::from(bytes.u8()),
                    &raw mut error,
                ),
                3 => {
                    let (message, hint) = (bytes.text(), bytes.text());
                    spheresum_sink_fail(
                        sink,
                        i32::from(bytes.u8()) * 100,
                        message.as_ptr(),
                        hint.as_ptr(),
                        u64::from(bytes.u8()),
                        0,
                        &raw mut error,
                    )
                }
                4 => {
                    let (code, message) = (bytes.text(), bytes.text());
                    spheresum_sink_remark(
                        sink,
                        i32::from(bytes.u8() % 4),
                        code.as_ptr(),
                        message.as_ptr(),
                        u64::from(bytes.u8()),
                        &raw mut error,
                    )
                }
                _ => {
                    let name = bytes.text();
                    spheresum_sink_option(sink, name.as_ptr());
                    SPHERESUM_STATUS_OK
                }
            }
        };
        if !check(status, error) && bytes.u8() & 1 == 1 {
            return status;
        }
    }
    SPHERESUM_STATUS_OK
}
