//! The C interface: a C program, linked to the shared library, is given rows and prints the TRP.

use spheresum_core::figure::FigureState;
use spheresum_core::rule::{EdgesChoice, Rule, RuleChoice};
use spheresum_core::table::{Amount, Answer, Asked, Case, Check, Outcome, Row, Symbol};
use spheresum_core::unit::level;
use spheresum_core::{Group, Mark, Polarisation, Quantity, Value};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::LazyLock;

/// Stands for 0 W, which has no decibels: 1e-33 W, far below the last bit of any figure here.
const NOTHING_DBM: f64 = -300.0;

/// The compiled program.
static PROGRAM: LazyLock<PathBuf> = LazyLock::new(|| {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let test = std::env::current_exe().expect("a test has a path");
    let libraries = test.parent().expect("target/PROFILE/deps");
    let program = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("trp_of_rows{}", std::env::consts::EXE_SUFFIX));
    let built = Command::new(std::env::var_os("CC").unwrap_or_else(|| "cc".into()))
        .args([
            "-std=c99",
            "-Wall",
            "-Wextra",
            "-Wpedantic",
            "-Werror",
            "-I",
        ])
        .arg(here.join("../capi/include"))
        .arg(here.join("checks/c/trp_of_rows.c"))
        .arg("-L")
        .arg(libraries)
        .arg("-lspheresum")
        .arg(format!("-Wl,-rpath,{}", libraries.display()))
        .arg("-o")
        .arg(&program)
        .output()
        .expect("a C compiler starts");
    assert!(
        built.status.success(),
        "{}",
        String::from_utf8_lossy(&built.stderr)
    );
    program
});

/// True for rows on the TRP of EIRP readings: what the C interface gives so far. It takes a rule and no other option.
pub fn has(case: &Case, row: &Row) -> bool {
    let of = match &row.check {
        Check::Gives { of, .. } | Check::Never { of, .. } | Check::Is { of, .. } => of,
        _ => return false,
    };
    let trp = *of == Asked::One("trp".to_string());
    let eirp = matches!(case.readings(), Some(Ok(r)) if r.quantity() == Quantity::Eirp);
    // Window edges do not reach the TRP.
    let plain = case
        .command_options
        .iter()
        .all(|(name, _)| name == "rule" || name == "edges");
    trp && eirp && plain
}

/// Runs a case.
pub fn run(case: &Case) -> Outcome {
    assert!(matches!(
        case.options.edges,
        EdgesChoice::Auto | EdgesChoice::Fixed(_)
    ));
    let rule = match case.options.rule {
        RuleChoice::Auto => 0,
        RuleChoice::Fixed(Rule::Sine) => 1,
        RuleChoice::Fixed(Rule::ClenshawCurtis) => 2,
        other => panic!("the C interface has no rule {other}"),
    };
    let rows = rows(case);
    let mut text = format!("{rule} {}\n", rows.len());
    for ((theta, phi), [a, b]) in &rows {
        writeln!(
            text,
            "{} {} {a:e} {b:e}",
            f64::from_bits(*theta),
            f64::from_bits(*phi)
        )
        .unwrap();
    }
    let mut child = Command::new(&*PROGRAM)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(text.as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(
        output.status.success(),
        "the program fell: {:?}",
        output.status
    );
    let said = String::from_utf8(output.stdout).unwrap();
    let (first, message) = said.split_once('\n').unwrap();
    let words: Vec<&str> = first.split(' ').collect();
    let status: i32 = words[0].parse().unwrap();
    if status != 0 {
        let family = usize::try_from(status / 1000).unwrap();
        let group = family
            .checked_sub(1)
            .and_then(|g| Group::ALL.get(g).copied());
        return Outcome::Failed {
            groups: group.into_iter().collect(),
            message: message.to_string(),
        };
    }
    let state = match words[1] {
        "0" => FigureState::Value,
        "1" => FigureState::Zero,
        "2" => FigureState::NotAboveZero,
        other => panic!("state {other}"),
    };
    let value: f64 = words[2].parse().unwrap();
    Outcome::Answers(vec![Answer {
        name: "trp".to_string(),
        state,
        amount: (state == FigureState::Value).then(|| Amount::new(value, Symbol::Dbm)),
    }])
}

/// Levels of both polarisations by direction, dBm.
fn rows(case: &Case) -> BTreeMap<(u64, u64), [f64; 2]> {
    let mut rows = BTreeMap::new();
    for reading in case.readings().unwrap().unwrap().iter() {
        let Value::Power(watts) = reading.value else {
            panic!("EIRP is a power")
        };
        assert_eq!(reading.mark, Mark::Exact);
        let level = if watts > 0.0 {
            level::dbm_from_w(watts).max(NOTHING_DBM)
        } else {
            NOTHING_DBM
        };
        let row = rows
            .entry((reading.theta_deg.to_bits(), reading.phi_deg.to_bits()))
            .or_insert([f64::NAN; 2]);
        row[usize::from(reading.polarisation == Polarisation::Phi)] = level;
    }
    rows
}
