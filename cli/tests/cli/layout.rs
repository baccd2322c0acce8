//! Layouts on the command line: named, in a folder, in the history, and proposed.

use crate::bench::{Bench, Pattern, figure};

/// The pattern's file with headings that no adapter knows.
fn odd_file() -> String {
    let csv = Pattern::default().csv();
    let rows: Vec<&str> = csv
        .lines()
        .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()))
        .collect();
    let mut text = String::from("Gauge export 7\nF|Tilt|Turn|Up|Across\n");
    for row in rows {
        text.push_str(&row.replace(',', "|"));
        text.push('\n');
    }
    text
}

fn layout(id: &str) -> String {
    format!(
        "id = \"{id}\"\nname = \"gauge exports\"\nkind = \"table\"\n[recognise]\nfirst_line_contains = \"Gauge export\"\n\
         contains = \"Tilt|Turn\"\n[text]\nseparator = \"pipe\"\nskip_lines = 1\n\
         [[column]]\nheading = \"F\"\nis = \"frequency_mhz\"\n[[column]]\nheading = \"Tilt\"\nis = \"theta_deg\"\n\
         [[column]]\nheading = \"Turn\"\nis = \"phi_deg\"\n[[column]]\nheading = \"Up\"\nis = \"eirp_theta_dbm\"\n\
         [[column]]\nheading = \"Across\"\nis = \"eirp_phi_dbm\"\n"
    )
}

/// The JSON without what names files, hashes and the way they were read.
fn figures(ran: &crate::bench::Ran) -> serde_json::Value {
    ran.json()["runs"][0]["channels"].clone()
}

#[test]
fn one_named_layout_reads_the_file_as_if_it_were_ours() {
    let bench = Bench::new();
    bench.write("ours.csv", &Pattern::default().csv());
    bench.write("odd.txt", &odd_file());
    bench.write("gauge.toml", &layout("gauge-export"));
    bench.run(&["reduce", "odd.txt"]).must_be(3);
    let ours = bench.run(&["reduce", "ours.csv", "--json"]).must_be(0);
    let odd = bench
        .run(&["reduce", "odd.txt", "--layout", "gauge.toml", "--json"])
        .must_be(0);
    assert_eq!(figures(&odd), figures(&ours));
    let run = odd.json()["runs"][0].clone();
    assert_eq!(run["inputs"][0]["adapter"], "gauge-export");
    let step = &run["history"][0];
    assert_eq!(step["options"]["layout"], "gauge.toml");
    let did = step["did"].to_string();
    // The hash is that of the layout's file; that of the readings stands with the inputs.
    assert!(did.contains("layout gauge.toml: sha256 "), "{did}");
    assert!(!did.contains(run["inputs"][0]["sha256"].as_str().unwrap()));
    let again = bench
        .run(&["reduce", "odd.txt", "--layout", "gauge.toml", "--json"])
        .must_be(0);
    assert_eq!(again.out, odd.out);
}

#[test]
fn a_folder_of_layouts_takes_part_in_recognising() {
    let bench = Bench::new();
    bench.write("ours.csv", &Pattern::default().csv());
    bench.write("odd.txt", &odd_file());
    bench.write("layouts/gauge.toml", &layout("gauge-export"));
    bench.write("layouts/notes.txt", "not a layout");
    let other = layout("other-export").replace("Gauge export", "Another export");
    bench.write("layouts/other.toml", &other);
    let words = ["compare", "ours.csv", "odd.txt", "--layouts", "layouts"];
    let ran = bench.run(&[&words[..], &["--json"]].concat()).must_be(0);
    let document = ran.json();
    assert_eq!(document["reference"]["inputs"][0]["adapter"], "delimited");
    assert_eq!(document["runs"][0]["inputs"][0]["adapter"], "gauge-export");
    let step = &document["runs"][0]["history"][0]["options"];
    assert_eq!(step["layouts"], "layouts");
    let look = bench
        .run(&["look", "odd.txt", "--layouts", "layouts"])
        .must_be(0);
    assert!(look.out.contains("gauge-export (certain"), "{}", look.out);
    // By the environment, which the option stands over.
    let run = |variable: &str, words: &[&str]| {
        let mut command = bench.command(".", words);
        let output = command.env("SPHERESUM_LAYOUTS", variable).output().unwrap();
        (
            output.status.code().unwrap(),
            String::from_utf8(output.stderr).unwrap(),
        )
    };
    assert_eq!(run("layouts", &["look", "odd.txt"]).0, 0);
    assert_eq!(run("", &["look", "odd.txt"]).0, 3);
    let (status, err) = run("absent", &["look", "odd.txt"]);
    assert_eq!(status, 3);
    assert!(
        err.contains("SPHERESUM_LAYOUTS") && err.contains("absent"),
        "{err}"
    );
    assert_eq!(
        run("absent", &["look", "odd.txt", "--layouts", "layouts"]).0,
        0
    );
}

