//! A file as a person names it, with what it holds behind it.

use crate::model::Polarisation;
use crate::unit::frequency::{Frequency, FrequencyUnit};
use std::path::PathBuf;

/// A file, with what the person says it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedFile {
    /// As it was typed.
    pub text: String,
    /// Its path.
    pub path: PathBuf,
    /// The polarisation it holds, where it does not say so itself.
    pub polarisation: Option<Polarisation>,
    /// The frequency it holds, where it does not say so itself.
    pub frequency: Option<Frequency>,
}

impl NamedFile {
    /// A file that speaks for itself.
    #[must_use]
    pub fn plain(path: PathBuf) -> Self {
        Self {
            text: path.to_string_lossy().into_owned(),
            path,
            polarisation: None,
            frequency: None,
        }
    }

    /// True where both name the same part of the same file.
    #[must_use]
    pub fn is_same(&self, other: &Self) -> bool {
        (&self.path, self.polarisation, self.frequency)
            == (&other.path, other.polarisation, other.frequency)
    }

    /// From `FILE`, `FILE@theta`, `FILE@868.3` (MHz) or both in either order. Only endings that are a polarisation or a frequency
    /// are taken off.
    ///
    /// # Errors
    /// A sentence: two polarisations or two frequencies, or no file.
    pub fn parse(text: &str) -> Result<Self, String> {
        let mut file = Self::plain(PathBuf::from(text));
        let mut rest = text;
        while let Some((front, ending)) = rest.rsplit_once('@') {
            let polarisation = [Polarisation::Theta, Polarisation::Phi, Polarisation::Total]
                .into_iter()
                .find(|p| p.as_str() == ending);
            let frequency = Frequency::parse(ending, FrequencyUnit::Mhz);
            let twice = || format!("{text:?} names two polarisations, or two frequencies");
            match (polarisation, frequency) {
                (Some(polarisation), _) => {
                    if file.polarisation.replace(polarisation).is_some() {
                        return Err(twice());
                    }
                }
                (None, Some(frequency)) => {
                    if file.frequency.replace(frequency).is_some() {
                        return Err(twice());
                    }
                }
                (None, None) => break,
            }
            rest = front;
        }
        if rest.is_empty() {
            return Err(format!("{text:?} names no file"));
        }
        file.path = PathBuf::from(rest);
        Ok(file)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn endings_say_what_a_file_holds() {
        let file = NamedFile::parse("y@z.csv@900@phi").unwrap();
        assert_eq!(file.path, PathBuf::from("y@z.csv"));
        assert_eq!(file.polarisation, Some(Polarisation::Phi));
        assert_eq!(file.frequency.map(Frequency::mhz), Some(900.0));
        assert!(file.is_same(&NamedFile::parse("y@z.csv@phi@900").unwrap()));
        assert!(!file.is_same(&NamedFile::parse("y@z.csv@theta@900").unwrap()));
        assert!(!file.is_same(&NamedFile::parse("y@z.csv@phi@901").unwrap()));
        let plain = NamedFile::parse("a@b.csv").unwrap();
        assert_eq!(plain, NamedFile::plain(PathBuf::from("a@b.csv")));
    }

    #[test]
    fn nothing_and_two_of_a_kind_are_refused() {
        for text in ["", "@theta", "x@theta@phi", "x@1@2"] {
            assert!(NamedFile::parse(text).is_err(), "{text}");
        }
    }
}
