//! Opaque objects: each begins with a tag, so that an object of another kind, or one that was freed, is mostly noticed.
//!
//! Reading a freed object is an error of the caller all the same, and memory checkers report it.

use crate::array::check;
use crate::error::SpheresumError;
use spheresum_core::Group;

/// What an object holds, behind its tag.
#[derive(Debug)]
#[repr(C)]
pub(crate) struct Tagged<T> {
    tag: u64,
    pub(crate) inner: T,
}

/// An object that C holds by a pointer.
///
/// # Safety
/// The type is laid out as its `Tagged` alone, and no other type has its tag.
pub(crate) unsafe trait Handle: Sized {
    /// What it holds.
    type Inner;
    /// Eight letters in every object of this type.
    const TAG: u64;
    /// What it is called in messages.
    const WHAT: &'static str;
}

/// Declares how an opaque type, whose only field is a [`Tagged`], is told from others.
macro_rules! handle {
    ($type:ident, $inner:ty, $what:literal, $tag:literal) => {
        const _: () = assert!(
            size_of::<$type>() == size_of::<$crate::handle::Tagged<$inner>>()
                && std::mem::offset_of!($type, 0) == 0
        );
        // SAFETY: size and offset are checked above; the tags are distinct by their letters.
        unsafe impl $crate::handle::Handle for $type {
            type Inner = $inner;
            const TAG: u64 = u64::from_be_bytes(*$tag);
            const WHAT: &'static str = $what;
        }
        impl $type {
            #[allow(dead_code)]
            pub(crate) fn inner(&self) -> &$inner {
                &self.0.inner
            }
            #[allow(dead_code)]
            pub(crate) fn make(inner: $inner) -> Self {
                Self($crate::handle::tagged::<Self>(inner))
            }
        }
    };
}
pub(crate) use handle;

/// In the tag of an object that is part of another one; no letter has this bit.
const BORROWED: u64 = 1 << 63;

/// What goes into a new object, which is part of another one unless it is [`owned`].
pub(crate) fn tagged<H: Handle>(inner: H::Inner) -> Tagged<H::Inner> {
    Tagged {
        tag: H::TAG | BORROWED,
        inner,
    }
}

/// An object that its holder may change.
pub(crate) fn owned<H: Handle>(mut object: H) -> H {
    let tagged = (&raw mut object).cast::<Tagged<H::Inner>>();
    // SAFETY: every handle is laid out as its `Tagged` alone.
    unsafe { (*tagged).tag = H::TAG };
    object
}

fn verify<H: Handle>(
    name: &str,
    pointer: *const H,
) -> Result<*const Tagged<H::Inner>, SpheresumError> {
    check(name, pointer)?;
    let tagged = pointer.cast::<Tagged<H::Inner>>();
    // SAFETY: not NULL and aligned; the caller says that it points to an object of this library, which all begin with a tag.
    let tag = unsafe { (&raw const (*tagged).tag).read() };
    if tag & !BORROWED != H::TAG {
        return Err(SpheresumError::of(
            Group::Usage,
            &format!("{name} is no object of type {}, or was freed", H::WHAT),
        )
        .field(name));
    }
    Ok(tagged)
}

/// What an object holds.
///
/// # Safety
/// `pointer` is NULL or points to an object of this library that is not freed or changed while the reference lives.
pub(crate) unsafe fn get<'a, H: Handle>(
    name: &str,
    pointer: *const H,
) -> Result<&'a H::Inner, SpheresumError> {
    let tagged = verify(name, pointer)?;
    // SAFETY: it has the tag of its type, and the caller says the rest.
    Ok(unsafe { &(*tagged).inner })
}

/// What an object holds; `None` for NULL.
///
/// # Safety
/// As [`get`].
pub(crate) unsafe fn get_optional<'a, H: Handle>(
    name: &str,
    pointer: *const H,
) -> Result<Option<&'a H::Inner>, SpheresumError> {
    if pointer.is_null() {
        return Ok(None);
    }
    // SAFETY: as the caller says.
    unsafe { get(name, pointer) }.map(Some)
}

