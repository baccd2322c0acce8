//! The version, as text and as a number.

use std::ffi::{CStr, c_char};

const TEXT: &CStr =
    match CStr::from_bytes_with_nul(concat!(env!("CARGO_PKG_VERSION"), "\0").as_bytes()) {
        Ok(text) => text,
        Err(_) => c"",
    };

const NUMBER: i32 = 1_000_000 * decimal(env!("CARGO_PKG_VERSION_MAJOR"))
    + 1000 * decimal(env!("CARGO_PKG_VERSION_MINOR"))
    + decimal(env!("CARGO_PKG_VERSION_PATCH"));

/// Value of decimal digits, while compiling.
const fn decimal(digits: &str) -> i32 {
    let mut rest = digits.as_bytes();
    let mut value = 0;
    while let [digit, tail @ ..] = rest {
        value = 10 * value + (*digit - b'0') as i32;
        rest = tail;
    }
    value
}

/// Version of the library, such as "1.2.3". SPHERESUM_VERSION is that of the header.
///
/// @return text, never NULL; static, do not free
#[unsafe(no_mangle)]
pub extern "C" fn spheresum_version() -> *const c_char {
    TEXT.as_ptr()
}

/// Version of the library as a number: 1000000 major + 1000 minor + patch. SPHERESUM_VERSION_NUMBER is that of the header.
///
/// @return the number
#[unsafe(no_mangle)]
pub extern "C" fn spheresum_version_number() -> i32 {
    NUMBER
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn number_and_text_are_one_version() {
        let number = spheresum_version_number();
        let text = format!(
            "{}.{}.{}",
            number / 1_000_000,
            number / 1000 % 1000,
            number % 1000
        );
        assert_eq!(TEXT.to_str().unwrap(), text);
        assert_eq!(text, env!("CARGO_PKG_VERSION"));
    }

    #[test]
    fn digits_are_read_in_order() {
        assert_eq!(decimal("0"), 0);
        assert_eq!(decimal("1203"), 1203);
    }
}
