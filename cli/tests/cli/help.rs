//! Help texts, versions, and what clap says no to.

use crate::bench::Bench;

const COMMANDS: [&str; 5] = ["demo", "look", "reduce", "compare", "formats"];

#[test]
fn every_help_text_has_an_example_and_a_paragraph() {
    let bench = Bench::new();
    let all = bench.run(&["--help"]).must_be(0);
    for command in COMMANDS {
        assert!(all.out.contains(command), "{command}");
        let help = bench.run(&[command, "--help"]).must_be(0).out;
        assert!(help.contains("Example"), "{command}");
        assert!(
            help.contains(&format!("  spheresum {command}")),
            "{command}"
        );
        let paragraph: String = help.split("\n\nUsage").next().unwrap().to_string();
        assert!(paragraph.len() > 150, "{command}: {paragraph}");
    }
    assert!(all.out.contains("Exit status"));
    assert!(
        bench
            .run(&["--version"])
            .must_be(0)
            .out
            .starts_with("spheresum ")
    );
}

#[test]
fn examples_of_the_help_texts_can_be_typed() {
    // The words of each example parse: what fails, fails because the files are not there.
    let bench = Bench::new();
    for command in COMMANDS {
        let help = bench.run(&[command, "--help"]).must_be(0).out;
        for line in help.lines().filter_map(|l| l.strip_prefix("  spheresum ")) {
            let words: Vec<&str> = line.split_whitespace().collect();
            let ran = bench.run(&words);
            assert_ne!(ran.status, 2, "{line}: {}", ran.err);
        }
    }
}

#[test]
fn wrong_calls_exit_with_2() {
    let bench = Bench::new();
    for words in [
        &[][..],
        &["nonsense"],
        &["reduce"],
        &["look"],
        &["compare"],
        &["reduce", "x.csv", "--rule", "bogus"],
        &["reduce", "x.csv", "--edges", "bogus"],
        &["reduce", "x.csv", "--fill", "bogus"],
        &["reduce", "x.csv", "--json", "--csv"],
        &["reduce", "x.csv", "--frequency-mhz", "nan"],
        &["reduce", "x.csv", "--frequency-mhz", "-3"],
        &["reduce", "x.csv", "--max-missing", "120"],
        &["reduce", "x.csv", "--eis-max-dbm", "inf"],
        &[
            "reduce",
            "x.csv",
            "--rule",
            "clenshaw-curtis",
            "--edges",
            "half",
        ],
        &["reduce", "x.csv", "--range", "theta=-1,phi=2"],
        &["reduce", "x.csv", "--range", "theta=1"],
        &["reduce", "--run", "x.csv"],
        &["reduce", "--run", "a=x.csv@theta@phi"],
        &["reduce", "--run", "a=x.csv,x.csv"],
        &["compare", "a.csv", "--run", "b=x.csv", "--run", "b=x.csv"],
        &["look", "--run", "a=x.csv,x.csv"],
        &["reduce", "x.csv", "--range", "--json"],
        &["reduce", "x.csv", "--plan"],
        &["plan"],
        &["validate"],
    ] {
        let ran = bench.run(words).must_be(2);
        assert!(ran.out.is_empty());
        assert!(!ran.err.is_empty());
    }
    let hint = bench.run(&["reduce", "x.csv", "--rule", "bogus"]).err;
    assert!(hint.contains("auto, sine, clenshaw-curtis"), "{hint}");
}

#[test]
fn formats_lists_the_adapters() {
    let ran = Bench::new().run(&["formats"]).must_be(0);
    for word in ["delimited", "quantities", "eirp", "specified in"] {
        assert!(ran.out.contains(word), "{word}");
    }
}
