//! Limits on what a file may cost, set before its first byte is read.

/// Upper bounds on what reading and assembling may use. Every adapter honours them.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Limits {
    /// Largest source in bytes, as it is and decompressed. (As UTF-8 text, which is what is kept, other encodings take up to three
    /// times as many.)
    pub max_bytes: u64,
    /// Most readings (one polarisation in one direction at one frequency each) in one source.
    pub max_readings: usize,
    /// Longest line in bytes.
    pub max_line_bytes: usize,
    /// Most fields in one line.
    pub max_fields: usize,
    /// Most different frequencies.
    pub max_frequencies: usize,
    /// Most `key: value` entries beside the readings.
    pub max_entries: usize,
    /// Most samples in an assembled sphere (frequencies × polarisations × directions).
    pub max_samples: usize,
}

impl Default for Limits {
    /// 1 GiB, 2²⁶ readings, 1 MiB a line, 16 384 fields, 65 536 frequencies, 65 536 entries, 2²⁷ samples.
    fn default() -> Self {
        Self {
            max_bytes: 1 << 30,
            max_readings: 1 << 26,
            max_line_bytes: 1 << 20,
            max_fields: 1 << 14,
            max_frequencies: 1 << 16,
            max_entries: 1 << 16,
            max_samples: 1 << 27,
        }
    }
}

impl Limits {
    /// Limits for trials on hostile input: everything small.
    #[must_use]
    pub fn small() -> Self {
        Self {
            max_bytes: 1 << 20,
            max_readings: 1 << 16,
            max_line_bytes: 1 << 14,
            max_fields: 1 << 10,
            max_frequencies: 1 << 8,
            max_entries: 1 << 10,
            max_samples: 1 << 18,
        }
    }
}
