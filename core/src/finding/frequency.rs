//! A frequency at which hardly anybody measures antennas over a sphere: a unit may be mistaken.

use super::Finding;
use crate::unit::Frequency;

/// Lowest and highest frequency that raise no doubt, MHz: below, an antenna range would have to be tens of metres wide; above,
/// there are no devices yet (common practice).
const USUAL_MHZ: (f64, f64) = (10.0, 330_000.0);

/// Warns of the frequencies outside the usual range; unknown ones are not judged.
#[must_use]
pub fn unusual(frequencies: &[Option<Frequency>]) -> Option<Finding> {
    let odd = |f: &Frequency| !(USUAL_MHZ.0..=USUAL_MHZ.1).contains(&f.mhz());
    let mut found = frequencies.iter().copied().flatten().filter(odd);
    let first = found.next()?;
    let others = match 1 + found.count() {
        1 => String::new(),
        n => format!(" (the first of {n} like it)"),
    };
    Some(
        Finding::warning(
            "frequency-unusual",
            format!(
                "{first} is outside of what antennas are usually measured at, 10 MHz to 330 GHz{others}"
            ),
        )
        .advice("check the unit of the frequency in the file: Hz, kHz, MHz or GHz"),
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn of(mhz: &[f64]) -> Vec<Option<Frequency>> {
        mhz.iter().map(|m| Frequency::from_hz(m * 1e6)).collect()
    }

    #[test]
    fn a_frequency_in_the_wrong_unit_is_told() {
        // 868.3 MHz, written as if in GHz, in kHz and in Hz.
        for wrong in [868_300.0, 0.8683, 0.000_868_3] {
            let found = unusual(&of(&[868.3, wrong])).unwrap();
            assert!(found.message.contains("330 GHz"), "{}", found.message);
            assert!(!found.message.contains("like it"));
        }
        let found = unusual(&of(&[868_300.0, 868_400.0])).unwrap();
        assert!(found.message.contains("the first of 2"));
    }

    #[test]
    fn usual_frequencies_are_silent() {
        // From a short-wave tag to the top of what radar and links of today use.
        assert!(unusual(&of(&[13.56, 433.92, 868.3, 2_442.0, 60_480.0, 300_000.0])).is_none());
        assert!(unusual(&[None]).is_none());
    }
}
