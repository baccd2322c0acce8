//! What the command can do, C can do: every option, every figure and every group of a document has its call, or a reason stands here
//! why there is none.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod support;

use serde_json::Value as Json;
use spheresum::*;
use spheresum_core::figure::specs;
use spheresum_core::{Quantity, figure};
use std::collections::BTreeSet;
use std::ffi::{CStr, CString, c_char};
use std::process::Command;
use std::ptr::{null, null_mut};
use support::{crate_dir, header, library_dir, prototypes};

/// Options of the command that are no options by name in C: the function that does it, or why there is none.
const OTHERWISE: [(&str, &str); 16] = [
    ("help", "the header is the help"),
    ("version", "spheresum_version"),
    ("run", "spheresum_run_add_file, once a file"),
    ("layout", "spheresum_formats_add_layout"),
    (
        "layouts",
        "spheresum_formats_add_layout, once a file of the folder",
    ),
    (
        "propose-layout",
        "a text for a person to finish; the command writes it",
    ),
    (
        "range-path",
        "spheresum_file_open with the option option=theta=S21 and so on, then spheresum_options_set_range",
    ),
    ("max-drop", "spheresum_comparison_largest_drop_db"),
    (
        "json",
        "spheresum_reduction_json, spheresum_comparison_json",
    ),
    ("csv", "spheresum_reduction_csv, spheresum_comparison_csv"),
    (
        "output",
        "spheresum_text_data; where it goes is the caller's affair",
    ),
    (
        "builtin",
        "spheresum_table_check runs the library's own tables",
    ),
    (
        "junit",
        "spheresum_table_check, whose lines a build server's form is made of",
    ),
    ("markdown", "spheresum_table_check, likewise"),
    ("write-skeleton", "spheresum_reduction_skeleton"),
    ("force", "the demo's files are written by the command alone"),
];

/// Groups of the documents: the end of a path in JSON, without indices, and the call that gives the same. The first that fits
/// counts.
const GROUPS: [(&str, &str); 25] = [
    ("program", "spheresum_version"),
    (
        "schema",
        "spheresum_reduction_json, spheresum_comparison_json",
    ),
    (
        "inputs",
        "spheresum_file_format, spheresum_file_sha256, spheresum_file_readings",
    ),
    ("history", "spheresum_reduction_json"),
    (
        "channels.noise",
        "spheresum_reduction_noise, spheresum_noise_number, spheresum_noise_floor_dbm",
    ),
    ("channels.directions", "spheresum_comparison_json"),
    (
        "channels.frequency_hz",
        "spheresum_reduction_frequency_hz, spheresum_comparison_frequency_hz",
    ),
    (
        "tests.channels.figures",
        "spheresum_comparison_difference, spheresum_difference_number",
    ),
    (
        "tests.summary",
        "spheresum_comparison_summary, spheresum_difference_number",
    ),
    ("tests.findings", "spheresum_comparison_finding"),
    ("tests.name", "spheresum_comparison_name"),
    ("tests.sentence", "spheresum_comparison_sentence"),
    ("tests.headline", "spheresum_comparison_headline"),
    ("channels.figures.state", "spheresum_figure_state"),
    ("channels.figures.reason", "spheresum_figure_reason"),
    (
        "channels.figures.bounds_assume",
        "spheresum_figure_assumption",
    ),
    (
        "channels.figures",
        "spheresum_reduction_figure, spheresum_figure_number",
    ),
    (
        "summary",
        "spheresum_reduction_summary, spheresum_figure_number",
    ),
    (
        "findings",
        "spheresum_reduction_finding, spheresum_finding_message",
    ),
    ("name", "spheresum_reduction_name"),
    ("quantity", "spheresum_reduction_quantity"),
    ("rule", "spheresum_reduction_rule"),
    ("edges", "spheresum_figure_edges"),
    ("fill", "spheresum_reduction_json"),
    ("verdict", "spheresum_reduction_verdict"),
];

