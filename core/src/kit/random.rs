//! Numbers that look random and are the same each time.

/// A linear congruential generator (multiplier and increment of Knuth's MMIX, from memory), upper bits used.
pub(super) struct Random(u64);

impl Random {
    /// The generator of one case of a seed.
    pub(super) fn new(seed: u64, case: usize) -> Self {
        let mut random = Self(seed.wrapping_add((case as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15)));
        // The first numbers of neighbouring cases are alike.
        for _ in 0..4 {
            random.below(2);
        }
        random
    }

    /// A number below `n`; 0 where `n` is 0.
    pub(super) fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33)
            .unwrap_or(0)
            .checked_rem(n)
            .unwrap_or(0)
    }

    /// Puts a list in another order.
    pub(super) fn shuffle<T>(&mut self, list: &mut [T]) {
        for at in (1..list.len()).rev() {
            list.swap(at, self.below(at + 1));
        }
    }
}
