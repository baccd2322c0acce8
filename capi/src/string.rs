//! Texts in and out.

use crate::array::check;
use crate::error::SpheresumError;
use crate::handle::{Tagged, handle, peek};
use spheresum_core::Group;
use std::borrow::Cow;
use std::ffi::{CStr, CString, c_char};
use std::sync::OnceLock;

/// A text that a caller owns. Free with spheresum_text_free().
pub struct SpheresumText(Tagged<CString>);
handle!(SpheresumText, CString, "spheresum_text", b"sph-text");

impl SpheresumText {
    pub(crate) fn of(text: &str) -> Self {
        Self::make(c_string(text))
    }
}

/// The text, UTF-8, with a zero byte at its end.
///
/// @param text in: a text, or NULL
/// @return the characters, never NULL, empty for NULL; borrowed, valid until the text is freed
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_text_data(text: *const SpheresumText) -> *const c_char {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(text) }.map_or(c"".as_ptr(), |t| t.as_ptr())
}

/// Number of bytes of a text, without the zero byte at its end.
///
/// @param text in: a text, or NULL
/// @return the number; 0 for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_text_length(text: *const SpheresumText) -> usize {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(text) }.map_or(0, |t| t.as_bytes().len())
}

/// Frees a text.
///
/// @param text in: a text that was not freed yet, or NULL, which does nothing
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_text_free(text: *mut SpheresumText) {
    // SAFETY: NULL or a live object that nobody uses any more, as the header asks.
    unsafe { crate::handle::free(text) };
}

/// Text for C. A zero byte would end it early, so it becomes a replacement character.
pub(crate) fn c_string(text: &str) -> CString {
    CString::new(text.replace('\0', "\u{fffd}")).unwrap_or_default()
}

/// A text of core for a caller that sets options by name: what the command calls `--NAME` is the option NAME here.
pub(crate) fn by_option(text: &str) -> Cow<'_, str> {
    if !text.contains("--") {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let mut rest = text;
    while let Some((before, after)) = rest.split_once("--") {
        let end = after
            .find(|c: char| !(c.is_ascii_lowercase() || c == '-'))
            .unwrap_or(after.len());
        let name = after[..end].trim_end_matches('-');
        out.push_str(before);
        out.push_str(if crate::options::is_name(name) {
            "option "
        } else {
            "--"
        });
        rest = after;
    }
    out.push_str(rest);
    Cow::Owned(out)
}

/// A text of a result, made when somebody asks for it first; empty where there is none.
#[derive(Debug, Default)]
pub(crate) struct Lazy(OnceLock<CString>);

impl Lazy {
    pub(crate) fn get(&self, text: &str) -> *const c_char {
        if text.is_empty() {
            return c"".as_ptr();
        }
        self.0.get_or_init(|| c_string(text)).as_ptr()
    }
}

/// The caller's text.
///
/// # Safety
/// `pointer` is NULL or points to a text that ends in a zero byte and that nobody changes while the reference lives.
pub(crate) unsafe fn required_text<'a>(
    name: &str,
    pointer: *const c_char,
) -> Result<&'a str, SpheresumError> {
    check(name, pointer)?;
    // SAFETY: not NULL; the caller says that it ends in a zero byte.
    let text = unsafe { CStr::from_ptr(pointer) };
    text.to_str().map_err(|e| {
        SpheresumError::of(
            Group::Usage,
            &format!("{name} is not UTF-8 from byte {} on", e.valid_up_to()),
        )
        .field(name)
        .hint("texts are UTF-8; convert them from the code page of the machine")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn options_of_the_command_are_options_here() {
        for (text, here) in [
            (
                "give it with --range FILE or --range theta=DB,phi=DB",
                "give it with option range FILE or option range theta=DB,phi=DB",
            ),
            (
                "(--snap-deg) and --no-such",
                "(option snap-deg) and --no-such",
            ),
            ("a -- b--", "a -- b--"),
            ("nothing", "nothing"),
        ] {
            assert_eq!(by_option(text), here);
        }
    }

    #[test]
    fn texts_come_in_and_go_out() {
        // SAFETY: texts with a zero byte, and a live object.
        unsafe {
            assert_eq!(required_text("a", c"\xce\xb8".as_ptr()).unwrap(), "θ");
            let wrong = required_text("a", c"ab\xff".as_ptr()).unwrap_err();
            assert!(wrong.text().contains("from byte 2 on"), "{}", wrong.text());
            assert!(required_text("a", std::ptr::null()).is_err());
            let text = SpheresumText::of("a\0b");
            assert_eq!(spheresum_text_length(&raw const text), 5);
            let back = CStr::from_ptr(spheresum_text_data(&raw const text));
            assert_eq!(back.to_str().unwrap(), "a\u{fffd}b");
            assert_eq!(spheresum_text_length(std::ptr::null()), 0);
        }
    }
}
