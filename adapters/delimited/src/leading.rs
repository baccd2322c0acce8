//! Leading fields of a row that stand there as in the row before.

/// Most leading columns that are compared.
const MOST: usize = 6;
/// Bytes that are compared: leading fields that end behind them are read again.
const WINDOW: usize = 24;

/// What is remembered of the row before.
#[derive(Debug, Default)]
pub(crate) struct Leading {
    /// Its first bytes, eight at a time.
    words: [u64; WINDOW / 8],
    /// Ends of its leading fields behind their separators, from its start.
    ends: [usize; MOST],
    /// Number of leading columns of the table that hold no values.
    columns: usize,
    /// Number of ends that hold.
    known: usize,
}

impl Leading {
    /// For a table whose first `columns` columns hold no values.
    pub(crate) fn new(columns: usize) -> Self {
        Self {
            columns: columns.min(MOST),
            ..Self::default()
        }
    }

    /// Remembers where a field of the row at hand ends.
    #[inline(always)]
    pub(crate) fn ends(&mut self, column: usize, end: usize) {
        if let Some(slot) = self.ends.get_mut(column) {
            *slot = end;
        }
    }

    /// Says that the row last looked at by [`Leading::same`] was taken, and its ends given.
    #[inline(always)]
    pub(crate) fn keep(&mut self) {
        self.known = self.columns;
    }

    /// Forgets: what is remembered may be half of one row and half of another.
    #[inline(always)]
    pub(crate) fn forget(&mut self) {
        self.known = 0;
    }

    /// Number of leading fields of the row at `at` that stand as in the row before, and the length of them all. This row
    /// takes the other's place.
    #[inline(always)]
    pub(crate) fn same(&mut self, text: &[u8], at: usize) -> (usize, usize) {
        let Some(words) = words(text, at) else {
            // Near the end of the text: rows differ from a row of zeros.
            self.words = [0; WINDOW / 8];
            return (0, 0);
        };
        let mut same = 0;
        for (new, old) in words.iter().zip(&self.words) {
            let differ = new ^ old;
            if differ != 0 {
                same += differ.trailing_zeros() as usize / 8;
                break;
            }
            same += 8;
        }
        self.words = words;
        // The ends ascend, and mostly few of the last have changed.
        for column in (0..self.known.min(MOST)).rev() {
            if self.ends[column] <= same {
                return (column + 1, self.ends[column]);
            }
        }
        (0, 0)
    }
}

#[inline(always)]
fn words(text: &[u8], at: usize) -> Option<[u64; WINDOW / 8]> {
    let window: &[u8; WINDOW] = text.get(at..at.checked_add(WINDOW)?)?.try_into().ok()?;
    let (chunks, _) = window.as_chunks::<8>();
    Some(std::array::from_fn(|word| u64::from_le_bytes(chunks[word])))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_the_fields_that_stay() {
        let text =
            b"868.3,30,0,1\n868.3,30,5,2\n868.3,30,0,1\n868.4,30,0,1 and some more behind it";
        let mut leading = Leading::new(3);
        for (column, end) in [6, 9, 11].into_iter().enumerate() {
            leading.ends(column, end);
        }
        assert_eq!(leading.same(text, 0), (0, 0));
        leading.keep();
        assert_eq!(leading.same(text, 13), (2, 9));
        assert_eq!(leading.same(text, 26), (2, 9));
        assert_eq!(leading.same(text, 0), (3, 11));
        assert_eq!(leading.same(text, 39), (0, 0));
        assert_eq!(leading.same(text, 39), (3, 11));
        // Too near to the end to look.
        assert_eq!(leading.same(text, 65), (0, 0));
        assert_eq!(leading.same(text, 39), (0, 0));
        leading.forget();
        assert_eq!(leading.same(text, 39), (0, 0));
    }
}