/// A borrowed text, copied.
fn text(borrowed: *const c_char) -> String {
    // SAFETY: never NULL, ends in a zero byte, and lives during the call.
    unsafe { CStr::from_ptr(borrowed) }
        .to_str()
        .unwrap()
        .to_string()
}

/// Checks a status, with the message.
fn done(status: i32, error: *mut SpheresumError) {
    // SAFETY: NULL or an error of the call.
    let message = unsafe { spheresum_error_message(error) };
    assert_eq!(status, 0, "{}", text(message));
}

/// Every name of a function in a sentence is declared.
fn assert_declared(sentence: &str) {
    let declared = prototypes(&header());
    for word in sentence.split(|c: char| !c.is_alphanumeric() && c != '_') {
        if word.starts_with("spheresum_") {
            assert!(declared.iter().any(|d| d == word), "{word} is no function");
        }
    }
}

/// What the command prints.
fn command(arguments: &[&str]) -> String {
    let folder = library_dir().parent().unwrap().to_path_buf();
    let profile = match folder.file_name().and_then(|n| n.to_str()) {
        Some("debug") | None => "dev",
        Some(name) => name,
    };
    let output = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
        .args([
            "run",
            "--quiet",
            "--package",
            "spheresum",
            "--profile",
            profile,
            "--target-dir",
        ])
        .arg(folder.parent().unwrap())
        .arg("--")
        .args(arguments)
        .current_dir(crate_dir().join(".."))
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", support::text(&output));
    String::from_utf8(output.stdout).unwrap()
}

/// Long options of a help text: they stand at the front of a line, or behind a short one, and less deep than the sentences.
fn long_options(help: &str) -> Vec<String> {
    help.lines()
        .filter(|line| line.len() - line.trim_start().len() < 10)
        .filter_map(|line| {
            let line = line.trim_start();
            let long = if line.starts_with("--") {
                line
            } else {
                line.strip_prefix('-')?.split_once(", ")?.1
            };
            let name = long.strip_prefix("--")?;
            Some(
                name.split(|c: char| c.is_whitespace() || c == '=')
                    .next()?
                    .to_string(),
            )
        })
        .collect()
}

#[test]
fn every_option_of_the_command_has_its_like() {
    let main = command(&["--help"]);
    let commands: Vec<&str> = main
        .lines()
        .skip_while(|line| *line != "Commands:")
        .skip(1)
        .take_while(|line| line.starts_with("  "))
        .filter_map(|line| line.strip_prefix("  ")?.split(' ').next())
        .filter(|name| !name.is_empty())
        .collect();
    for name in ["look", "reduce", "compare"] {
        assert!(commands.contains(&name), "{commands:?}");
    }
    let mut typed: BTreeSet<String> = long_options(&main).into_iter().collect();
    for name in commands {
        typed.extend(long_options(&command(&[name, "--help"])));
    }
    assert!(typed.len() > 35, "{typed:?}");
    let by_name: BTreeSet<String> = (0..spheresum_option_count())
        .map(|index| text(spheresum_option_name(index)))
        .collect();
    for name in &typed {
        let otherwise = OTHERWISE.iter().any(|(option, _)| option == name);
        assert!(
            by_name.contains(name) != otherwise,
            "--{name} is an option by name in C, or else OTHERWISE says what does it"
        );
    }
    for (name, sentence) in OTHERWISE {
        assert!(
            typed.contains(name),
            "--{name} is no option of the command any more"
        );
        assert_declared(sentence);
    }
    // What the command has no option for: `polarisation` is FILE@theta there, and `threads` is as many as there are.
    let own: Vec<&String> = by_name.difference(&typed).collect();
    assert_eq!(own, ["polarisation", "threads"]);
}

