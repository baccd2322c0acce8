//! `check`: the program against outside values.

use super::table_files::{named_files, reduce_case};
use super::{fail, skeleton};
use crate::args::CheckArgs;
use crate::progress::Progress;
use crate::status::Status;
use crate::text::validation;
use crate::{junit, output};
use sha2::{Digest, Sha256};
use spheresum_core::document::{Environment, validation_json};
use spheresum_core::table::{builtin, parse, run_with};
use spheresum_core::validation::{FileRecord, Record};
use spheresum_core::{Error, Limits, Place, Result};
use std::fmt::Write as _;
use std::io::Read;
use std::num::NonZero;
use std::path::{Path, PathBuf};

/// Runs the command. A text that is no table does not stop the others, and is part of the record.
pub fn run(args: &CheckArgs) -> Status {
    if !args.write_skeleton.is_empty() {
        return skeleton::run(args);
    }
    let output = args.output.output.as_deref();
    if let Err(error) = output::spare(output, args.tables.iter().map(PathBuf::as_path)) {
        return fail([error]);
    }
    let (record, errors) = match record(args) {
        Ok(made) => made,
        Err(error) => return fail([error]),
    };
    let environment = environment();
    let text = match (args.json, args.junit, args.markdown) {
        (true, ..) => validation_json(&record, &environment),
        (_, true, _) => junit::junit(&record, &environment),
        (_, _, true) => Ok(validation::markdown(&record, &environment)),
        _ => Ok(validation::text(&record, &environment)),
    };
    let status = match text.and_then(|t| output::write(&t, output)) {
        Ok(()) if record.passed() => Status::DONE,
        Ok(()) => Status::NO,
        Err(error) => fail([error]),
    };
    if errors.is_empty() {
        return status;
    }
    status.max(fail(errors))
}

/// Runs all tables that are asked for; what is no table is an error beside the record.
///
/// # Errors
/// Usage: the record would be written over a file that a case names.
fn record(args: &CheckArgs) -> Result<(Record, Vec<Error>)> {
    let mut record = Record::default();
    let mut errors = Vec::new();
    let progress = Progress::start();
    for path in &args.tables {
        let name = path.to_string_lossy();
        progress.tell(format!("running {name}"));
        let folder = path.parent().unwrap_or_else(|| Path::new(""));
        let ran = read(path).and_then(|text| {
            let files = named_files(&parse(&name, &text)?, folder);
            let output = args.output.output.as_deref();
            // Over a file that it is made of no record is written; that is for the caller to hear first.
            let spared = output::spare(output, files.iter().map(PathBuf::as_path));
            if spared.is_ok() {
                record.run_by(&name, &text, Some(sha256(text.as_bytes())), |case| {
                    run_with(case, &mut |case, files| reduce_case(case, files, folder))
                })?;
            }
            Ok((files, spared))
        });
        match ran {
            Ok((files, spared)) => {
                spared?;
                record.files.extend(files.iter().map(|path| FileRecord {
                    table: name.to_string(),
                    path: path.to_string_lossy().into_owned(),
                    sha256: bytes_of(path).ok().map(|bytes| sha256(&bytes)),
                }));
            }
            Err(error) => {
                record.refuse(&name, &error);
                errors.push(error);
            }
        }
    }
    if args.tables.is_empty() || args.builtin {
        for (name, text) in builtin() {
            progress.tell(format!("running {name}"));
            record.run(name, text, Some(sha256(text.as_bytes())))?;
        }
    }
    Ok((record, errors))
}

/// The text of a table.
fn read(path: &Path) -> Result<String> {
    String::from_utf8(bytes_of(path)?).map_err(|_| {
        Error::input("the table is not UTF-8")
            .hint("save it as UTF-8; its format is described in core/tables/README.md")
            .at(Place::in_source(&path.to_string_lossy()))
    })
}

/// The bytes of a table or of a file that it names, no more than the limit.
fn bytes_of(path: &Path) -> Result<Vec<u8>> {
    let place = || Place::in_source(&path.to_string_lossy());
    let io = |e| Error::io("the table cannot be read", e).at(place());
    let most = Limits::default().max_bytes;
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(io)?;
    file.take(most + 1).read_to_end(&mut bytes).map_err(io)?;
    if bytes.len() as u64 > most {
        return Err(Error::limit(format!("a table is no longer than {most} bytes")).at(place()));
    }
    Ok(bytes)
}

fn sha256(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Where and when this program runs.
fn environment() -> Environment {
    let profile = if cfg!(debug_assertions) {
        "debug"
    } else {
        "release"
    };
    let (system, processor) = (std::env::consts::OS, std::env::consts::ARCH);
    let threads = std::thread::available_parallelism().map_or(1, NonZero::get);
    let program = std::env::current_exe().and_then(std::fs::read).ok();
    let words = std::env::args_os().skip(1);
    Environment {
        build: format!("{profile}, {processor}-{system}"),
        program_sha256: program.map(|bytes| sha256(&bytes)),
        command: words.map(|w| w.to_string_lossy().into_owned()).collect(),
        machine: format!(
            "{}{} on {processor}, {threads} threads",
            host().map_or_else(String::new, |name| format!("{name}, ")),
            version_of_system().unwrap_or_else(|| system.to_string())
        ),
        date: jiff::Timestamp::now()
            .round(jiff::Unit::Second)
            .unwrap_or_else(|_| jiff::Timestamp::now())
            .to_string(),
    }
}

/// Name of the machine, where the system tells it.
fn host() -> Option<String> {
    let told = std::fs::read_to_string("/proc/sys/kernel/hostname").ok();
    let named = told.or_else(|| std::env::var("COMPUTERNAME").ok());
    let named = named.or_else(|| std::env::var("HOSTNAME").ok())?;
    Some(named.trim().to_string()).filter(|n| !n.is_empty())
}

/// Name and version of the system, where a file tells them.
fn version_of_system() -> Option<String> {
    let text = std::fs::read_to_string("/etc/os-release").ok()?;
    let line = text.lines().find_map(|l| l.strip_prefix("PRETTY_NAME="))?;
    let kernel = std::fs::read_to_string("/proc/sys/kernel/osrelease").unwrap_or_default();
    Some(format!("{} {}", line.trim_matches('"'), kernel.trim()))
}
