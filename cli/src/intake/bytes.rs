//! The bytes of a file or of standard input, and the hash of what was read.

use sha2::{Digest, Sha256};
use spheresum_core::intake::{Feed, Source};
use spheresum_core::{Error, Group, Limits, Place, Result};
use std::cell::RefCell;
use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::rc::Rc;

/// The path that means standard input.
pub const STDIN: &str = "-";

/// The hash of the bytes that were read since a file was opened last.
#[derive(Clone, Debug, Default)]
pub struct Hash(Rc<RefCell<Sha256>>);

impl Hash {
    /// As hexadecimal digits.
    pub fn hexadecimal(&self) -> String {
        use std::fmt::Write;
        let digest = self.0.borrow().clone().finalize();
        digest.iter().fold(String::new(), |mut text, byte| {
            let _ = write!(text, "{byte:02x}");
            text
        })
    }
}

/// Bytes that are hashed as they are read.
struct Hashed<R> {
    from: R,
    hash: Hash,
}

impl<R> Hashed<R> {
    fn new(from: R, hash: &Hash) -> Self {
        *hash.0.borrow_mut() = Sha256::new();
        Self {
            from,
            hash: hash.clone(),
        }
    }
}

impl<R: Read> Read for Hashed<R> {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        let count = self.from.read(buffer)?;
        self.hash.0.borrow_mut().update(&buffer[..count]);
        Ok(count)
    }
}

/// Opens a file, whose hash is whole when it was read to its end. What cannot be opened twice is held whole.
///
/// # Errors
/// Io; Limit: more than `limits.max_bytes`; Input and Unsupported: the bytes are no text.
pub fn open(path: &Path, limits: &Limits) -> Result<(Feed<'static>, Hash)> {
    let name = path.to_string_lossy().into_owned();
    let hash = Hash::default();
    let feed = match stream(path, &name, limits)? {
        Stream::File(file, length) => {
            let (path, hash) = (path.to_path_buf(), hash.clone());
            let mut first = Some(file);
            let again = name.clone();
            let open = move || {
                let file = match first.take() {
                    Some(file) => file,
                    None => File::open(&path).map_err(|e| unreadable(&again, e))?,
                };
                Ok(Hashed::new(file, &hash))
            };
            Feed::open(&name, Some(length), open, limits)?
        }
        Stream::Once(from) => {
            let bytes = capped(Hashed::new(from, &hash), &name, limits)?;
            Feed::whole(Source::from_bytes(&name, bytes, limits)?)
        }
    };
    Ok((feed, hash))
}

/// All bytes of a file, and their hash.
///
/// # Errors
/// Io; Limit: more than `limits.max_bytes`.
pub fn read(path: &Path, limits: &Limits) -> Result<(Vec<u8>, Hash)> {
    let name = path.to_string_lossy();
    let hash = Hash::default();
    let from: Box<dyn Read> = match stream(path, &name, limits)? {
        Stream::File(file, _) => Box::new(file),
        Stream::Once(from) => from,
    };
    let bytes = capped(Hashed::new(from, &hash), &name, limits)?;
    Ok((bytes, hash))
}

/// Where bytes come from.
enum Stream {
    /// A file of so many bytes, that can be opened again.
    File(File, u64),
    /// Standard input, a pipe and the like.
    Once(Box<dyn Read>),
}

fn stream(path: &Path, name: &str, limits: &Limits) -> Result<Stream> {
    if path.as_os_str() == STDIN {
        return Ok(Stream::Once(Box::new(std::io::stdin().lock())));
    }
    let fail = |e| unreadable(name, e);
    let file = File::open(path).map_err(fail)?;
    let about = file.metadata().map_err(fail)?;
    if about.is_dir() {
        return Err(
            Error::new(Group::Io, format!("{name} is a folder")).hint("name the files in it")
        );
    }
    if about.is_file() && about.len() > limits.max_bytes {
        return Err(too_large(name, limits));
    }
    Ok(match about.is_file() {
        true => Stream::File(file, about.len()),
        false => Stream::Once(Box::new(file)),
    })
}

/// Reads at most one byte more than is allowed, which is enough to know.
fn capped(from: impl Read, name: &str, limits: &Limits) -> Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(limits.max_bytes.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(|e| unreadable(name, e))?;
    if bytes.len() as u64 > limits.max_bytes {
        return Err(too_large(name, limits));
    }
    Ok(bytes)
}

fn unreadable(name: &str, cause: std::io::Error) -> Error {
    Error::io(format!("{name} cannot be read"), cause)
}

fn too_large(name: &str, limits: &Limits) -> Error {
    Error::limit(format!(
        "the file is larger than {} bytes",
        limits.max_bytes
    ))
    .hint("split the file, by frequency for example")
    .at(Place::in_source(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stream_is_cut_at_the_limit() {
        let limits = Limits::small();
        let endless = std::io::repeat(b'x');
        let error = capped(endless, "x", &limits).unwrap_err();
        assert_eq!(error.group(), Group::Limit);
    }

    #[test]
    fn a_hash_is_what_others_make_it() {
        // FIPS 180-2, appendix B.1.
        let hash = Hash::default();
        // What was read before is not in it.
        for bytes in [&b"x"[..], b"abc"] {
            capped(Hashed::new(bytes, &hash), "x", &Limits::small()).unwrap();
        }
        assert_eq!(
            hash.hexadecimal(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
