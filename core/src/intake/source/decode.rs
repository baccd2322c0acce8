//! From the bytes of a file to text, or to the place where they are none.

use super::encoding::Encoding;
use crate::error::{Error, Result};
use crate::place::Place;

/// The text of bytes behind a mark of `mark` bytes, and the encoding that it turned out to have: what is not UTF-8 may be
/// Latin-1.
///
/// # Errors
/// Input with a place: a NUL character, bytes that are no text, a text that ends inside a character.
pub(super) fn decode(
    name: &str,
    bytes: Vec<u8>,
    encoding: Encoding,
    mark: usize,
) -> Result<(String, Encoding)> {
    match encoding {
        Encoding::Utf16Le => utf16(name, &bytes, mark, u16::from_le_bytes).map(|t| (t, encoding)),
        Encoding::Utf16Be => utf16(name, &bytes, mark, u16::from_be_bytes).map(|t| (t, encoding)),
        Encoding::Utf8 | Encoding::Latin1 => utf8_or_latin1(name, bytes, mark),
    }
}

fn utf8_or_latin1(name: &str, bytes: Vec<u8>, mark: usize) -> Result<(String, Encoding)> {
    // `contains` looks at many bytes at once, and finds nothing in nearly every file.
    let nul = bytes
        .contains(&0)
        .then(|| bytes.iter().position(|b| *b == 0))
        .flatten();
    if let Some(at) = nul {
        return Err(no_text(name, &bytes[mark.min(at)..at], at));
    }
    match String::from_utf8(bytes) {
        Ok(mut text) => {
            text.drain(..mark);
            Ok((text, Encoding::Utf8))
        }
        Err(fault) => {
            let at = fault.utf8_error().valid_up_to();
            let cut = fault.utf8_error().error_len().is_none();
            let bytes = fault.into_bytes();
            let place = || place_behind(name, &bytes[mark..at], at);
            if cut {
                return Err(Error::input("not UTF-8 text: it ends inside a character")
                    .hint("get the whole file, or save it as UTF-8 if an older program wrote it")
                    .at(place()));
            }
            // In Latin-1 text two bytes that happen to be a UTF-8 character are rare, such as Ã before ±.
            let mixed = mark > 0 || bytes.utf8_chunks().any(|c| !c.valid().is_ascii());
            if mixed {
                return Err(Error::input(
                    "a byte that is not UTF-8, in text that is UTF-8 elsewhere",
                )
                .hint(
                    "save the whole file as UTF-8: two encodings are mixed in it, or it is damaged",
                )
                .at(place()));
            }
            latin1(name, &bytes).map(|text| (text, Encoding::Latin1))
        }
    }
}

/// ISO 8859-1, but for 0x80 to 0x9F.
fn latin1(name: &str, bytes: &[u8]) -> Result<String> {
    let mut text = String::with_capacity(bytes.len());
    for (at, byte) in bytes.iter().enumerate() {
        match character(*byte) {
            Some(character) => text.push(character),
            None => {
                return Err(Error::input(format!(
                    "the byte 0x{byte:02X} is no text: the file is not UTF-8 and not Latin-1"
                ))
                .hint("check that the file is the measurement's text export; if it is, save it as UTF-8")
                .at(place_behind(name, text.as_bytes(), at)));
            }
        }
    }
    Ok(text)
}

/// The character of a byte of Latin-1; `None` where there is none. Control characters that no text has speak against the guess
/// that it is Latin-1 at all; the old end-of-text mark 0x1A is let through.
fn character(byte: u8) -> Option<char> {
    match byte {
        0x00..=0x08 | 0x0E..=0x19 | 0x1B..=0x1F | 0x7F => None,
        0x80..=0x9F => WINDOWS_1252
            .get(usize::from(byte - 0x80))
            .copied()
            .filter(|c| *c != UNDEFINED),
        other => Some(char::from(other)),
    }
}

const UNDEFINED: char = '\u{FFFD}';

/// Windows-1252 from 0x80 to 0x9F (the Unicode Consortium's mapping table CP1252; five are undefined).
const WINDOWS_1252: [char; 32] = [
    '\u{20AC}', UNDEFINED, '\u{201A}', '\u{0192}', '\u{201E}', '\u{2026}', '\u{2020}', '\u{2021}',
    '\u{02C6}', '\u{2030}', '\u{0160}', '\u{2039}', '\u{0152}', UNDEFINED, '\u{017D}', UNDEFINED,
    UNDEFINED, '\u{2018}', '\u{2019}', '\u{201C}', '\u{201D}', '\u{2022}', '\u{2013}', '\u{2014}',
    '\u{02DC}', '\u{2122}', '\u{0161}', '\u{203A}', '\u{0153}', UNDEFINED, '\u{017E}', '\u{0178}',
];

fn utf16(name: &str, bytes: &[u8], mark: usize, unit: fn([u8; 2]) -> u16) -> Result<String> {
    let (pairs, odd) = bytes[mark..].as_chunks::<2>();
    let mut text = String::with_capacity(pairs.len());
    let mut at = mark;
    for decoded in char::decode_utf16(pairs.iter().map(|p| unit(*p))) {
        match decoded {
            Ok('\0') => return Err(no_text(name, text.as_bytes(), at)),
            Ok(character) => {
                text.push(character);
                at += 2 * character.len_utf16();
            }
            Err(half) => {
                return Err(Error::input(format!(
                    "half of a UTF-16 character (0x{:04X}) without its other half",
                    half.unpaired_surrogate()
                ))
                .hint("get the whole file, or save it as UTF-8")
                .at(place_behind(name, text.as_bytes(), at)));
            }
        }
    }
    if odd.is_empty() {
        return Ok(text);
    }
    Err(
        Error::input("the UTF-16 text ends inside a character: its bytes are odd in number")
            .hint("get the whole file, or save it as UTF-8")
            .at(place_behind(name, text.as_bytes(), at)),
    )
}

fn no_text(name: &str, before: &[u8], byte: usize) -> Error {
    Error::input("a NUL byte: this is no text file")
        .hint("check that the file is the measurement's text export, and complete")
        .at(place_behind(name, before, byte))
}

/// The place behind the text `before` (without byte-order mark; it may hold bytes that are not UTF-8).
fn place_behind(name: &str, before: &[u8], byte: usize) -> Place {
    let line_start = before
        .iter()
        .rposition(|b| matches!(b, b'\n' | b'\r'))
        .map_or(0, |i| i + 1);
    let mut line = 1_u64;
    let mut previous = 0;
    for b in before {
        // CRLF counts once, at its CR: a place never stands between the two.
        line += u64::from(*b == b'\n' && previous != b'\r') + u64::from(*b == b'\r');
        previous = *b;
    }
    let column = String::from_utf8_lossy(&before[line_start..])
        .chars()
        .count() as u64
        + 1;
    Place::in_source(name)
        .with_line(line)
        .with_column(column)
        .with_byte(byte as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn latin_1_is_what_others_make_it() {
        // Python 3 codec cp1252, bytes 0x80 to 0x9F, undefined ones left out.
        let told: String = (0x80..=0x9F).filter_map(character).collect();
        assert_eq!(told, "€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ");
        let undefined: Vec<u8> = (0x80..=0x9F).filter(|b| character(*b).is_none()).collect();
        assert_eq!(undefined, [0x81, 0x8D, 0x8F, 0x90, 0x9D]);
        // ISO 8859-1: the code point is the byte.
        assert!((0xA0..=0xFF).all(|b| character(b) == char::from_u32(u32::from(b))));
    }
}
