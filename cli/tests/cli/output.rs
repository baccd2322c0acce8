//! `--output`: a file that is complete or not there.

use crate::bench::{Bench, Pattern};

#[test]
fn the_file_holds_what_standard_output_would() {
    let bench = Bench::new();
    bench.write("in/a.csv", &Pattern::default().csv());
    bench.write("out/result.json", "something old");
    for format in ["--json", "--csv", "--rule=auto"] {
        let printed = bench.run(&["reduce", "in/a.csv", format]).must_be(0).out;
        let ran = bench
            .run(&["reduce", "in/a.csv", format, "--output", "out/result.json"])
            .must_be(0);
        assert!(ran.out.is_empty());
        assert_eq!(bench.read("out/result.json"), printed);
    }
    let there: Vec<_> = std::fs::read_dir(bench.path().join("out"))
        .unwrap()
        .collect();
    assert_eq!(there.len(), 1, "nothing else is left in the folder");
    for (command, words) in [("look", &["in/a.csv"][..]), ("formats", &[])] {
        let ran = bench
            .run(&[&[command][..], words, &["--output", "out/result.json"]].concat())
            .must_be(0);
        assert!(ran.out.is_empty());
        assert!(bench.read("out/result.json").contains("delimited"));
    }
}

#[cfg(unix)]
#[test]
fn the_file_has_the_rights_of_any_new_file() {
    use std::os::unix::fs::PermissionsExt;
    let bench = Bench::new();
    bench.write("a.csv", &Pattern::default().csv());
    bench
        .run(&["reduce", "a.csv", "--output", "r.txt"])
        .must_be(0);
    let mode = std::fs::metadata(bench.path().join("r.txt"))
        .unwrap()
        .permissions()
        .mode()
        & 0o777;
    let any = std::fs::metadata(bench.write("any", ""))
        .unwrap()
        .permissions()
        .mode()
        & 0o777;
    assert_eq!(mode, any & 0o644, "{mode:o}");
    // A link keeps pointing where it points.
    std::os::unix::fs::symlink("r.txt", bench.path().join("link.txt")).unwrap();
    bench
        .run(&["reduce", "a.csv", "--csv", "--output", "link.txt"])
        .must_be(0);
    assert!(
        std::fs::symlink_metadata(bench.path().join("link.txt"))
            .unwrap()
            .is_symlink()
    );
    assert!(bench.read("r.txt").starts_with("run,"));
}

#[test]
fn a_folder_that_is_not_there_exits_with_3() {
    let bench = Bench::new();
    bench.write("a.csv", &Pattern::default().csv());
    let ran = bench
        .run(&["reduce", "a.csv", "--output", "absent/r.txt"])
        .must_be(3);
    assert!(ran.err.contains("cannot be written"), "{}", ran.err);
    assert!(!ran.err.contains(".spheresum-"), "{}", ran.err);
}

#[test]
fn a_result_is_never_written_over_its_input() {
    let bench = Bench::new();
    let text = "theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n0,0,1,1\n";
    bench.write("in.csv", text);
    bench.write("loss.csv", text);
    for typed in [
        &["reduce", "in.csv", "--output", "./in.csv", "--json"][..],
        &["look", "in.csv", "--output", "in.csv"],
        &["reduce", "--run", "a=in.csv@theta", "--output", "in.csv"],
        &["compare", "loss.csv", "in.csv", "--output", "in.csv"],
        &[
            "reduce", "in.csv", "--range", "loss.csv", "--output", "loss.csv",
        ],
    ] {
        let ran = bench.run(typed).must_be(2);
        assert!(ran.err.contains("would overwrite the input"), "{}", ran.err);
    }
    assert_eq!(bench.read("in.csv"), text);
    assert_eq!(bench.read("loss.csv"), text);
}
