//! `demo`: the built-in scenario.

use crate::bench::Bench;

const FILES: [&str; 7] = [
    "gauge-rev-a.csv",
    "gauge-rev-b.csv",
    "gauge-rev-b-saving.csv",
    "gauge-rev-b-saving-slow.csv",
    "range-loss.csv",
    "noise-floor.csv",
    "README.txt",
];

#[test]
fn it_writes_the_files_and_compares_them() {
    let bench = Bench::new();
    let ran = bench.run(&["demo"]).must_be(0);
    for name in FILES {
        assert!(
            !bench.read(&format!("spheresum-demo/{name}")).is_empty(),
            "{name}"
        );
    }
    let there = std::fs::read_dir(bench.path().join("spheresum-demo")).unwrap();
    assert_eq!(there.count(), FILES.len());
    for part in [
        "gauge-rev-b radiates",
        "The TRP of gauge-rev-b-saving lies at least",
        "readings of gauge-rev-b-saving, so that no more than this bound",
        "times as slowly",
        "gauge-rev-b-saving-slow radiates",
        "licence-exempt",
        "accredited",
        "human exposure",
    ] {
        assert!(ran.out.contains(part), "{part}\n{}", ran.out);
    }
}

#[test]
fn its_command_lines_can_be_typed_and_say_the_same() {
    for words in [&["demo", "my folder"][..], &["demo", "--", "-odd"]] {
        typed_again(words);
    }
}

fn typed_again(words: &[&str]) {
    let bench = Bench::new();
    let ran = bench.run(words).must_be(0);
    let lines: Vec<Vec<String>> = ran
        .out
        .lines()
        .filter_map(|l| l.strip_prefix("  spheresum "))
        .map(unquoted)
        .collect();
    assert_eq!(lines.len(), 3, "{}", ran.out);
    for words in &lines {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let typed = bench.run(&words).must_be(0);
        if words[0] == "compare" {
            assert!(
                ran.out.contains(&typed.out),
                "the demo shows what the command line gives"
            );
        }
    }
}

/// Words of a line where some stand in single quotes.
fn unquoted(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (n, part) in line.split('\'').enumerate() {
        if n % 2 == 1 {
            words.push(part.to_string());
        } else {
            words.extend(part.split_whitespace().map(str::to_string));
        }
    }
    words
}

#[test]
fn it_overwrites_nothing_that_differs() {
    let bench = Bench::new();
    bench.run(&["demo", "d"]).must_be(0);
    // Equal files are no obstacle.
    bench.run(&["demo", "d"]).must_be(0);
    bench.write("d/gauge-rev-a.csv", "mine");
    let ran = bench.run(&["demo", "d"]).must_be(2);
    assert!(
        ran.err.contains("gauge-rev-a.csv") && ran.err.contains("--force"),
        "{}",
        ran.err
    );
    assert_eq!(bench.read("d/gauge-rev-a.csv"), "mine");
    bench.run(&["demo", "d", "--force"]).must_be(0);
    assert_ne!(bench.read("d/gauge-rev-a.csv"), "mine");
}
