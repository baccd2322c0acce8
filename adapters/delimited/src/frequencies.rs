//! Texts of frequencies and their indices, so that a repeated text is not read again.

use std::collections::HashMap;

/// Most texts of frequencies that are remembered.
const MAX_TEXTS: usize = 1 << 17;

/// Texts of frequencies that the careful path has read, with their indices.
#[derive(Debug, Default)]
pub(crate) struct Frequencies {
    texts: Vec<(Vec<u8>, usize)>,
    by_text: HashMap<Vec<u8>, usize>,
    last: usize,
}

impl Frequencies {
    /// Index of the frequency of a text. Files repeat a frequency, or run through all of them in turn.
    pub(crate) fn find(&mut self, text: &[u8]) -> Option<usize> {
        let next = if self.last + 1 < self.texts.len() {
            self.last + 1
        } else {
            0
        };
        for at in [self.last, next] {
            if let Some((known, index)) = self.texts.get(at)
                && known == text
            {
                self.last = at;
                return Some(*index);
            }
        }
        self.last = *self.by_text.get(text)?;
        self.texts.get(self.last).map(|(_, index)| *index)
    }

    /// Remembers a text with its index.
    pub(crate) fn learn(&mut self, text: &[u8], index: usize) {
        if self.texts.len() < MAX_TEXTS && !self.by_text.contains_key(text) {
            self.by_text.insert(text.to_vec(), self.texts.len());
            self.last = self.texts.len();
            self.texts.push((text.to_vec(), index));
        }
    }
}
