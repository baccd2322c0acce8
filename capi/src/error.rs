//! The error object that a failed call hands to its caller.

use crate::handle::{Tagged, handle, peek};
use crate::status::of_group;
use crate::string::{by_option, c_string};
use spheresum_core::{Error, Group, Place};
use std::ffi::{CStr, CString, c_char};

/// Details of one failed call. The caller owns it; free with spheresum_error_free().
#[derive(Debug)]
pub struct SpheresumError(Tagged<Inner>);
handle!(SpheresumError, Inner, "spheresum_error", b"sph-erro");

#[derive(Debug)]
pub(crate) struct Inner {
    code: i32,
    message: CString,
    hint: CString,
    field: CString,
    line: u64,
    column: u64,
}

impl SpheresumError {
    /// An error of a status, without hint and place.
    pub(crate) fn new(code: i32, message: &str) -> Self {
        Self::make(Inner {
            code,
            message: c_string(message),
            hint: CString::default(),
            field: CString::default(),
            line: 0,
            column: 0,
        })
    }

    /// An error of a group, without hint and place.
    pub(crate) fn of(group: Group, message: &str) -> Self {
        Self::new(of_group(group), message)
    }

    /// The status.
    pub(crate) fn code(&self) -> i32 {
        self.inner().code
    }

    /// The same as core has it, at a place in a source.
    pub(crate) fn to_core(&self, place: Place) -> Error {
        let group = crate::status::group_of(self.inner().code).unwrap_or(Group::Input);
        let words = |text: &CString| text.to_string_lossy().into_owned();
        let place = match self.inner().field.is_empty() {
            true => place,
            false => place.with_field(&words(&self.inner().field)),
        };
        let error = Error::new(group, words(&self.inner().message)).at(place);
        match self.inner().hint.is_empty() {
            true => error,
            false => error.hint(words(&self.inner().hint)),
        }
    }

    /// The sentence.
    #[cfg(test)]
    pub(crate) fn text(&self) -> &str {
        self.inner().message.to_str().unwrap_or_default()
    }

    /// With what to do.
    pub(crate) fn hint(mut self, hint: &str) -> Self {
        self.0.inner.hint = c_string(hint);
        self
    }

    /// With the name of the parameter that is meant.
    pub(crate) fn field(mut self, name: &str) -> Self {
        self.0.inner.field = c_string(name);
        self
    }

    /// With the array element that is meant. Elements count as lines do, from 1.
    pub(crate) fn element(mut self, index: usize) -> Self {
        self.0.inner.line = index as u64 + 1;
        self
    }
}

impl From<Error> for SpheresumError {
    fn from(error: Error) -> Self {
        let mut this = Self::of(error.group(), &by_option(error.message()));
        if let Some(hint) = error.advice() {
            this = this.hint(&by_option(hint));
        }
        if let Some(place) = error.place() {
            let inner = &mut this.0.inner;
            inner.field = c_string(place.field.as_deref().unwrap_or_default());
            inner.line = place.line.unwrap_or(0);
            inner.column = place.column.unwrap_or(0);
        }
        this
    }
}

/// The status that the call returned.
///
/// @param error in: an error object, or NULL
/// @return the status; SPHERESUM_STATUS_OK for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_error_code(error: *const SpheresumError) -> i32 {
    // SAFETY: NULL or a live object from this library, as the header asks.
    unsafe { peek(error) }.map_or(crate::SPHERESUM_STATUS_OK, |e| e.code)
}

/// What went wrong, in one sentence.
///
/// @param error in: an error object, or NULL
/// @return text, never NULL, empty for NULL; borrowed, valid until the error is freed
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_error_message(error: *const SpheresumError) -> *const c_char {
    // SAFETY: NULL or a live object from this library, as the header asks.
    text(unsafe { peek(error) }.map(|e| &e.message))
}

