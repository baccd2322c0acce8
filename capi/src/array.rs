//! Arrays and outputs of the caller: checked before they are touched.

use crate::error::SpheresumError;
use spheresum_core::Group;

/// The caller's array as a slice.
///
/// # Safety
/// `pointer` is NULL, or points to `count` readable elements that nobody changes while the slice lives.
pub(crate) unsafe fn required<'a, T>(
    name: &str,
    pointer: *const T,
    count: usize,
) -> Result<&'a [T], SpheresumError> {
    check(name, pointer)?;
    if count
        .checked_mul(size_of::<T>())
        .is_none_or(|bytes| isize::try_from(bytes).is_err())
    {
        return Err(usage(
            format!("an array of {count} elements does not fit into memory"),
            "count",
        ));
    }
    // SAFETY: not NULL, aligned, not longer than isize::MAX bytes; the caller says the rest.
    Ok(unsafe { std::slice::from_raw_parts(pointer, count) })
}

/// The caller's array as a slice, or none where the pointer is NULL.
///
/// # Safety
/// As [`required`].
pub(crate) unsafe fn optional<'a, T>(
    name: &str,
    pointer: *const T,
    count: usize,
) -> Result<Option<&'a [T]>, SpheresumError> {
    if pointer.is_null() {
        return Ok(None);
    }
    // SAFETY: as the caller says.
    unsafe { required(name, pointer, count) }.map(Some)
}

/// Refuses a pointer that is NULL or not aligned.
pub(crate) fn check<T>(name: &str, pointer: *const T) -> Result<(), SpheresumError> {
    if pointer.is_null() {
        return Err(usage(format!("{name} is NULL"), name));
    }
    if !pointer.is_aligned() {
        return Err(usage(
            format!("{name} is not aligned to {} bytes", align_of::<T>()),
            name,
        ));
    }
    Ok(())
}

fn usage(message: String, field: &str) -> SpheresumError {
    SpheresumError::of(Group::Usage, &message).field(field)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bad_pointers_are_refused_before_they_are_read() {
        let values = [1.0_f64, 2.0];
        let start = values.as_ptr();
        // SAFETY: the first is sound; all others are refused by their address or length alone.
        unsafe {
            assert_eq!(required("a", start, 2).unwrap(), values);
            assert!(required::<f64>("a", std::ptr::null(), 2).is_err());
            assert!(required("a", start.byte_add(1), 1).is_err());
            assert!(required("a", start, usize::MAX).is_err());
            assert!(required("a", start, isize::MAX as usize / 8 + 1).is_err());
            assert!(
                optional::<f64>("a", std::ptr::null(), usize::MAX)
                    .unwrap()
                    .is_none()
            );
            assert!(optional("a", start.byte_add(4), 1).is_err());
        }
    }
}
