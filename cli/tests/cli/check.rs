//! `check`.

use crate::bench::Bench;

/// An isotropic source of 0 dBm; the expected TRP is wrong by `off`.
fn table(off: &str) -> String {
    format!(
        "table: golden device\nrows: 1\n\ncase: iso\n  pattern: isotropic\n  theta-step: 15 deg\n  phi-step: 15 deg\n  \
         given-trp: 0 dBm\n  rule: clenshaw-curtis\n  gives: trp | {off} dBm | within 1e-9 dB | closed form: as given\n"
    )
}

#[test]
fn the_own_tables_pass_in_every_form() {
    let bench = Bench::new();
    let text = bench.run(&["check"]).must_be(0).out;
    assert!(
        text.contains("Passed: ") && text.contains("closed form"),
        "{text}"
    );
    let json = bench.run(&["check", "--json"]).must_be(0).json();
    assert_eq!(json["schema"], "spheresum.validation/1");
    assert_eq!(json["passed"], true);
    let rows = json["rows"].as_array().unwrap().len();
    assert!(rows > 200);
    let sum: u64 = json["tables"]
        .as_array()
        .unwrap()
        .iter()
        .map(|t| {
            assert_eq!(t["sha256"].as_str().unwrap().len(), 64);
            t["rows"].as_u64().unwrap()
        })
        .sum();
    assert_eq!(sum, rows as u64);
    assert!(json["environment"]["date"].as_str().unwrap().ends_with('Z'));
    let junit = bench.run(&["check", "--junit"]).must_be(0).out;
    assert_eq!(junit.matches("<testcase ").count(), rows);
    assert!(!junit.contains("<failure"), "{junit}");
    let markdown = bench.run(&["check", "--markdown"]).must_be(0).out;
    assert!(markdown.starts_with("# Validation of spheresum\n"));
}

#[test]
fn an_own_table_is_run_and_a_wrong_row_fails() {
    let bench = Bench::new();
    bench.write("right.tbl", &table("0"));
    bench.write("wrong.tbl", &table("0.25"));
    bench.run(&["check", "right.tbl"]).must_be(0);
    let ran = bench.run(&["check", "right.tbl", "wrong.tbl"]).must_be(1);
    assert!(
        ran.out.contains("FAILED wrong.tbl:10 iso") && ran.out.contains("Failed: 1 of 2 rows."),
        "{}",
        ran.out
    );
    let json = bench
        .run(&["check", "wrong.tbl", "--json"])
        .must_be(1)
        .json();
    let deviation = json["rows"][0]["deviation"].as_f64().unwrap();
    assert!((deviation - 0.25).abs() < 1e-9);
    let junit = bench.run(&["check", "wrong.tbl", "--junit"]).must_be(1).out;
    assert_eq!(junit.matches("<failure").count(), 1);
    // With the program's own as well.
    let both = bench
        .run(&["check", "wrong.tbl", "--builtin", "--json"])
        .must_be(1);
    assert!(both.json()["tables"].as_array().unwrap().len() > 10);
}

#[test]
fn what_is_no_table_is_refused_with_its_line() {
    let bench = Bench::new();
    bench.write("broken.tbl", "table: one\nrows: 3\n");
    let ran = bench.run(&["check", "broken.tbl"]).must_be(3);
    assert!(
        ran.out.contains("NO TABLE broken.tbl") && ran.err.contains("--> broken.tbl:2:7"),
        "{}{}",
        ran.out,
        ran.err
    );
    bench.run(&["check", "absent.tbl"]).must_be(3);
    bench.run(&["check", "--json", "--junit"]).must_be(2);
}

/// A sphere that radiates alike everywhere, as a file of two polarisations.
fn sphere(polarisation: &str) -> String {
    let mut text = format!("theta_deg,phi_deg,eirp_{polarisation}_dbm\n");
    for theta in (0..=180).step_by(30) {
        for phi in (0..360).step_by(30) {
            text += &format!("{theta},{phi},0\n");
        }
    }
    text
}

#[test]
fn a_table_on_own_files_looks_for_them_beside_it() {
    let bench = Bench::new();
    bench.write("lab/v.csv", &sphere("theta"));
    bench.write("lab/h.csv", &sphere("phi"));
    bench.write(
        "lab/own.tbl",
        "table: golden device\nrows: 3\n\ncase: iso\n  files: v.csv, h.csv\n  options: --rule clenshaw-curtis\n  \
         gives: trp | 3.0102999566398119521 dBm | within 1e-9 dB | closed form: 10 log10 2, 0 dBm in each polarisation\n\ncase: missing\n  \
         files: none.csv\n  fails: io | closed form: there is no such file\n\ncase: no-option\n  files: v.csv, h.csv\n  options: --json 1\n  \
         fails: usage | closed form: reduce writes JSON, a case does not\n",
    );
    bench.run(&["check", "lab/own.tbl"]).must_be(0);
}

