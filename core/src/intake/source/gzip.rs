//! Files that are compressed with gzip (RFC 1952), told by their first two bytes.

use crate::error::{Error, Result};
use crate::limits::Limits;
use crate::place::Place;

/// How every gzip file begins.
const MAGIC: [u8; 2] = [0x1F, 0x8B];

/// True where bytes begin as a gzip file does.
pub(in crate::intake) fn is_gzip(bytes: &[u8]) -> bool {
    bytes.starts_with(&MAGIC)
}

/// The name of a file without the ending `.gz`.
pub(super) fn bare_name(name: &str) -> &str {
    match name
        .len()
        .checked_sub(3)
        .and_then(|n| name.split_at_checked(n))
    {
        Some((bare, ending)) if !bare.is_empty() && ending.eq_ignore_ascii_case(".gz") => bare,
        _ => name,
    }
}

/// What the compressed bytes hold: at most `limits.max_bytes`, all members one after the other.
///
/// # Errors
/// - Input: damaged or cut data, or something behind them; the place is the byte of the compressed file;
/// - Limit: more than `limits.max_bytes`;
/// - Unsupported: compressed twice, or a build without the feature `gzip`.
pub(super) fn unpack(name: &str, bytes: &[u8], limits: &Limits) -> Result<Vec<u8>> {
    let unpacked = members(name, bytes, limits)?;
    if is_gzip(&unpacked) {
        return Err(
            Error::unsupported("the file is compressed twice (gzip in gzip)")
                .hint("decompress it once first")
                .at(Place::in_source(name)
                    .with_line(1)
                    .with_column(1)
                    .with_byte(0)),
        );
    }
    Ok(unpacked)
}

#[cfg(not(feature = "gzip"))]
fn members(name: &str, _bytes: &[u8], _limits: &Limits) -> Result<Vec<u8>> {
    Err(Error::unsupported("the file is compressed (gzip)")
        .hint("decompress it first, or build spheresum-core with the feature gzip")
        .at(Place::in_source(name)
            .with_line(1)
            .with_column(1)
            .with_byte(0)))
}

/// Member by member, not all in one: so it is known where in the file each ends.
#[cfg(feature = "gzip")]
fn members(name: &str, bytes: &[u8], limits: &Limits) -> Result<Vec<u8>> {
    use flate2::bufread::GzDecoder;
    use std::io::Read;
    let mut unpacked = Vec::new();
    let mut rest = bytes;
    while !rest.is_empty() {
        let behind = bytes.len() - rest.len();
        if !is_gzip(rest) {
            return Err(Error::input(format!(
                "the compressed data end at byte {behind} of {}, and something else follows",
                bytes.len()
            ))
            .hint("get the file again, or decompress it and check its end")
            .at(in_file(name, behind)));
        }
        // One byte more than is allowed is enough to know.
        let room = limits.max_bytes - unpacked.len() as u64;
        let mut member = GzDecoder::new(rest).take(room.saturating_add(1));
        if let Err(cause) = member.read_to_end(&mut unpacked) {
            let at = bytes.len() - member.get_ref().get_ref().len();
            return Err(broken(cause, at).at(in_file(name, at)));
        }
        if unpacked.len() as u64 > limits.max_bytes {
            return Err(too_large(name, limits));
        }
        rest = member.into_inner().into_inner();
    }
    Ok(unpacked)
}

/// The error of a compressed file that holds more than is allowed.
pub(in crate::intake) fn too_large(name: &str, limits: &Limits) -> Error {
    Error::limit(format!(
        "decompressed, the file is larger than {} bytes",
        limits.max_bytes
    ))
    .hint("raise the limit on bytes, or split the file")
    .at(Place::in_source(name))
}

#[cfg(feature = "gzip")]
fn in_file(name: &str, at: usize) -> Place {
    Place::in_source(name).with_byte(at as u64)
}

#[cfg(feature = "gzip")]
fn broken(cause: std::io::Error, at: usize) -> Error {
    use std::io::ErrorKind;
    let error = match cause.kind() {
        ErrorKind::UnexpectedEof => Error::input(format!(
            "the compressed file is cut short: it ends after {at} bytes"
        ))
        .hint("get the whole file"),
        ErrorKind::OutOfMemory => {
            Error::limit("the decompressed file does not fit into memory").hint("split the file")
        }
        _ => Error::input(format!("the compressed data are damaged before byte {at}"))
            .hint("get the file again; `gzip -t FILE` tests one"),
    };
    error.caused_by(cause)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lose_their_ending() {
        let pairs = [
            ("a.csv.gz", "a.csv"),
            ("A.CSV.GZ", "A.CSV"),
            ("a.csv", "a.csv"),
            (".gz", ".gz"),
            ("gz", "gz"),
            ("é€", "é€"),
            ("€.gz", "€"),
        ];
        for (name, bare) in pairs {
            assert_eq!(bare_name(name), bare);
        }
    }
}