#[test]
fn paths_of_a_range_file_are_named_when_it_is_read() {
    let path = crate_dir().join("../tests/data/touchstone/good/range-three-port.s3p");
    let path = CString::new(path.to_str().unwrap()).unwrap();
    let (mut formats, mut options, mut file, mut error) =
        (null_mut(), null_mut(), null_mut(), null_mut());
    // SAFETY: outputs that live, texts that end in a zero byte, objects that are freed once.
    unsafe {
        done(
            spheresum_formats_new(&raw mut formats, &raw mut error),
            error,
        );
        done(
            spheresum_options_new(&raw mut options, &raw mut error),
            error,
        );
        for value in [c"theta=S21", c"phi=S31"] {
            done(
                spheresum_options_set(options, c"option".as_ptr(), value.as_ptr(), &raw mut error),
                error,
            );
        }
        done(
            spheresum_file_open(
                formats,
                path.as_ptr(),
                options,
                &raw mut file,
                &raw mut error,
            ),
            error,
        );
        assert_eq!(spheresum_file_has_curve(file), 1);
        done(
            spheresum_options_set_range(options, file, &raw mut error),
            error,
        );
        spheresum_file_free(file);
        spheresum_options_free(options);
        spheresum_formats_free(formats);
    }
}

/// A reduction of a source that is the same in all directions, at two frequencies, with the figures asked for.
///
/// # Safety
/// None of the caller's; the caller frees the result.
unsafe fn reduced(quantity: i32, options: &[(&CStr, &CStr)]) -> *mut SpheresumReduction {
    let (mut theta_deg, mut phi_deg) = (Vec::new(), Vec::new());
    for i in 0..=12 {
        for j in 0..24 {
            theta_deg.push(15.0 * f64::from(i));
            phi_deg.push(15.0 * f64::from(j));
        }
    }
    let one = vec![1.0; theta_deg.len()];
    let (mut readings, mut run, mut set) = (null_mut(), null_mut(), null_mut());
    let (mut reduction, mut error) = (null_mut(), null_mut());
    // SAFETY: arrays of the length given, outputs that live, texts that end in a zero byte, objects that are freed once.
    unsafe {
        done(
            spheresum_readings_new(
                quantity,
                c"same".as_ptr(),
                &raw mut readings,
                &raw mut error,
            ),
            error,
        );
        for polarisation in [SPHERESUM_POLARISATION_THETA, SPHERESUM_POLARISATION_PHI] {
            for frequency_hz in [868.3e6, 869.5e6] {
                let n = theta_deg.len();
                let (theta_deg, phi_deg, one) =
                    (theta_deg.as_ptr(), phi_deg.as_ptr(), one.as_ptr());
                let status = if quantity == SPHERESUM_QUANTITY_FIELD {
                    spheresum_readings_add_field(
                        readings,
                        polarisation,
                        frequency_hz,
                        n,
                        theta_deg,
                        phi_deg,
                        one,
                        one,
                        null(),
                        &raw mut error,
                    )
                } else {
                    spheresum_readings_add(
                        readings,
                        polarisation,
                        frequency_hz,
                        n,
                        theta_deg,
                        phi_deg,
                        one,
                        SPHERESUM_UNIT_LINEAR,
                        null(),
                        null(),
                        &raw mut error,
                    )
                };
                done(status, error);
            }
        }
        done(
            spheresum_run_new(c"same".as_ptr(), &raw mut run, &raw mut error),
            error,
        );
        done(
            spheresum_run_add_readings(run, readings, &raw mut error),
            error,
        );
        done(spheresum_options_new(&raw mut set, &raw mut error), error);
        for (name, value) in options {
            done(
                spheresum_options_set(set, name.as_ptr(), value.as_ptr(), &raw mut error),
                error,
            );
        }
        done(
            spheresum_reduce(run, set, &raw mut reduction, &raw mut error),
            error,
        );
        spheresum_options_free(set);
        spheresum_run_free(run);
        spheresum_readings_free(readings);
    }
    reduction
}

