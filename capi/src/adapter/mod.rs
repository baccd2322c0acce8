//! Adapters in C: a table of functions, with data of their own.

mod plugin;
mod sink;

pub use plugin::*;
pub use sink::*;

use crate::array::check;
use crate::error::SpheresumError;
use crate::formats::SpheresumFormats;
use crate::handle::get_mut;
use crate::panic::guard;
use crate::string::{c_string, required_text};
use libloading::Library;
use spheresum_core::intake::{
    Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Error, Group, Limits, Place};
use std::ffi::{CStr, c_char, c_void};
use std::sync::Arc;

/// Most bytes of a reason, with the zero byte.
const REASON: usize = 256;

/// An adapter of a text format, in C. Fields that are added later are 0 in tables that do not have them: size says which there are.
///
/// The functions may be called from any thread, several at a time. They must return: no exception and no longjmp may leave them. They may call the sink
/// that they are given, and no other function with an object that is in use.
#[repr(C)]
#[derive(Clone, Copy)]
pub struct SpheresumAdapter {
    /// sizeof(spheresum_adapter) of the caller.
    pub size: usize,
    /// Id: small letters, digits and hyphens. Copied.
    pub id: *const c_char,
    /// What the format is, in a few words. Copied.
    pub name: *const c_char,
    /// Looks at the head of a text and says how sure it is that the text is its own: SPHERESUM_CONFIDENCE_... The text is UTF-8, and not ended by a zero byte.
    /// It may write why to reason, which has room for capacity bytes with the zero byte at the end.
    pub look: Option<
        unsafe extern "C" fn(
            name: *const c_char,
            text: *const c_char,
            length: usize,
            reason: *mut c_char,
            capacity: usize,
            user: *mut c_void,
        ) -> i32,
    >,
    /// Reads a text and hands its readings to the sink, which is valid during the call only. Returns SPHERESUM_STATUS_OK, or the status of what
    /// spheresum_sink_fail() was told. A reading that the sink refuses makes the read fail, whatever is returned.
    pub read: Option<
        unsafe extern "C" fn(
            name: *const c_char,
            text: *const c_char,
            length: usize,
            sink: *mut SpheresumSink,
            user: *mut c_void,
        ) -> i32,
    >,
    /// Called once, when the formats that hold the adapter are freed, or where adding it fails. May be NULL. Adapters of a plug-in share their data:
    /// at most one of them frees it.
    pub destroy: Option<unsafe extern "C" fn(user: *mut c_void)>,
}

/// Fields up to and with read have to be there.
const LEAST: usize = std::mem::offset_of!(SpheresumAdapter, destroy);
/// A table that says that it is larger than this was not filled in.
const LARGEST: usize = 4096;

/// The caller's data of an adapter.
struct User {
    data: *mut c_void,
    destroy: Option<unsafe extern "C" fn(*mut c_void)>,
}

// SAFETY: the header says that the functions, which alone touch the data, may be called from any thread, several at a time.
unsafe impl Send for User {}
// SAFETY: as above.
unsafe impl Sync for User {}

impl Drop for User {
    fn drop(&mut self) {
        if let Some(destroy) = self.destroy {
            // SAFETY: called once, with the caller's own data.
            unsafe { destroy(self.data) };
        }
    }
}

type LookCall = unsafe extern "C" fn(
    *const c_char,
    *const c_char,
    usize,
    *mut c_char,
    usize,
    *mut c_void,
) -> i32;
type ReadCall = unsafe extern "C" fn(
    *const c_char,
    *const c_char,
    usize,
    *mut SpheresumSink,
    *mut c_void,
) -> i32;

/// An adapter in C, as core knows them. The order of the fields is that in which they go: the library last.
struct CAdapter {
    description: Description,
    look: LookCall,
    read: ReadCall,
    user: User,
    /// The shared library that the functions lie in.
    _library: Option<Arc<Library>>,
}

