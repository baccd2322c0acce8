//! Numbers that recur in the same order, as the angles of a grid do: known by their text, they are not read again.

/// Most numbers that are remembered.
const MOST: usize = 4096;

/// Up to seven bytes and the separator behind them, as one word.
#[derive(Clone, Copy, Debug)]
struct Known {
    word: u64,
    mask: u64,
    length: usize,
    value: f64,
}

/// The numbers of a column in their order, and the one that should come next.
#[derive(Debug, Default)]
pub(crate) struct Recurring {
    known: Vec<Known>,
    next: usize,
}

impl Recurring {
    /// The number at `at`, if it is the one that should come next, and the offset behind it.
    #[inline(always)]
    pub(crate) fn find(&mut self, text: &[u8], at: usize) -> Option<(f64, usize)> {
        let known = self.known.get(self.next)?;
        let bytes = text.get(at..at.checked_add(8)?)?;
        let word = u64::from_le_bytes(bytes.try_into().ok()?);
        if (word ^ known.word) & known.mask != 0 {
            return None;
        }
        self.next += 1;
        if self.next == self.known.len() {
            self.next = 0;
        }
        Some((known.value, at + known.length))
    }

    /// Remembers a number that was not the one expected: the next new one, or the first again.
    pub(crate) fn learn(&mut self, text: &[u8], at: usize, end: usize, value: f64) {
        let length = end - at;
        // With the byte behind it, so that `30` is not found at the start of `300`.
        let Some(mask) = u32::try_from(length + 1)
            .ok()
            .filter(|bytes| *bytes <= 8)
            .map(|bytes| u64::MAX >> (64 - 8 * bytes))
        else {
            return;
        };
        let Some(bytes) = text.get(at..).and_then(|t| t.first_chunk()) else {
            return;
        };
        let word = u64::from_le_bytes(*bytes);
        // Where a run was cut short, the first of the next one is looked for; further ones cost more than they give.
        if let Some(first) = self.known.first()
            && (word ^ first.word) & first.mask == 0
        {
            self.next = usize::from(self.known.len() > 1);
            return;
        }
        if self.known.len() < MOST {
            self.known.push(Known {
                word,
                mask,
                length,
                value,
            });
        }
        // What follows a new number is new as well, until the first one comes again.
        self.next = 0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_second_run_is_known() {
        let text = b"0,30,300,0,30,300,0,30,3,              ";
        let mut recurring = Recurring::default();
        let mut found = Vec::new();
        for at in [0, 2, 5, 9, 11, 14, 18, 20, 23] {
            let end = at + text[at..].iter().position(|b| *b == b',').unwrap_or(0);
            let value: f64 = std::str::from_utf8(&text[at..end])
                .ok()
                .and_then(|t| t.parse().ok())
                .unwrap_or(f64::NAN);
            match recurring.find(text, at) {
                Some(hit) => {
                    assert_eq!(hit, (value, end));
                    found.push(at);
                }
                None => recurring.learn(text, at, end, value),
            }
        }
        assert_eq!(found, [9, 11, 14, 18, 20]);
    }
}
