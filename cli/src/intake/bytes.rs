//! Bytes of a file or of standard input, under a limit that holds before the first is read.

use spheresum_core::{Error, Limits, Place, Result};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The path that means standard input.
pub const STDIN: &str = "-";

/// All bytes of a file.
///
/// # Errors
/// Io; Limit: more than `limits.max_bytes`.
pub fn read(path: &Path, limits: &Limits) -> Result<Vec<u8>> {
    let name = path.to_string_lossy();
    let fail = |e: std::io::Error| Error::io(format!("{name} cannot be read"), e);
    if path.as_os_str() == STDIN {
        return capped(std::io::stdin().lock(), 0, &name, limits);
    }
    let file = File::open(path).map_err(fail)?;
    let about = file.metadata().map_err(fail)?;
    if about.is_dir() {
        return Err(
            Error::new(spheresum_core::Group::Io, format!("{name} is a folder"))
                .hint("name the files in it"),
        );
    }
    if about.is_file() && about.len() > limits.max_bytes {
        return Err(too_large(&name, limits));
    }
    capped(file, about.len(), &name, limits)
}

/// Reads at most one byte more than is allowed, which is enough to know.
fn capped(from: impl Read, expected: u64, name: &str, limits: &Limits) -> Result<Vec<u8>> {
    let fail = |e: std::io::Error| Error::io(format!("{name} cannot be read"), e);
    let mut bytes = Vec::new();
    let room = usize::try_from(expected.min(limits.max_bytes)).unwrap_or(0);
    bytes
        .try_reserve(room)
        .map_err(|e| Error::limit(format!("{name} does not fit into memory")).caused_by(e))?;
    from.take(limits.max_bytes.saturating_add(1))
        .read_to_end(&mut bytes)
        .map_err(fail)?;
    if bytes.len() as u64 > limits.max_bytes {
        return Err(too_large(name, limits));
    }
    Ok(bytes)
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
        let error = capped(endless, 0, "x", &limits).unwrap_err();
        assert_eq!(error.group(), spheresum_core::Group::Limit);
        let claimed = capped(&b"abc"[..], u64::MAX, "x", &limits);
        assert_eq!(claimed.unwrap(), b"abc");
    }
}