/// What to do about it, where that is known.
///
/// @param error in: an error object, or NULL
/// @return text, never NULL, empty where nothing is known and for NULL; borrowed, valid until the error is freed
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_error_hint(error: *const SpheresumError) -> *const c_char {
    // SAFETY: NULL or a live object from this library, as the header asks.
    text(unsafe { peek(error) }.map(|e| &e.hint))
}

/// Name of the parameter or of the file's field that is meant, where one is.
///
/// @param error in: an error object, or NULL
/// @return text, never NULL, empty where nothing is known and for NULL; borrowed, valid until the error is freed
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_error_field(error: *const SpheresumError) -> *const c_char {
    // SAFETY: NULL or a live object from this library, as the header asks.
    text(unsafe { peek(error) }.map(|e| &e.field))
}

/// Line of the source that is meant, from 1. Where the source is arrays, elements count as lines: the index is line - 1.
///
/// @param error in: an error object, or NULL
/// @return the line; 0 where none is known and for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_error_line(error: *const SpheresumError) -> u64 {
    // SAFETY: NULL or a live object from this library, as the header asks.
    unsafe { peek(error) }.map_or(0, |e| e.line)
}

/// Column in that line, from 1, in characters. Arrays have none.
///
/// @param error in: an error object, or NULL
/// @return the column; 0 where none is known and for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_error_column(error: *const SpheresumError) -> u64 {
    // SAFETY: NULL or a live object from this library, as the header asks.
    unsafe { peek(error) }.map_or(0, |e| e.column)
}

/// Frees an error object and the texts borrowed from it.
///
/// @param error in: an error object that was not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_error_free(error: *mut SpheresumError) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks; made by the guard.
    unsafe { crate::handle::free(error) };
}

fn text(text: Option<&CString>) -> *const c_char {
    text.map_or(c"", |t: &CString| -> &CStr { t }).as_ptr()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: *const c_char) -> String {
        // SAFETY: all texts here come from the getters.
        unsafe { CStr::from_ptr(text) }
            .to_string_lossy()
            .into_owned()
    }

    #[test]
    fn an_error_of_core_arrives_whole() {
        let place = Place::in_source("a.csv")
            .with_line(3)
            .with_column(5)
            .with_field("eirp");
        let error = SpheresumError::from(
            Error::ambiguous("two\0readings")
                .hint("choose one")
                .at(place),
        );
        let pointer = crate::handle::give(error);
        // SAFETY: a live object, freed once.
        unsafe {
            assert_eq!(spheresum_error_code(pointer), 6000);
            assert_eq!(
                read(spheresum_error_message(pointer)),
                "two\u{fffd}readings"
            );
            assert_eq!(read(spheresum_error_hint(pointer)), "choose one");
            assert_eq!(read(spheresum_error_field(pointer)), "eirp");
            assert_eq!(spheresum_error_line(pointer), 3);
            assert_eq!(spheresum_error_column(pointer), 5);
            spheresum_error_free(pointer);
        }
    }

    #[test]
    fn objects_of_other_kinds_are_no_errors() {
        let text = crate::handle::give(crate::SpheresumText::of("kept"));
        let error = text.cast::<SpheresumError>();
        // SAFETY: a live object of another kind, which is left alone, and is freed once.
        unsafe {
            assert_eq!(spheresum_error_code(error), 0);
            assert_eq!(read(spheresum_error_message(error)), "");
            assert_eq!(spheresum_error_line(error.byte_add(1)), 0);
            spheresum_error_free(error);
            assert_eq!(read(crate::spheresum_text_data(text)), "kept");
            crate::spheresum_text_free(text);
        }
    }

    #[test]
    fn what_core_does_not_know_is_empty_or_0() {
        let error = SpheresumError::from(Error::limit("too much"));
        // SAFETY: a live object.
        unsafe {
            assert_eq!(read(spheresum_error_hint(&raw const error)), "");
            assert_eq!(read(spheresum_error_field(&raw const error)), "");
            assert_eq!(spheresum_error_line(&raw const error), 0);
            assert_eq!(spheresum_error_column(&raw const error), 0);
        }
    }
}
