//! `check`: the program against outside values.

use super::table_files::reduce_case;
use super::{fail, skeleton};
use crate::args::CheckArgs;
use crate::progress::Progress;
use crate::status::Status;
use crate::text::validation;
use crate::{junit, output};
use sha2::{Digest, Sha256};
use spheresum_core::document::{Environment, validation_json};
use spheresum_core::table::{builtin, run_with};
use spheresum_core::validation::Record;
use spheresum_core::{Error, Limits, Place, Result};
use std::fmt::Write as _;
use std::io::Read;
use std::num::NonZero;
use std::path::Path;

/// Runs the command.
pub fn run(args: &CheckArgs) -> Status {
    if !args.write_skeleton.is_empty() {
        return skeleton::run(args);
    }
    let record = match record(args) {
        Ok(record) => record,
        Err(error) => return fail([error]),
    };
    let environment = environment();
    let text = match (args.json, args.junit, args.markdown) {
        (true, ..) => validation_json(&record, &environment),
        (_, true, _) => junit::junit(&record, &environment),
        (_, _, true) => Ok(validation::markdown(&record, &environment)),
        _ => Ok(validation::text(&record, &environment)),
    };
    match text.and_then(|t| output::write(&t, args.output.output.as_deref())) {
        Ok(()) if record.passed() => Status::DONE,
        Ok(()) => Status::NO,
        Err(error) => fail([error]),
    }
}

/// Runs all tables that are asked for.
fn record(args: &CheckArgs) -> Result<Record> {
    let mut record = Record::default();
    let progress = Progress::start();
    for path in &args.tables {
        let name = path.to_string_lossy();
        progress.tell(format!("running {name}"));
        let text = read(path)?;
        let folder = path.parent().unwrap_or_else(|| Path::new(""));
        record.run_by(&name, &text, Some(sha256(&text)), |case| {
            run_with(case, &mut |case, files| reduce_case(case, files, folder))
        })?;
    }
    if args.tables.is_empty() || args.builtin {
        for (name, text) in builtin() {
            progress.tell(format!("running {name}"));
            record.run(name, text, Some(sha256(text)))?;
        }
    }
    Ok(record)
}

/// The text of a table.
fn read(path: &Path) -> Result<String> {
    let place = || Place::in_source(&path.to_string_lossy());
    let io = |e| Error::io("the table cannot be read", e).at(place());
    let most = Limits::default().max_bytes;
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(io)?;
    file.take(most + 1).read_to_end(&mut bytes).map_err(io)?;
    if bytes.len() as u64 > most {
        return Err(Error::limit(format!("a table is no longer than {most} bytes")).at(place()));
    }
    String::from_utf8(bytes).map_err(|_| {
        Error::input("the table is not UTF-8")
            .hint("save it as UTF-8; its format is described in core/tables/README.md")
            .at(place())
    })
}

fn sha256(text: &str) -> String {
    let digest = Sha256::digest(text.as_bytes());
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
    Environment {
        build: format!("{profile}, {processor}-{system}"),
        machine: format!("{system} on {processor}, {threads} threads"),
        date: jiff::Timestamp::now()
            .round(jiff::Unit::Second)
            .unwrap_or_else(|_| jiff::Timestamp::now())
            .to_string(),
    }
}