impl CAdapter {
    /// Checks a table.
    ///
    /// # Safety
    /// `table` is NULL or points to a table whose size is true.
    unsafe fn of(
        table: *const SpheresumAdapter,
        data: *mut c_void,
        library: Option<Arc<Library>>,
    ) -> Result<Self, SpheresumError> {
        check("adapter", table)?;
        // SAFETY: the first field is there, as the caller says.
        let size = unsafe { (&raw const (*table).size).read() };
        let usage = |message: String| SpheresumError::of(Group::Usage, &message).field("adapter");
        let most = size_of::<SpheresumAdapter>();
        if size < LEAST {
            return Err(
                usage(format!("an adapter of {size} bytes is less than {LEAST}"))
                    .hint("set size to sizeof(spheresum_adapter)"),
            );
        }
        if size > LARGEST {
            return Err(
                usage(format!("an adapter of {size} bytes is more than {LARGEST}"))
                    .hint("set size to sizeof(spheresum_adapter)"),
            );
        }
        let mut whole = SpheresumAdapter {
            size,
            id: std::ptr::null(),
            name: std::ptr::null(),
            look: None,
            read: None,
            destroy: None,
        };
        // SAFETY: as many bytes as both have; a table of the caller's is plain pointers, all zero where it ends.
        unsafe {
            std::ptr::copy_nonoverlapping(
                table.cast::<u8>(),
                (&raw mut whole).cast::<u8>(),
                size.min(most),
            );
        }
        // From here on an error destroys the data.
        let user = User {
            data,
            destroy: whole.destroy,
        };
        if size > most {
            // SAFETY: the caller says that the table has `size` bytes.
            let rest =
                unsafe { std::slice::from_raw_parts(table.cast::<u8>().add(most), size - most) };
            if rest.iter().any(|b| *b != 0) {
                return Err(usage(
                    "the adapter has functions that this library does not know".to_string(),
                )
                .hint("it was compiled with a newer header: use a newer library"));
            }
        }
        // SAFETY: NULL or texts, as the header asks.
        let (id, name) = unsafe {
            (
                required_text("id", whole.id)?,
                required_text("name", whole.name)?,
            )
        };
        let (Some(look), Some(read)) = (whole.look, whole.read) else {
            return Err(usage(format!("the adapter {id} has no look or no read")));
        };
        Ok(Self {
            description: Description::new(id, name, Yield::Readings),
            look,
            read,
            user,
            _library: library,
        })
    }
}

impl Adapter for CAdapter {
    fn describe(&self) -> &Description {
        &self.description
    }

    fn look(&self, head: &Head<'_>) -> Look {
        let name = c_string(head.name);
        let mut reason = [0_u8; REASON];
        // SAFETY: the table was checked; all pointers live during the call.
        let confidence = unsafe {
            (self.look)(
                name.as_ptr(),
                head.text.as_ptr().cast(),
                head.text.len(),
                reason.as_mut_ptr().cast(),
                REASON,
                self.user.data,
            )
        };
        let reason = CStr::from_bytes_until_nul(&reason).unwrap_or_default();
        let reason = reason.to_string_lossy();
        match confidence {
            crate::SPHERESUM_CONFIDENCE_MAYBE => Look::new(Confidence::Maybe, reason),
            crate::SPHERESUM_CONFIDENCE_LIKELY => Look::new(Confidence::Likely, reason),
            crate::SPHERESUM_CONFIDENCE_CERTAIN => Look::new(Confidence::Certain, reason),
            crate::SPHERESUM_CONFIDENCE_NONE => Look::new(Confidence::None, reason),
            other => Look::new(
                Confidence::None,
                format!("it said {other}, which is no confidence"),
            ),
        }
    }

    fn read(
        &self,
        source: &Source,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<Intake, Error> {
        let name = c_string(source.name());
        let text = source.text();
        let mut sink = SpheresumSink::new(source.name(), limits, options);
        // SAFETY: the table was checked; all pointers live during the call.
        let status = unsafe {
            (self.read)(
                name.as_ptr(),
                text.as_ptr().cast(),
                text.len(),
                &raw mut sink,
                self.user.data,
            )
        };
        sink.finish(status, &self.description.id, || {
            Place::in_source(source.name())
        })
    }
}

/// Adds an adapter. It takes part in detection as the library's own do, and is read with.
///
/// @param formats in: the formats
/// @param adapter in: the table, which is copied
/// @param user in, optional: data of the adapter, handed to its functions; owned by the formats from now on. Where the call fails, destroy has
/// been called, unless adapter is NULL or its size is wrong
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE (a table that lacks something, or an id that is taken) or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_add(
    formats: *mut SpheresumFormats,
    adapter: *const SpheresumAdapter,
    user: *mut c_void,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let adapter = CAdapter::of(adapter, user, None)?;
            let formats = get_mut("formats", formats)?;
            formats.registry.add(adapter)?;
            formats.grew();
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}
