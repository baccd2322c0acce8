//! A folder with files made from closed forms, and the command run in it.

use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// A folder of its own.
pub struct Bench {
    folder: TempDir,
}

/// What a run of the command gave.
pub struct Ran {
    pub status: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// Standard output as JSON.
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|e| panic!("{e}: {}\n{}", self.out, self.err))
    }

    /// Fails unless the exit status is this one.
    #[track_caller]
    pub fn must_be(self, status: i32) -> Self {
        assert_eq!(
            self.status, status,
            "\n--- out\n{}\n--- err\n{}",
            self.out, self.err
        );
        self
    }
}

impl Bench {
    pub fn new() -> Self {
        Self {
            folder: TempDir::new().unwrap(),
        }
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    pub fn write(&self, name: &str, text: &str) -> PathBuf {
        let path = self.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(&path, text).unwrap();
        path
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path().join(name)).unwrap()
    }

    /// Runs the command in the folder.
    pub fn run(&self, words: &[&str]) -> Ran {
        self.run_in(".", words)
    }

    /// Runs the command in a folder below.
    pub fn run_in(&self, below: &str, words: &[&str]) -> Ran {
        let output = self.command(below, words).output().unwrap();
        Ran {
            status: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    pub fn command(&self, below: &str, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_spheresum"));
        command
            .args(words)
            .current_dir(self.path().join(below))
            .stdin(Stdio::null());
        command
    }
}

/// Readings of a pattern whose integrals are known.
#[derive(Clone)]
pub struct Pattern {
    /// Step of both axes, degrees.
    pub step: usize,
    /// Frequencies, MHz as they are written.
    pub mhz: Vec<&'static str>,
    /// Quantity word of the columns.
    pub quantity: &'static str,
    /// Level that is added, dB.
    pub offset_db: f64,
    /// True for directions that were measured.
    pub keep: fn(usize, usize) -> bool,
}

impl Default for Pattern {
    fn default() -> Self {
        Self {
            step: 15,
            mhz: vec!["868.3"],
            quantity: "eirp",
            offset_db: 0.0,
            keep: |_, _| true,
        }
    }
}

impl Pattern {
    /// EIRP of theta and phi in mW: an isotropic source of 1 mW with half of it in each polarisation. Its TRP is 0 dBm by any
    /// rule that is exact for a constant.
    fn level_dbm(&self) -> f64 {
        10.0 * f64::log10(0.5) + self.offset_db
    }

    fn rows(&self, columns: &[&str], row: impl Fn(&str, usize, usize, f64) -> String) -> String {
        let mut text = format!(
            "# device: test\nfrequency_mhz,theta_deg,phi_deg,{}\n",
            columns.join(",")
        );
        for mhz in &self.mhz {
            for theta in (0..=180).step_by(self.step) {
                for phi in (0..360).step_by(self.step) {
                    if (self.keep)(theta, phi) {
                        text.push_str(&row(mhz, theta, phi, self.level_dbm()));
                    }
                }
            }
        }
        text
    }

    /// Both polarisations.
    pub fn csv(&self) -> String {
        let names = ["theta", "phi"].map(|p| format!("{}_{p}_dbm", self.quantity));
        self.rows(&[&names[0], &names[1]], |mhz, theta, phi, level| {
            format!("{mhz},{theta},{phi},{level},{level}\n")
        })
    }

    /// One polarisation, named in the heading.
    pub fn single_csv(&self, polarisation: &str) -> String {
        let name = format!("{}_{polarisation}_dbm", self.quantity);
        self.rows(&[&name], |mhz, theta, phi, level| {
            format!("{mhz},{theta},{phi},{level}\n")
        })
    }

    /// One polarisation that the file does not name, without frequency.
    pub fn anonymous_csv(&self) -> String {
        let with = self.rows(
            &[&format!("{}_dbm", self.quantity)],
            |_, theta, phi, level| format!(",{theta},{phi},{level}\n"),
        );
        with.replace("frequency_mhz,", "").replace("\n,", "\n")
    }
}

/// A figure of a channel in a reduction document.
pub fn figure<'a>(run: &'a Value, channel: usize, name: &str) -> &'a Value {
    let figures = run["channels"][channel]["figures"]
        .as_array()
        .expect("figures");
    figures
        .iter()
        .find(|f| f["name"] == name)
        .unwrap_or_else(|| panic!("no figure {name}"))
}
