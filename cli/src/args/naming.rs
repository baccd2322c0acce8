//! `NAME=FILE[,FILE…]`: a run made of several files, and what each of them holds.

pub use spheresum_core::intake::NamedFile as FileArg;
use std::str::FromStr;

/// A named run and its files.
#[derive(Clone, Debug, PartialEq)]
pub struct RunArg {
    /// Its name.
    pub name: String,
    /// Its files.
    pub files: Vec<FileArg>,
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
    use spheresum_core::{Frequency, Polarisation};

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
