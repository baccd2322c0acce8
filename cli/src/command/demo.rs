//! `demo`: writes the built-in scenario and compares it.

use super::compare::{compare_files, refusals};
use super::fail;
use crate::args::{Cli, Command, DemoArgs};
use crate::failure::print_all;
use crate::output;
use crate::status::Status;
use crate::text;
use clap::Parser;
use spheresum_core::compare::CompareOptions;
use spheresum_core::{Error, Group, Result};
use std::path::Path;

/// The files of the scenario.
const FILES: &[(&str, &str)] = &[
    ("README.txt", include_str!("../../demo/README.txt")),
    (REV_A, include_str!("../../demo/gauge-rev-a.csv")),
    (REV_B, include_str!("../../demo/gauge-rev-b.csv")),
    (SAVING, include_str!("../../demo/gauge-rev-b-saving.csv")),
    (SLOW, include_str!("../../demo/gauge-rev-b-saving-slow.csv")),
    (RANGE, include_str!("../../demo/range-loss.csv")),
    (FLOOR, include_str!("../../demo/noise-floor.csv")),
];
const REV_A: &str = "gauge-rev-a.csv";
const REV_B: &str = "gauge-rev-b.csv";
const SAVING: &str = "gauge-rev-b-saving.csv";
const SLOW: &str = "gauge-rev-b-saving-slow.csv";
const RANGE: &str = "range-loss.csv";
const FLOOR: &str = "noise-floor.csv";

const INTRODUCTION: &str = "A river-level telemetry gauge on 868.3 MHz (licence-exempt band), measured as received power on a 15° grid: board \
revision A; revision B, whose antenna moved beside the battery pack; and B in its power-saving transmit mode, swept quickly and sixteen times as slowly. The data are invented.";
const NOISE: &str = "The power-saving mode sinks into the receiver's noise, which adds to every reading. The quick sweep gives no more than a bound of what the \
mode costs; the finding says how wrong its raw TRP is and how much slower to sweep, and the slow sweep beside it gives the value.";
const CAUTION: &str = "Caution: a device under test transmits. Measure in a shielded chamber, or on a licensed or licence-exempt frequency \
under local rules. Nothing here certifies anything: conformity is for an accredited laboratory and its scope. TRP says nothing about human exposure.";

/// Runs the command.
pub fn run(args: &DemoArgs) -> Status {
    // A name that looks like an option is told apart from one by its place.
    let folder = if args.folder.to_string_lossy().starts_with('-') {
        Path::new(".").join(&args.folder)
    } else {
        args.folder.clone()
    };
    if let Err(error) = write_files(&folder, args.force) {
        return fail([error]);
    }
    let path = |name: &str| folder.join(name).to_string_lossy().into_owned();
    let compare = vec![
        "compare".to_string(),
        path(REV_A),
        path(REV_B),
        path(SAVING),
        path(SLOW),
        "--range".to_string(),
        path(RANGE),
        "--floor".to_string(),
        path(FLOOR),
        "--detector".to_string(),
        "rms".to_string(),
    ];
    let typed = |words: &[String]| {
        format!(
            "  spheresum {}\n",
            words.iter().map(|w| shown(w)).collect::<Vec<_>>().join(" ")
        )
    };
    let mut out = text::paragraph(INTRODUCTION, 0);
    out.push_str(&format!(
        "\nThe files are in {}. To look at one, to reduce one, to compare all:\n\n",
        folder.display()
    ));
    out.push_str(&typed(&["look".to_string(), path(REV_B)]));
    out.push_str(&typed(&[
        "reduce".to_string(),
        path(SAVING),
        "--range".to_string(),
        path(RANGE),
        "--floor".to_string(),
        path(FLOOR),
        "--detector".to_string(),
        "rms".to_string(),
        "--sweep-minutes".to_string(),
        "20".to_string(),
    ]));
    out.push_str(&typed(&compare));
    out.push_str("\nThe last of them says:\n\n");
    // The words are parsed as if they had been typed.
    let parsed = Cli::try_parse_from(std::iter::once("spheresum".to_string()).chain(compare));
    let Ok(Command::Compare(compare)) = parsed.map(|cli| cli.command) else {
        return fail([Error::usage(
            "the folder's name cannot be given on a command line",
        )]);
    };
    match compare_files(
        &compare.files,
        &compare.reading,
        &compare.reducing,
        CompareOptions::default(),
    ) {
        Ok(compared) => {
            out.push_str(&text::comparison(&compared.runs, &compared.tests));
            out.push('\n');
            out.push_str(&text::paragraph(NOISE, 0));
            out.push('\n');
            out.push_str(&text::paragraph(CAUTION, 0));
            match output::write(&out, None) {
                Ok(()) => refusals(&compared),
                Err(error) => fail([error]),
            }
        }
        Err(failures) => print_all(&failures),
    }
}

/// A word as a shell wants it.
fn shown(word: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "-_./=,@:+".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        word.to_string()
    } else {
        format!("'{}'", word.replace('\'', r"'\''"))
    }
}

/// Writes the files; those that are there and equal are left alone.
fn write_files(folder: &Path, force: bool) -> Result<()> {
    std::fs::create_dir_all(folder)
        .map_err(|e| Error::io(format!("the folder {} cannot be made", folder.display()), e))?;
    let differing: Vec<&str> = FILES
        .iter()
        .filter(|(name, text)| {
            let there = folder.join(name);
            there.exists() && std::fs::read(&there).map_or(true, |bytes| bytes != text.as_bytes())
        })
        .map(|f| f.0)
        .collect();
    if !differing.is_empty() && !force {
        return Err(Error::new(
            Group::Usage,
            format!(
                "{} holds other files of these names: {}",
                folder.display(),
                differing.join(", ")
            ),
        )
        .hint("name another folder, or overwrite them with --force"));
    }
    for (name, text) in FILES {
        let path = folder.join(name);
        if force || !path.exists() {
            output::replace(&path, text.as_bytes())?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn words_can_be_typed_again() {
        assert_eq!(shown("a/b.csv"), "a/b.csv");
        assert_eq!(shown("my folder/it's"), r"'my folder/it'\''s'");
        assert_eq!(shown(""), "''");
    }
}
