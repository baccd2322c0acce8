//! From a byte of the text to the byte of the file that it was made from.

use super::encoding::Encoding;

/// Where in the file a byte of the text comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Map {
    /// Every byte of the text takes the same number of bytes in the file.
    Even {
        /// Bytes in front of the text.
        start: u64,
        /// Bytes of the file for one of the text.
        unit: u64,
    },
    /// Characters take different numbers of bytes: the place in the file at every [`STEP`]th byte of the text.
    Checkpoints {
        /// Encoding of the file.
        encoding: Encoding,
        /// Byte of the file for the character at or before each step.
        points: Vec<u64>,
    },
}

/// Bytes of text from one checkpoint to the next: the map is 1/512 of the text.
const STEP: usize = 4096;

impl Map {
    /// The map of a text that stands behind `start` bytes in a file.
    pub(super) fn new(text: &str, encoding: Encoding, start: usize) -> Self {
        let start = start as u64;
        if encoding == Encoding::Utf8 {
            return Self::Even { start, unit: 1 };
        }
        if text.is_ascii() {
            let unit = encoding.width('0');
            return Self::Even { start, unit };
        }
        let (mut points, mut from, mut byte) =
            (Vec::with_capacity(text.len() / STEP + 1), 0, start);
        for step in (0..text.len()).step_by(STEP) {
            let to = text.floor_char_boundary(step);
            byte += length(text, from, to, encoding);
            points.push(byte);
            from = to;
        }
        Self::Checkpoints { encoding, points }
    }

    /// The byte of the file from which the byte `at` of the text comes; the first of its character, and the end of the file
    /// behind the text.
    pub(super) fn byte(&self, text: &str, at: usize) -> u64 {
        let at = text.floor_char_boundary(at.min(text.len()));
        match self {
            Self::Even { start, unit } => start + unit * at as u64,
            Self::Checkpoints { encoding, points } => {
                let nearest = (at / STEP).min(points.len().saturating_sub(1));
                let from = text.floor_char_boundary(nearest * STEP);
                let start = points.get(nearest).copied().unwrap_or(0);
                start + length(text, from, at, *encoding)
            }
        }
    }
}

/// Bytes in the file of a part of the text.
fn length(text: &str, from: usize, to: usize, encoding: Encoding) -> u64 {
    let part = text.get(from..to).unwrap_or_default();
    part.chars().fold(0, |sum, c| sum + encoding.width(c))
}
