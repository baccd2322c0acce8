//! Which runs a command line names, and what they are called.

use crate::args::{FileArg, RunArg};
use crate::intake::bytes::STDIN;
use spheresum_core::{Error, Result};
use std::path::{Path, PathBuf};

/// A run to be read.
#[derive(Clone, Debug, PartialEq)]
pub struct RunPlan {
    /// Its name, unique in the command.
    pub name: String,
    /// Its files.
    pub files: Vec<FileArg>,
    /// True where `--run` named it.
    pub named: bool,
}

impl RunPlan {
    /// Runs in order: each file by itself, then the named ones. Named runs keep their name; files are called by their stem, made
    /// unique with a number.
    ///
    /// # Errors
    /// Usage: a run that names the same file twice, which would count its readings twice.
    pub fn list(files: &[PathBuf], runs: &[RunArg]) -> Result<Vec<Self>> {
        let mut named: Vec<Self> = Vec::new();
        for run in runs {
            let at = named.iter().position(|r| r.name == run.name);
            let at = at.unwrap_or_else(|| {
                named.push(Self {
                    name: run.name.clone(),
                    files: Vec::new(),
                    named: true,
                });
                named.len() - 1
            });
            let Some(plan) = named.get_mut(at) else {
                continue;
            };
            for file in &run.files {
                if plan.files.iter().any(|f| f.is_same(file)) {
                    return Err(Error::usage(format!(
                        "the run {} names {} twice",
                        plan.name, file.text
                    ))
                    .hint(
                        "name each file once; FILE@theta and FILE@phi tell two polarisations apart",
                    ));
                }
                plan.files.push(file.clone());
            }
        }
        let mut plans: Vec<Self> = Vec::new();
        for path in files {
            let stem = stem(path);
            let taken = |name: &str| plans.iter().chain(&named).any(|r| r.name == name);
            let name = (1..)
                .map(|n| {
                    if n == 1 {
                        stem.clone()
                    } else {
                        format!("{stem}-{n}")
                    }
                })
                .find(|name| !taken(name))
                .unwrap_or_else(|| stem.clone());
            plans.push(Self {
                name,
                files: vec![FileArg::plain(path.clone())],
                named: false,
            });
        }
        plans.extend(named);
        Ok(plans)
    }
}

fn stem(path: &Path) -> String {
    if path.as_os_str() == STDIN {
        return "stdin".to_string();
    }
    path.file_stem().map_or_else(
        || path.to_string_lossy().into_owned(),
        |s| s.to_string_lossy().into_owned(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_named_runs_come_last() {
        let files: Vec<PathBuf> = ["a/x.csv", "b/x.csv", "y.txt", "-"]
            .map(PathBuf::from)
            .to_vec();
        let runs: Vec<RunArg> = ["y=1.csv", "z=2.csv", "y=3.csv"]
            .map(|t| t.parse().unwrap())
            .to_vec();
        let plans = RunPlan::list(&files, &runs).unwrap();
        let names: Vec<&str> = plans.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(names, ["x", "x-2", "y-2", "stdin", "y", "z"]);
        assert_eq!(plans[4].files.len(), 2);
    }
    #[test]
    fn a_file_counts_once() {
        let list = |texts: &[&str]| {
            let runs: Vec<RunArg> = texts.iter().map(|t| t.parse().unwrap()).collect();
            RunPlan::list(&[], &runs)
        };
        assert!(list(&["a=x.csv,x.csv"]).is_err());
        assert!(list(&["a=x.csv@theta", "a=x.csv@theta"]).is_err());
        assert!(list(&["a=x.csv@theta,x.csv@phi", "b=x.csv@theta"]).is_ok());
    }
}
