//! Adapters in shared libraries of their own.

use super::{CAdapter, SpheresumAdapter};
use crate::error::SpheresumError;
use crate::formats::SpheresumFormats;
use crate::handle::get_mut;
use crate::panic::guard;
use crate::string::required_text;
use libloading::Library;
use spheresum_core::{Error, Group, Place};
use std::ffi::{c_char, c_void};
use std::path::Path;
use std::sync::Arc;

/// Version of the tables between this library and plug-ins. A plug-in says which it was made for.
pub const SPHERESUM_PLUGIN_VERSION: u32 = 1;

/// What a plug-in holds: the only symbol that it exports is a function spheresum_plugin that gives one, which lives as long as the plug-in is loaded.
#[repr(C)]
pub struct SpheresumPlugin {
    /// SPHERESUM_PLUGIN_VERSION of the header that it was compiled with.
    pub version: u32,
    /// Number of adapters, 1..64.
    pub count: u32,
    /// The adapters, one behind the other, each as large as its size says.
    pub adapters: *const SpheresumAdapter,
    /// Data of the adapters.
    pub user: *mut c_void,
}

/// The function that a plug-in exports under the name spheresum_plugin.
type Entry = unsafe extern "C" fn() -> *const SpheresumPlugin;

/// Most adapters of a plug-in.
const MOST: u32 = 64;

/// Adds the adapters of a plug-in, all of them or none: a shared library that exports spheresum_plugin, a function without parameters that returns a const spheresum_plugin_table *.
/// It stays loaded as long as the formats live. Loading runs its code: load what you trust.
///
/// @param formats in: the formats
/// @param path in: its path, UTF-8, with a separator in it: no folders are searched
/// @param out_error out, optional: NULL on success, otherwise an object that the caller owns; free with spheresum_error_free()
/// @return SPHERESUM_STATUS_OK, _USAGE (no path, no plug-in, or an id that is taken), _UNSUPPORTED (made for another version), _IO or _INTERNAL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_formats_load(
    formats: *mut SpheresumFormats,
    path: *const c_char,
    out_error: *mut *mut SpheresumError,
) -> i32 {
    let body = || {
        // SAFETY: pointers are NULL or as the header asks.
        unsafe {
            let formats = get_mut("formats", formats)?;
            let path = required_text("path", path)?;
            // All of them or none.
            let mut registry = formats.registry.clone();
            for adapter in loaded(path)? {
                registry.add(adapter)?;
            }
            formats.registry = registry;
            formats.grew();
        }
        Ok(())
    };
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { guard(out_error, body) }
}

/// The adapters of a plug-in.
///
/// # Safety
/// The file is a library whose code may be run, and whose table is as the header asks.
unsafe fn loaded(path: &str) -> Result<Vec<CAdapter>, SpheresumError> {
    let place = || Place::in_source(path);
    if Path::new(path).components().nth(1).is_none() {
        return Err(Error::usage(format!("{path:?} is no path of a plug-in"))
            .hint("give it with its folder, such as ./plugin.so: no folders are searched")
            .at(place())
            .into());
    }
    // SAFETY: as the caller says.
    let library = unsafe { Library::new(path) }.map_err(|e| {
        Error::io(
            format!("{path} cannot be loaded: {e}"),
            std::io::Error::other(e),
        )
        .hint("check the path, and that it was built for this machine")
        .at(place())
    })?;
    // SAFETY: the type is that of the header.
    let entry = unsafe { library.get::<Entry>(b"spheresum_plugin\0") }
        .map(|e| *e)
        .map_err(|_| {
            Error::usage("the library exports no spheresum_plugin")
                .hint("a plug-in exports one function: const spheresum_plugin_table *spheresum_plugin(void)")
                .at(place())
        })?;
    // SAFETY: as the caller says.
    let table = unsafe { entry() };
    crate::array::check("the table of the plug-in", table)?;
    // SAFETY: not NULL and aligned; it lives as long as the plug-in, as the header asks.
    let table = unsafe { &*table };
    if table.version != SPHERESUM_PLUGIN_VERSION {
        return Err(Error::unsupported(format!(
            "the plug-in was made for version {} of the tables, and this library has {SPHERESUM_PLUGIN_VERSION}",
            table.version
        ))
        .hint("compile it with the header of this library")
        .at(place())
        .into());
    }
    if !(1..=MOST).contains(&table.count) {
        return Err(SpheresumError::of(
            Group::Usage,
            &format!("the plug-in says that it has {} adapters", table.count),
        ));
    }
    let library = Arc::new(library);
    let mut adapters = Vec::new();
    let mut at = table.adapters.cast::<u8>();
    for _ in 0..table.count {
        crate::array::check("adapters", at.cast::<SpheresumAdapter>())?;
        // SAFETY: as many tables as the plug-in says, each as large as its size.
        unsafe {
            let one = at.cast::<SpheresumAdapter>();
            adapters.push(CAdapter::of(one, table.user, Some(Arc::clone(&library)))?);
            at = at.add((&raw const (*one).size).read());
        }
    }
    Ok(adapters)
}