#[test]
fn every_figure_is_found_by_its_name() {
    let known = [
        (SPHERESUM_QUANTITY_EIRP, Quantity::Eirp),
        (SPHERESUM_QUANTITY_EIS, Quantity::Eis),
        (SPHERESUM_QUANTITY_GAIN, Quantity::Gain),
        (SPHERESUM_QUANTITY_FIELD, Quantity::Relative),
    ];
    let mut summaries = BTreeSet::new();
    let all = specs();
    assert!(all.len() > 20);
    for spec in all {
        let (number, _) = known
            .iter()
            .find(|(_, quantity)| (spec.applies)(*quantity))
            .unwrap_or_else(|| panic!("{} is a figure of no quantity here", spec.name));
        let name = CString::new(spec.name).unwrap();
        let mut options = vec![(c"figures", name.as_c_str())];
        if *number == SPHERESUM_QUANTITY_EIRP {
            options.push((c"conducted-power-dbm", c"40"));
            options.push((c"accepted-power-dbm", c"39"));
        }
        let (mut figure, mut error) = (null(), null_mut());
        // SAFETY: as in reduced().
        unsafe {
            let reduction = reduced(*number, &options);
            for channel in 0..2 {
                let status = spheresum_reduction_find(
                    reduction,
                    channel,
                    name.as_ptr(),
                    &raw mut figure,
                    &raw mut error,
                );
                done(status, error);
                assert_eq!(text(spheresum_figure_name(figure)), spec.name);
                assert_eq!(text(spheresum_figure_unit(figure)), spec.unit.symbol());
            }
            for index in 0..spheresum_reduction_summary_count(reduction) {
                summaries.insert(text(spheresum_figure_name(spheresum_reduction_summary(
                    reduction, index,
                ))));
            }
            spheresum_reduction_free(reduction);
        }
    }
    // Figures over frequencies are made of a figure of each.
    assert!(summaries.len() >= 2, "{summaries:?}");
    for name in summaries {
        assert!(figure::summarised_by(&name).is_some(), "{name}");
    }
}

/// Paths of everything in a document, without indices.
fn paths(json: &Json, at: &str, into: &mut BTreeSet<String>) {
    match json {
        Json::Object(fields) => {
            for (name, value) in fields {
                paths(value, &format!("{at}.{name}"), into);
            }
        }
        Json::Array(all) if !all.is_empty() => {
            for value in all {
                paths(value, at, into);
            }
        }
        _ => {
            into.insert(at.to_string());
        }
    }
}

#[test]
fn every_group_of_a_document_has_its_call() {
    let demo = |name: &str| {
        crate_dir()
            .join("../cli/demo")
            .join(name)
            .to_str()
            .unwrap()
            .to_string()
    };
    let files = [demo("gauge-rev-b.csv"), demo("gauge-rev-b-saving.csv")];
    let (loss, floor) = (demo("range-loss.csv"), demo("noise-floor.csv"));
    let mut all = BTreeSet::new();
    for name in ["reduce", "compare"] {
        let json = command(&[
            name,
            &files[0],
            &files[1],
            "--range",
            &loss,
            "--floor",
            &floor,
            "--detector",
            "rms",
            "--json",
        ]);
        paths(&serde_json::from_str(&json).unwrap(), "", &mut all);
    }
    assert!(all.len() > 80, "{all:?}");
    let mut used = BTreeSet::new();
    for path in &all {
        // A path is that of a group, or of something below it.
        let below = format!("{path}.");
        let group = GROUPS
            .iter()
            .find(|(group, _)| below.contains(&format!(".{group}.")));
        let (group, _) = group.unwrap_or_else(|| {
            panic!("{path} of the JSON documents: say in GROUPS which call gives it")
        });
        used.insert(*group);
    }
    for (group, sentence) in GROUPS {
        assert_declared(sentence);
        assert!(used.contains(group), "{group} stands in no document");
    }
}
