//! Exit statuses and what standard error says.

use crate::bench::{Bench, Pattern, figure};

#[test]
fn a_bad_field_is_shown_with_a_caret() {
    let bench = Bench::new();
    bench.write(
        "bad.csv",
        "theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n0,0,1.5,2\n0,30,1x5,2\n",
    );
    let ran = bench.run(&["reduce", "bad.csv"]).must_be(3);
    assert!(ran.out.is_empty());
    assert!(ran.err.contains("bad.csv:3:6"), "{}", ran.err);
    let lines: Vec<&str> = ran.err.lines().collect();
    let at = lines
        .iter()
        .position(|l| l.contains("0,30,1x5,2"))
        .expect("the line is shown");
    let column = lines[at].find("1x5").unwrap();
    assert_eq!(lines[at + 1].find('^'), Some(column), "{}", ran.err);
    assert!(lines[at + 1].contains("^^^"), "{}", ran.err);
    assert!(ran.err.contains("help:"), "{}", ran.err);
}

#[test]
fn a_long_line_is_trimmed_around_the_place() {
    let bench = Bench::new();
    let long = "x".repeat(3000);
    bench.write(
        "long.csv",
        &format!("theta_deg,phi_deg,note,eirp_theta_dbm,eirp_phi_dbm\n0,0,{long},1?,2\n"),
    );
    let words = ["reduce", "long.csv", "--column", "note=ignore"];
    let ran = bench.run(&words).must_be(3);
    assert!(ran.err.contains("long.csv:2:3006"), "{}", ran.err);
    assert!(
        ran.err.lines().all(|l| l.chars().count() < 250),
        "{}",
        ran.err
    );
    assert!(ran.err.contains("1?,2"), "{}", ran.err);
}

#[test]
fn files_that_cannot_be_read_exit_with_3() {
    let bench = Bench::new();
    bench.write("empty.csv", "");
    bench.write("nul.csv", "a\0b");
    bench.write(
        "prose.csv",
        "Dear all, the sweep went well.\nSee you on Monday.\n",
    );
    std::fs::create_dir(bench.path().join("folder.csv")).unwrap();
    for name in [
        "empty.csv",
        "nul.csv",
        "prose.csv",
        "folder.csv",
        "absent.csv",
    ] {
        for command in ["reduce", "look"] {
            let ran = bench.run(&[command, name]).must_be(3);
            assert!(ran.err.starts_with("error: "), "{name}: {}", ran.err);
            assert!(ran.err.contains(name), "{name}: {}", ran.err);
        }
        bench.run(&["compare", name, name]).must_be(3);
    }
    let absent = bench.run(&["reduce", "absent.csv"]).err;
    assert!(absent.contains("because: "), "{absent}");
}

#[test]
fn the_others_are_reduced_and_the_highest_status_wins() {
    let bench = Bench::new();
    bench.write("good.csv", &Pattern::default().csv());
    bench.write("single.csv", &Pattern::default().single_csv("theta"));
    bench.write("empty.csv", "");
    let ran = bench
        .run(&["reduce", "empty.csv", "good.csv", "--json"])
        .must_be(3);
    assert_eq!(ran.json()["runs"][0]["name"], "good");
    assert!(ran.err.contains("empty.csv"));
    let ran = bench
        .run(&["reduce", "empty.csv", "single.csv", "good.csv"])
        .must_be(4);
    assert!(ran.out.contains("good.csv"));
    assert!(
        ran.err.contains("empty.csv") && ran.err.contains("single: trp is refused"),
        "{}",
        ran.err
    );
}

#[test]
fn one_polarisation_alone_gives_its_bound() {
    let bench = Bench::new();
    bench.write("theta.csv", &Pattern::default().single_csv("theta"));
    let ran = bench
        .run(&["reduce", "theta.csv", "--rule", "clenshaw-curtis"])
        .must_be(4);
    // Closed form: half a milliwatt is −3.0103 dBm, rounded outward.
    assert!(
        ran.err.contains("trp is refused") && ran.err.contains("at least -3.02 dBm"),
        "{}",
        ran.err
    );
    assert!(ran.out.contains("≥ -3.02"), "{}", ran.out);
    // What the data do support can be asked for.
    let single = bench
        .run(&["reduce", "theta.csv", "--figures", "trp_theta", "--json"])
        .must_be(0)
        .json();
    assert_eq!(figure(&single["runs"][0], 0, "trp_theta")["state"], "value");
    let refused = bench
        .run(&["reduce", "theta.csv", "--json"])
        .must_be(4)
        .json();
    assert_eq!(figure(&refused["runs"][0], 0, "trp")["state"], "refused");
    assert!(figure(&refused["runs"][0], 0, "trp")["reason"].is_string());
}

#[test]
fn three_rows_and_odd_grids_exit_with_4() {
    let bench = Bench::new();
    let heading = "theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n";
    bench.write(
        "three.csv",
        &format!("{heading}0,0,1,1\n30,0,1,1\n60,0,1,1\n"),
    );
    let mut listed = heading.to_string();
    for i in 0..200 {
        // A spiral: no two directions share an angle.
        listed.push_str(&format!(
            "{:.3},{:.3},1,1\n",
            0.9 * f64::from(i),
            (137.508 * f64::from(i)) % 360.0
        ));
    }
    bench.write("listed.csv", &listed);
    for name in ["three.csv", "listed.csv"] {
        let ran = bench.run(&["reduce", name]).must_be(4);
        assert!(ran.err.contains("not an equal-angle grid: "), "{}", ran.err);
        assert!(ran.err.contains(name), "{}", ran.err);
        assert!(ran.err.contains("help:"), "{}", ran.err);
        // Looking at it works all the same, and says why.
        let look = bench.run(&["look", name]).must_be(0);
        assert!(
            look.out.contains("listed") && look.out.contains("cannot be integrated"),
            "{}",
            look.out
        );
    }
}

#[test]
fn unknown_figures_are_errors_of_the_caller() {
    let bench = Bench::new();
    bench.write("a.csv", &Pattern::default().csv());
    bench.write("b.csv", &Pattern::default().csv());
    let ran = bench
        .run(&["reduce", "a.csv", "b.csv", "--figures", "nonsense"])
        .must_be(2);
    assert!(
        ran.err.contains("nonsense") && ran.err.contains("trp"),
        "{}",
        ran.err
    );
    bench
        .run(&["reduce", "a.csv", "--figures", "tis"])
        .must_be(2);
    bench
        .run(&["reduce", "a.csv", "--adapter", "nonsense"])
        .must_be(2);
    bench
        .run(&["reduce", "a.csv", "--separator", "nonsense"])
        .must_be(2);
}

#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    use std::process::Stdio;
    let bench = Bench::new();
    let mhz = vec!["1", "2", "3", "4", "5", "6", "7", "8", "9", "10"];
    bench.write(
        "a.csv",
        &Pattern {
            mhz,
            ..Pattern::default()
        }
        .csv(),
    );
    let mut child = bench
        .command(".", &["reduce", "a.csv", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert!(
        output.stderr.is_empty(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
}
