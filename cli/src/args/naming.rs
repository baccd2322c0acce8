//! `NAME=FILE[,FILE…]`: a run made of several files, and what each of them holds.

use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Frequency, Polarisation};
use std::path::PathBuf;
use std::str::FromStr;

/// A file, with what the person says it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct FileArg {
    /// As it was typed.
    pub text: String,
    /// Its path.
    pub path: PathBuf,
    /// The polarisation it holds, where it does not say so itself.
    pub polarisation: Option<Polarisation>,
    /// The frequency it holds, where it does not say so itself.
    pub frequency: Option<Frequency>,
}

/// A named run and its files.
#[derive(Clone, Debug, PartialEq)]
pub struct RunArg {
    /// Its name.
    pub name: String,
    /// Its files.
    pub files: Vec<FileArg>,
}

impl FileArg {
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

    /// From `FILE`, `FILE@theta`, `FILE@868.3` or both in either order. Only endings that are a polarisation or a frequency
    /// are taken off.
    fn parse(text: &str) -> Result<Self, String> {
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

impl FromStr for RunArg {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (name, files) = text
            .split_once('=')
            .ok_or("write NAME=FILE, or NAME=FILE,FILE for a run of several files")?;
        if name.trim().is_empty() {
            return Err("the run has no name; write NAME=FILE".to_string());
        }
        Ok(Self {
            name: name.trim().to_string(),
            files: files
                .split(',')
                .map(FileArg::parse)
                .collect::<Result<_, _>>()?,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn endings_say_what_a_file_holds() {
        let run: RunArg = "a=x.csv@theta@868.3,y@z.csv@phi,w.csv@900".parse().unwrap();
        assert_eq!(run.name, "a");
        let paths: Vec<_> = run
            .files
            .iter()
            .map(|f| f.path.to_string_lossy().into_owned())
            .collect();
        assert_eq!(paths, ["x.csv", "y@z.csv", "w.csv"]);
        assert_eq!(run.files[0].polarisation, Some(Polarisation::Theta));
        assert_eq!(run.files[0].frequency.map(Frequency::mhz), Some(868.3));
        assert_eq!(run.files[1].polarisation, Some(Polarisation::Phi));
        assert_eq!(run.files[2].frequency.map(Frequency::mhz), Some(900.0));
    }

    #[test]
    fn what_is_no_run() {
        for text in [
            "x.csv",
            "=x.csv",
            "a=",
            "a=x.csv,",
            "a=@theta",
            "a=x@theta@phi",
            "a=x@1@2",
        ] {
            assert!(text.parse::<RunArg>().is_err(), "{text}");
        }
    }
}
