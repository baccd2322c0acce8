//! What was missing, and how well it was filled.

/// What was missing, by frequency and polarisation.
#[derive(Clone, Debug, Default)]
pub struct Missing {
    /// Missing solid angle as a share of 4π, by frequency, then polarisation. Pole rings alone are no gap.
    pub share: Vec<Vec<f64>>,
    /// True where the pattern rises into a gap, by frequency: figures that rest on the peak cannot be given there.
    pub rises: Vec<bool>,
    /// The gaps that were filled, in ascending order of frequency and polarisation.
    pub filled: Vec<FilledGap>,
}

/// A gap that was filled.
#[derive(Clone, Debug, PartialEq)]
pub struct FilledGap {
    /// Index of the frequency.
    pub frequency: usize,
    /// Index of the polarisation.
    pub polarisation: usize,
    /// Rings that it lies on, each with the share of the ring that it takes.
    pub rings: Vec<(usize, f64)>,
    /// Standard uncertainty of the mean over the gap, in what integrates: W, ratio or 1/W. `None` where nothing tells it.
    pub error: Option<f64>,
}

impl Missing {
    /// Missing share of 4π of a polarisation at a frequency.
    #[must_use]
    pub fn share_of(&self, frequency: usize, polarisation: usize) -> f64 {
        let of_frequency = self.share.get(frequency);
        of_frequency
            .and_then(|s| s.get(polarisation))
            .copied()
            .unwrap_or(0.0)
    }

    /// The filled gaps of a polarisation at a frequency.
    #[must_use]
    pub fn filled_of(&self, frequency: usize, polarisation: usize) -> &[FilledGap] {
        let key = |g: &FilledGap| (g.frequency, g.polarisation);
        let from = self
            .filled
            .partition_point(|g| key(g) < (frequency, polarisation));
        let to = self
            .filled
            .partition_point(|g| key(g) <= (frequency, polarisation));
        self.filled.get(from..to).unwrap_or(&[])
    }
}
