//! Encodings of text, and how one is told from another.

use std::fmt;

/// How a file writes its characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Encoding {
    /// UTF-8, of which ASCII is a part.
    Utf8,
    /// UTF-16, low byte first.
    Utf16Le,
    /// UTF-16, high byte first.
    Utf16Be,
    /// ISO 8859-1, with the bytes 0x80 to 0x9F as Windows-1252 has them.
    Latin1,
}

impl Encoding {
    /// The encoding's usual name.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Utf16Le => "UTF-16LE",
            Self::Utf16Be => "UTF-16BE",
            Self::Latin1 => "Latin-1",
        }
    }

    /// Bytes that a character takes in the file.
    pub(super) const fn width(self, character: char) -> u64 {
        match self {
            Self::Utf8 => character.len_utf8() as u64,
            Self::Utf16Le | Self::Utf16Be => 2 * character.len_utf16() as u64,
            Self::Latin1 => 1,
        }
    }
}

impl fmt::Display for Encoding {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// What the first bytes of a file say of its encoding.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Sniffed {
    /// The encoding; UTF-8 where nothing speaks against it.
    pub(super) encoding: Encoding,
    /// Length of the byte-order mark.
    pub(super) mark: usize,
}

/// The encoding by the byte-order mark or, without one, by NUL bytes in every second place.
///
/// Without a mark a file is UTF-16 where, among the first 512 code units (1 KiB; at least four must be there), one half of the
/// bytes – the even places or the odd ones – is NUL in three units of four or more, and the other half never. Text in Latin
/// letters with some µ, θ or quotation marks among them passes; other scripts do not, and need the mark.
pub(super) fn sniff(bytes: &[u8]) -> Sniffed {
    let found = |encoding, mark| Sniffed { encoding, mark };
    match bytes {
        [0xEF, 0xBB, 0xBF, ..] => found(Encoding::Utf8, 3),
        [0xFF, 0xFE, ..] => found(Encoding::Utf16Le, 2),
        [0xFE, 0xFF, ..] => found(Encoding::Utf16Be, 2),
        _ => found(without_mark(bytes), 0),
    }
}

fn without_mark(bytes: &[u8]) -> Encoding {
    const UNITS: usize = 512;
    let head = &bytes[..bytes.len().min(2 * UNITS)];
    let (mut even, mut odd, mut units) = (0, 0, 0);
    for unit in head.chunks_exact(2) {
        even += usize::from(unit[0] == 0);
        odd += usize::from(unit[1] == 0);
        units += 1;
    }
    let most = |nul: usize| units >= 4 && 4 * nul >= 3 * units;
    match (even, odd) {
        (0, odd) if most(odd) => Encoding::Utf16Le,
        (even, 0) if most(even) => Encoding::Utf16Be,
        _ => Encoding::Utf8,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_head_tells() {
        let told = |bytes: &[u8]| (sniff(bytes).encoding, sniff(bytes).mark);
        assert_eq!(told(b""), (Encoding::Utf8, 0));
        assert_eq!(told(b"theta"), (Encoding::Utf8, 0));
        assert_eq!(told(b"\xEF\xBB\xBFa"), (Encoding::Utf8, 3));
        assert_eq!(told(b"\xFF\xFEa\0"), (Encoding::Utf16Le, 2));
        assert_eq!(told(b"\xFE\xFF\0a"), (Encoding::Utf16Be, 2));
        assert_eq!(told(b"a\0b\0c\0d\0"), (Encoding::Utf16Le, 0));
        assert_eq!(told(b"\0a\0b\0c\0d"), (Encoding::Utf16Be, 0));
        // Three of four: θ is U+03B8.
        assert_eq!(told(b"a\0\xB8\x03c\0d\0"), (Encoding::Utf16Le, 0));
        assert_eq!(told(b"a\0\xB8\x03\xB8\x03d\0"), (Encoding::Utf8, 0));
        // Too short, a NUL in the other half, and NUL bytes alone.
        assert_eq!(told(b"a\0b\0c\0"), (Encoding::Utf8, 0));
        assert_eq!(told(b"a\0b\0\0\0d\0"), (Encoding::Utf8, 0));
        assert_eq!(told(&[0; 64]), (Encoding::Utf8, 0));
    }
}