/// What an object holds, to be changed.
///
/// # Safety
/// As [`get`], and nobody else looks at the object meanwhile.
pub(crate) unsafe fn get_mut<'a, H: Handle>(
    name: &str,
    pointer: *mut H,
) -> Result<&'a mut H::Inner, SpheresumError> {
    let tagged = verify(name, pointer.cast_const())?.cast_mut();
    // SAFETY: as in `verify`.
    if unsafe { (&raw const (*tagged).tag).read() } != H::TAG {
        return Err(SpheresumError::of(
            Group::Usage,
            &format!("{name} is borrowed from another object, and cannot be changed"),
        )
        .field(name));
    }
    // SAFETY: it has the tag of its type, and the caller says the rest.
    Ok(unsafe { &mut (*tagged).inner })
}

/// What an object holds, for getters that cannot fail: `None` for NULL and for an object of another kind.
///
/// # Safety
/// As [`get`].
pub(crate) unsafe fn peek<'a, H: Handle>(pointer: *const H) -> Option<&'a H::Inner> {
    // SAFETY: as the caller says.
    unsafe { get("object", pointer) }.ok()
}

/// A new object for C.
pub(crate) fn give<H: Handle>(object: H) -> *mut H {
    Box::into_raw(Box::new(owned(object)))
}

/// Writes a new object to an output that was checked.
///
/// # Safety
/// `out` can be written.
pub(crate) unsafe fn put<H: Handle>(out: *mut *mut H, object: H) {
    // SAFETY: as the caller says.
    unsafe { out.write(give(object)) };
}

/// Prepares the output of an object: checks it, and writes NULL.
///
/// # Safety
/// `out` is NULL or can be written.
pub(crate) unsafe fn prepare<H>(name: &str, out: *mut *mut H) -> Result<(), SpheresumError> {
    check(name, out)?;
    // SAFETY: not NULL and aligned; the caller says that it can be written.
    unsafe { out.write(std::ptr::null_mut()) };
    Ok(())
}

/// Frees an object; NULL, objects of another kind and those that are borrowed from another object are left alone.
///
/// # Safety
/// As [`get`], and nobody uses the object any more.
pub(crate) unsafe fn free<H: Handle>(pointer: *mut H) {
    let Ok(tagged) = verify("object", pointer.cast_const()) else {
        return;
    };
    // SAFETY: as in `verify`.
    if unsafe { (&raw const (*tagged).tag).read() } != H::TAG {
        return;
    }
    // SAFETY: an object of this type, made by Box::into_raw; its tag is cleared so that a second free is mostly noticed.
    unsafe {
        (&raw mut (*tagged.cast_mut()).tag).write_volatile(0);
        drop(Box::from_raw(pointer));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    pub struct One(Tagged<u32>);
    handle!(One, u32, "one", b"testone1");
    pub struct Two(Tagged<String>);
    handle!(Two, String, "two", b"testtwo2");

    #[test]
    fn kinds_are_told_apart() {
        let one = give(One::make(7));
        // SAFETY: live objects, each freed once.
        unsafe {
            assert_eq!(*get("one", one).unwrap(), 7);
            *get_mut("one", one).unwrap() = 8;
            assert_eq!(peek(one), Some(&8));
            let wrong = get::<Two>("two", one.cast_const().cast()).unwrap_err();
            assert_eq!(wrong.code(), 2000);
            assert!(
                wrong.text().contains("no object of type two"),
                "{}",
                wrong.text()
            );
            assert!(get::<One>("one", std::ptr::null()).is_err());
            assert!(
                get_optional::<One>("one", std::ptr::null())
                    .unwrap()
                    .is_none()
            );
            assert!(peek::<One>(std::ptr::null()).is_none());
            // Of another kind: left alone.
            free(one.cast::<Two>());
            assert_eq!(*get("one", one).unwrap(), 8);
            free(one);
            free(std::ptr::null_mut::<One>());
            // Part of another object: read, but neither changed nor freed.
            let mut part = One::make(9);
            assert_eq!(*get("one", &raw const part).unwrap(), 9);
            let refused = get_mut("one", &raw mut part).unwrap_err();
            assert!(refused.text().contains("borrowed"), "{}", refused.text());
            free(&raw mut part);
            assert_eq!(peek(&raw const part), Some(&9));
        }
    }
}