#[test]
fn a_skeleton_passes_where_it_was_written_and_tells_a_change() {
    let bench = Bench::new();
    bench.write("lab/v.csv", &sphere("theta"));
    bench.write("lab/h.csv", &sphere("phi"));
    bench.write("away.csv", &sphere("theta"));
    bench
        .run(&[
            "check",
            "--write-skeleton",
            "Iso 1=lab/v.csv@theta,lab/h.csv",
            "--rule",
            "clenshaw-curtis",
            "--decimal",
            "point",
            "--output",
            "lab/own.tbl",
        ])
        .must_be(0);
    let text = bench.read("lab/own.tbl");
    assert!(
        text.contains("case: iso-1\n  files: v.csv@theta, h.csv\n"),
        "{text}"
    );
    assert!(
        text.contains("  options: --decimal point --rule clenshaw-curtis\n"),
        "{text}"
    );
    let rows = text.matches("| snapshot: spheresum ").count();
    assert!(rows > 10);
    let json = bench
        .run(&["check", "lab/own.tbl", "--json"])
        .must_be(0)
        .json();
    assert_eq!(json["by_kind"]["snapshot"], rows as u64);
    bench.write(
        "lab/h.csv",
        &sphere("phi").replace("\n0,0,0", "\n0,0,0.001"),
    );
    bench.run(&["check", "lab/own.tbl"]).must_be(1);
    // A file that is not in the table's folder is found from there.
    let text = bench
        .run(&[
            "check",
            "--write-skeleton",
            "away.csv",
            "--output",
            "lab/x.tbl",
        ])
        .must_be(0);
    assert_eq!(text.out, "");
    let line = bench.read("lab/x.tbl");
    assert!(line.contains("files: ../away.csv\n"), "{line}");
    bench.run(&["check", "lab/x.tbl"]).must_be(0);
    let ran = bench
        .run(&["check", "--write-skeleton", "none.csv@theta,h.csv"])
        .must_be(2);
    assert!(ran.err.contains("NAME=FILE@theta"), "{}", ran.err);
}

#[test]
fn what_no_skeleton_is_made_of() {
    let bench = Bench::new();
    bench.write("v.csv", &sphere("theta"));
    // Options of reading and reducing stand in the cases of a table.
    bench.run(&["check", "--rule", "sine"]).must_be(2);
    bench
        .run(&["check", "--write-skeleton", "v.csv", "--run", "a=v.csv"])
        .must_be(2);
    bench
        .run(&["check", "--write-skeleton", "v.csv", "--json"])
        .must_be(2);
    bench.run(&["check", "--write-skeleton", "-"]).must_be(2);
    bench
        .run(&["check", "--write-skeleton", "v.csv", "--output", "v.csv"])
        .must_be(2);
    bench
        .run(&["check", "--write-skeleton", "none.csv", "--output", "x.tbl"])
        .must_be(3);
    assert!(!bench.path().join("x.tbl").exists());
}

#[test]
fn a_record_is_not_written_over_what_it_is_made_of() {
    let bench = Bench::new();
    bench.write("iso.csv", &both());
    bench.write(
        "loss.csv",
        "frequency_mhz,loss_theta_db,loss_phi_db\n800,1,1\n900,1,1\n",
    );
    let table = "table: own\nrows: 1\ncase: iso\n  files: iso.csv\n  options: --range loss.csv\n  fails: usage | closed form: EIRP has no range loss left\n";
    bench.write("own.tbl", table);
    for target in ["own.tbl", "iso.csv", "loss.csv"] {
        let before = bench.read(target);
        let ran = bench
            .run(&["check", "own.tbl", "--json", "--output", target])
            .must_be(2);
        assert!(ran.err.contains("would overwrite the input"), "{}", ran.err);
        assert_eq!(bench.read(target), before);
    }
}

