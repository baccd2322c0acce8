//! Every bad file: group, line, column and words of its error, as `EXPECTED.csv` beside them says.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod data;

use spheresum_core::intake::ReadOptions;

#[test]
fn each_has_its_place_and_words() {
    let mut wrong = Vec::new();
    let rows = data::table("bad/EXPECTED.csv");
    for row in rows.iter().skip(1) {
        let [file, group, line, column, part] = &row[..] else {
            panic!("{row:?}");
        };
        let read = data::read_file(&format!("bad/{file}"), &ReadOptions::default());
        let Err(error) = read else {
            wrong.push(format!("{file} was read"));
            continue;
        };
        let place = error.place().cloned().unwrap_or_default();
        let got = [
            error.group().as_str().to_string(),
            place.line.unwrap_or(0).to_string(),
            place.column.unwrap_or(0).to_string(),
        ];
        if got != [group.clone(), line.clone(), column.clone()] || !error.message().contains(part) {
            wrong.push(format!("{file}: {got:?} {error}"));
        }
        let hint = error.advice().unwrap_or_default();
        if hint.len() < 10 || place.byte.is_none() {
            wrong.push(format!("{file}: hint {hint:?}, byte {:?}", place.byte));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_list_is_that_of_the_files() {
    let rows = data::table("bad/EXPECTED.csv");
    assert_eq!(
        rows[0],
        ["file", "group", "line", "column", "message_contains"]
    );
    let mut listed: Vec<String> = rows.iter().skip(1).map(|r| r[0].clone()).collect();
    listed.push("EXPECTED.csv".to_string());
    listed.sort();
    assert_eq!(listed, data::names("bad"));
    assert!(listed.len() >= 25);
}

#[test]
fn hints_say_what_to_do() {
    // What a hint must name, so that the reader can act.
    for (file, part) in [
        ("ports-ambiguous.txt", "ports=1 or ports=2"),
        ("name-against-data.s4p", "ports=4 or ports=2"),
        ("ports-no-square.txt", "option ports"),
        ("no-option-line.s1p", "# GHz S MA R 50"),
        ("unknown-option.s1p", "DB, MA, RI"),
        ("negative-magnitude.s1p", "RI"),
        (
            "noise-too-high.s2p",
            "noise block begins at a frequency below",
        ),
        (
            "missing-value.s2p",
            "files of two ports have 9 numbers a frequency",
        ),
        ("decimal-comma.s1p", "decimal sign is a point"),
        ("order-missing.ts", "21_12 (S11 S21 S12 S22)"),
        ("unknown-keyword.ts", "[Number of Ports]"),
        ("eight-ports.ts", "export the ports of the range"),
    ] {
        let read = data::read_file(&format!("bad/{file}"), &ReadOptions::default());
        let error = read.unwrap_err();
        let hint = error.advice().unwrap_or_default();
        assert!(hint.contains(part), "{file}: {hint}");
    }
}