#[test]
fn of_several_named_layouts_the_one_that_fits_is_taken() {
    let bench = Bench::new();
    bench.write("ours.csv", &Pattern::default().csv());
    bench.write("odd.txt", &odd_file());
    bench.write("a.toml", &layout("gauge-export"));
    let other = layout("other-export").replace("Gauge export", "Another export");
    bench.write("b.toml", &other);
    let ran = bench
        .run(&[
            "reduce", "ours.csv", "odd.txt", "--layout", "a.toml", "--layout", "b.toml", "--json",
        ])
        .must_be(0);
    let document = ran.json();
    assert_eq!(document["runs"][0]["inputs"][0]["adapter"], "delimited");
    assert_eq!(document["runs"][1]["inputs"][0]["adapter"], "gauge-export");
    // As the history has it.
    let typed = document["runs"][1]["history"][0]["options"]["layout"].clone();
    assert_eq!(typed, "a.toml,b.toml");
    let again = bench
        .run(&[
            "reduce",
            "ours.csv",
            "odd.txt",
            "--layout",
            "a.toml,b.toml",
            "--json",
        ])
        .must_be(0);
    assert_eq!(again.out, ran.out);
    // A layout can be chosen by its id, and so can another adapter.
    let words = ["look", "odd.txt", "--layout", "a.toml,b.toml", "--adapter"];
    bench
        .run(&[&words[..], &["gauge-export"]].concat())
        .must_be(0);
    bench.run(&[&words[..], &["delimited"]].concat()).must_be(3);
    let words = ["look", "ours.csv", "--layout", "a.toml"];
    bench.run(&words).must_be(3);
    bench
        .run(&[&words[..], &["--adapter", "delimited"]].concat())
        .must_be(0);
}

#[test]
fn two_of_one_id_are_named_both() {
    let bench = Bench::new();
    bench.write("odd.txt", &odd_file());
    bench.write("a.toml", &layout("gauge-export"));
    bench.write("b.toml", &layout("gauge-export"));
    bench.write("c.toml", &layout("delimited"));
    let ran = bench
        .run(&["look", "odd.txt", "--layout", "a.toml,b.toml"])
        .must_be(2);
    assert!(
        ran.err.contains("a.toml") && ran.err.contains("b.toml"),
        "{}",
        ran.err
    );
    let ran = bench
        .run(&["reduce", "odd.txt", "--layout", "c.toml"])
        .must_be(2);
    assert!(
        ran.err.contains("c.toml") && ran.err.contains("built-in"),
        "{}",
        ran.err
    );
    // One file named twice is one layout.
    bench.write("folder/a.toml", &layout("gauge-export"));
    bench
        .run(&[
            "look",
            "odd.txt",
            "--layout",
            "folder/a.toml",
            "--layouts",
            "folder",
        ])
        .must_be(0);
}