#[test]
fn the_record_names_files_program_and_command() {
    let bench = Bench::new();
    bench.write("lab/iso.csv", &both());
    bench.write(
        "lab/own.tbl",
        "table: own\nrows: 1\ncase: iso\n  files: iso.csv\n  gives: directivity | 0 dBi | within 1 dB | closed form: alike everywhere\n    because: on purpose\n",
    );
    let hash = |bench: &Bench| {
        let json = bench
            .run(&["check", "lab/own.tbl", "--json"])
            .must_be(0)
            .json();
        assert_eq!(json["environment"]["command"][1], "lab/own.tbl");
        assert_eq!(
            json["environment"]["program_sha256"]
                .as_str()
                .unwrap()
                .len(),
            64
        );
        assert!(
            json["caution"]
                .as_str()
                .unwrap()
                .contains("no certification")
        );
        assert_eq!(json["failed"], 0);
        json["files"][0]["sha256"].as_str().unwrap().to_string()
    };
    let before = hash(&bench);
    bench.write("lab/iso.csv", &both().replace("0,0,0,0", "0,0,0.5,0.5"));
    assert_ne!(hash(&bench), before);
    for form in ["--markdown", "--junit"] {
        let text = bench.run(&["check", "lab/own.tbl", form]).must_be(0).out;
        assert!(
            text.contains("lab/iso.csv") && text.contains(&hash(&bench)),
            "{text}"
        );
    }
}

#[test]
fn a_text_that_is_no_table_is_part_of_the_record() {
    let bench = Bench::new();
    bench.write("right.tbl", &format!("\u{feff}{}", table("0")));
    bench.write("broken.tbl", "table: broken\nrows: 7\n");
    let ran = bench
        .run(&[
            "check",
            "broken.tbl",
            "right.tbl",
            "--junit",
            "--output",
            "r.xml",
        ])
        .must_be(3);
    assert!(ran.err.contains("broken.tbl"), "{}", ran.err);
    let xml = bench.read("r.xml");
    assert!(
        xml.contains("errors=\"1\"") && xml.contains("this is a table"),
        "{xml}"
    );
    assert_eq!(xml.matches("<testcase ").count(), 2);
    let text = bench
        .run(&["check", "broken.tbl", "right.tbl"])
        .must_be(3)
        .out;
    assert!(
        text.contains("Failed: 1 table could not be read; 1 row of the others passed."),
        "{text}"
    );
    assert!(!text.contains("This shows"), "{text}");
    let text = bench.run(&["check", "right.tbl"]).must_be(0).out;
    assert!(text.contains("This shows that this program"), "{text}");
}

#[test]
fn errors_in_rows_say_what_to_do() {
    let bench = Bench::new();
    let several = both().replace("theta_deg", "frequency_mhz,theta_deg");
    let mut lines = several.lines();
    let mut text = format!("{}\n", lines.next().unwrap());
    for line in lines {
        text += &format!("868,{line}\n915,{line}\n");
    }
    bench.write("iso.csv", &text);
    let case = |name: &str, more: &str| {
        format!(
            "case: {name}\n  files: iso.csv\n  options: --rule clenshaw-curtis\n{more}  gives: directivity | 0 dBi | within 1e-9 dB | closed form: alike everywhere\n"
        )
    };
    let table = format!(
        "table: own\nrows: 3\n{}{}{}",
        case("none", ""),
        case("one", "  frequency: 868 MHz\n"),
        case("other", "  frequency: 868.4 MHz\n")
    );
    bench.write("own.tbl", &table);
    let out = bench
        .run(&["check", "own.tbl", "--markdown"])
        .must_be(1)
        .out;
    assert_eq!(out.matches("868 MHz, 915 MHz").count(), 2, "{out}");
    assert!(out.contains("2 of 3 rows"), "{out}");
    // A share of a number of decibels is no tolerance.
    bench.write(
        "relative.tbl",
        &self::table("0").replace("1e-9 dB", "0.01 relative"),
    );
    bench.run(&["check", "relative.tbl"]).must_be(3);
}

/// A sphere that radiates alike everywhere, both polarisations in one file.
fn both() -> String {
    let mut text = String::from("theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n");
    for theta in (0..=180).step_by(30) {
        for phi in (0..360).step_by(30) {
            text += &format!("{theta},{phi},0,0\n");
        }
    }
    text
}

#[test]
fn no_result_is_written_over_a_floor() {
    let bench = Bench::new();
    bench.write("iso.csv", &both());
    bench.write("floor.csv", &both());
    let before = bench.read("floor.csv");
    let given = [
        "iso.csv",
        "--floor",
        "floor.csv",
        "--detector",
        "rms",
        "--output",
        "floor.csv",
    ];
    for words in [&["reduce"][..], &["check", "--write-skeleton"][..]] {
        let ran = bench.run(&[words, &given[..]].concat()).must_be(2);
        assert!(ran.err.contains("would overwrite the input"), "{}", ran.err);
        assert_eq!(bench.read("floor.csv"), before);
    }
}
