//! Formats: the adapters that files are read with.

use crate::array::required;
use crate::error::SpheresumError;
use crate::handle::{Tagged, free, get_mut, handle, peek, prepare, put};
use crate::panic::guard;
use crate::string::{Lazy, required_text};
use spheresum_adapters::layout::{Layout, LayoutAdapter};
use spheresum_core::Error;
use spheresum_core::intake::Registry;
use std::ffi::c_char;

/// Largest text of a layout, bytes.
const MOST_LAYOUT: usize = 1 << 20;

pub(crate) struct Inner {
    pub(crate) registry: Registry,
    texts: Vec<[Lazy; 3]>,
    /// Sentences for the history on layouts, by id.
    pub(crate) sentences: Vec<(String, String)>,
}

impl Inner {
    /// Makes room for the texts of adapters that were added.
    pub(crate) fn grew(&mut self) {
        self.texts
            .resize_with(self.registry.iter().count(), Default::default);
    }

    fn text(
        &self,
        index: usize,
        which: usize,
        of: impl for<'d> FnOnce(&'d spheresum_core::intake::Description) -> &'d str,
    ) -> *const c_char {
        let adapter = self.registry.iter().nth(index);
        match adapter.zip(self.texts.get(index).and_then(|t| t.get(which))) {
            Some((adapter, lazy)) => lazy.get(of(adapter.describe())),
            None => c"".as_ptr(),
        }
    }
}

/// The formats that files are read with: adapters, and layouts that were added. The caller owns it; free with spheresum_formats_free().
pub struct SpheresumFormats(Tagged<Inner>);
handle!(SpheresumFormats, Inner, "spheresum_formats", b"sph-form");

/// All adapters that this library has.
///
/// @param out_formats out: the object; the caller owns it; free with spheresum_formats_free()
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_new(
    out_formats: *mut *mut SpheresumFormats,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            prepare("out_formats", out_formats)?;
            let mut inner = Inner {
                registry: spheresum_adapters::registry(),
                texts: Vec::new(),
                sentences: Vec::new(),
            };
            inner.grew();
            put(out_formats, SpheresumFormats::make(inner));
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Adds a layout: a TOML text that describes a format.
///
/// @param formats in: the formats
/// @param name in: name of the layout in messages, such as its file's
/// @param text in: length bytes, UTF-8
/// @param length in: number of bytes
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _INPUT (the layout is wrong; the error has its line), _USAGE (an id that is taken), _LIMIT or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_add_layout(
    formats: *mut SpheresumFormats,
    name: *const c_char,
    text: *const u8,
    length: usize,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let formats = get_mut("formats", formats)?;
            let name = required_text("name", name)?;
            if length > MOST_LAYOUT {
                return Err(Error::limit(format!(
                    "a layout of {length} bytes is more than {MOST_LAYOUT}"
                ))
                .into());
            }
            let bytes = required("text", text, length)?.to_vec();
            let layout = Layout::from_bytes(name, bytes)?;
            let id = layout.id().to_string();
            formats.registry.add(LayoutAdapter::new(layout))?;
            formats.sentences.push((id, format!("layout {name}")));
            formats.grew();
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// Number of formats.
///
/// @param formats in: formats, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_count(formats: *const SpheresumFormats) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(formats) }.map_or(0, |f| f.registry.iter().count())
}

/// Id of a format, such as delimited.
///
/// @param formats in: formats, or NULL
/// @param index in: 0..count-1
/// @return text, never NULL, empty beyond the last; borrowed, valid until formats are added or freed
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_id(
    formats: *const SpheresumFormats,
    index: usize,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(formats) }.map_or(c"".as_ptr(), |f| f.text(index, 0, |d| &d.id))
}

/// What a format is, in a few words.
///
/// @param formats in: formats, or NULL
/// @param index in: 0..count-1
/// @return text, never NULL, empty beyond the last; borrowed, valid until formats are added or freed
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_name(
    formats: *const SpheresumFormats,
    index: usize,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(formats) }.map_or(c"".as_ptr(), |f| f.text(index, 1, |d| &d.name))
}

/// Where a format is specified.
///
/// @param formats in: formats, or NULL
/// @param index in: 0..count-1
/// @return text, never NULL, empty beyond the last and where nothing is known; borrowed, valid until formats are added or freed
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_specification(
    formats: *const SpheresumFormats,
    index: usize,
) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(formats) }.map_or(c"".as_ptr(), |f| f.text(index, 2, |d| &d.specification))
}

/// Frees formats.
///
/// @param formats in: formats that were not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_free(formats: *mut SpheresumFormats) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { free(formats) };
}