#[test]
fn mistakes_of_a_layout_are_shown_with_a_caret() {
    let bench = Bench::new();
    bench.write("odd.txt", &odd_file());
    bench.write(
        "bad.toml",
        &layout("gauge-export").replace("theta_deg", "theta_degg"),
    );
    for command in ["reduce", "look", "formats"] {
        let words: &[&str] = match command {
            "formats" => &["formats", "--layout", "bad.toml"],
            _ => &[command, "odd.txt", "--layout", "bad.toml"],
        };
        let ran = bench.run(words).must_be(3);
        assert!(ran.err.contains("bad.toml:15:6"), "{}", ran.err);
        assert!(
            ran.err.contains("^^^") && ran.err.contains("did you mean theta_deg?"),
            "{}",
            ran.err
        );
        assert!(ran.out.is_empty());
    }
    bench
        .run(&["formats", "--layout", "absent.toml"])
        .must_be(3);
}

#[test]
fn formats_lists_layouts_with_their_files() {
    let bench = Bench::new();
    bench.write("layouts/gauge.toml", &layout("gauge-export"));
    let ran = bench.run(&["formats", "--layouts", "layouts"]).must_be(0);
    for part in [
        "gauge-export",
        "gauge exports",
        "layouts/gauge.toml",
        "delimited",
    ] {
        assert!(ran.out.contains(part), "{part}\n{}", ran.out);
    }
}

#[test]
fn a_layout_is_not_overwritten() {
    let bench = Bench::new();
    bench.write("odd.txt", &odd_file());
    bench.write("gauge.toml", &layout("gauge-export"));
    let words = [
        "reduce",
        "odd.txt",
        "--layout",
        "gauge.toml",
        "--output",
        "gauge.toml",
    ];
    let ran = bench.run(&words).must_be(2);
    assert!(ran.err.contains("overwrite"), "{}", ran.err);
    assert_eq!(bench.read("gauge.toml"), layout("gauge-export"));
}

#[test]
fn an_unknown_file_gets_a_layout_to_start_from() {
    let bench = Bench::new();
    bench.write("odd.txt", &odd_file());
    let ran = bench.run(&["look", "odd.txt"]).must_be(3);
    for part in [
        "# No adapter is sure of odd.txt:",
        "#   delimited: ",
        "separator = \"pipe\"",
        "heading = \"Turn\"\nis = \"?\"",
    ] {
        assert!(ran.out.contains(part), "{part}\n{}", ran.out);
    }
    assert!(ran.err.contains("no adapter recognises"), "{}", ran.err);
    // What is written can be filled in and used.
    let roles = ["theta_deg", "phi_deg", "eirp_theta_dbm", "eirp_phi_dbm"];
    let filled = roles.iter().fold(
        ran.out.replacen("is = \"?\"", "is = \"frequency_mhz\"", 1),
        |text, role| text.replacen("is = \"?\"", &format!("is = {role:?}"), 1),
    );
    bench.write("mine.toml", &filled);
    let ran = bench
        .run(&["reduce", "odd.txt", "--layout", "mine.toml", "--json"])
        .must_be(0);
    bench.write("ours.csv", &Pattern::default().csv());
    let ours = bench.run(&["reduce", "ours.csv", "--json"]).must_be(0);
    let trp = |ran: &crate::bench::Ran| figure(&ran.json()["runs"][0], 0, "trp")["value"].clone();
    assert_eq!(trp(&ran), trp(&ours));
}

#[test]
fn a_layout_is_proposed_for_any_file_on_request() {
    let bench = Bench::new();
    bench.write("ours.csv", &Pattern::default().csv());
    bench.write("prose.txt", "Dear all,\nthe sweep went well.\n");
    let words = [
        "look",
        "--propose-layout",
        "ours.csv",
        "--output",
        "ours.toml",
    ];
    let ran = bench.run(&words).must_be(0);
    assert!(ran.out.is_empty());
    let read = ["reduce", "ours.csv", "--json"];
    let by_layout = bench
        .run(&[&read[..], &["--layout", "ours.toml"]].concat())
        .must_be(0);
    let plain = bench.run(&read).must_be(0);
    assert_eq!(figures(&by_layout), figures(&plain));
    let ran = bench
        .run(&["look", "--propose-layout", "prose.txt"])
        .must_be(3);
    assert!(
        ran.out.is_empty() && ran.err.contains("no rows of numbers"),
        "{}",
        ran.err
    );
    bench.run(&["look", "prose.txt"]).must_be(3);
}
