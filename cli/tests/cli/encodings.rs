//! Files in other encodings and compressed ones.

use crate::bench::{Bench, Pattern, figure};
use flate2::Compression;
use flate2::write::GzEncoder;
use sha2::{Digest, Sha256};
use std::io::Write;

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(bytes).unwrap();
    encoder.finish().unwrap()
}

fn utf16(text: &str, mark: &str) -> Vec<u8> {
    let units = mark.encode_utf16().chain(text.encode_utf16());
    units.flat_map(u16::to_le_bytes).collect()
}

fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|b| format!("{b:02x}")).collect()
}

/// A sphere in a file of any encoding has the TRP of its closed form (0 dBm, by a rule that is exact for a constant), and the
/// hash of the file as it lies on the disk.
#[test]
fn every_encoding_reduces_to_the_same() {
    let bench = Bench::new();
    let text = Pattern::default()
        .csv()
        .replace("# device: test", "# device: test at 21 °C");
    let latin: Vec<u8> = text
        .chars()
        .map(|c| u8::try_from(u32::from(c)).unwrap())
        .collect();
    let files: [(&str, Vec<u8>, Option<&str>); 7] = [
        ("utf-8.csv", text.clone().into_bytes(), None),
        ("mark.csv", format!("\u{FEFF}{text}").into_bytes(), None),
        ("wide.csv", utf16(&text, "\u{FEFF}"), Some("UTF-16LE")),
        ("bare.csv", utf16(&text, ""), Some("a guess")),
        ("latin-1.csv", latin.clone(), Some("Latin-1")),
        ("small.csv.gz", packed(text.as_bytes()), None),
        ("latin-1.csv.gz", packed(&latin), Some("Latin-1")),
    ];
    for (name, bytes, words) in files {
        std::fs::write(bench.path().join(name), &bytes).unwrap();
        let document = bench
            .run(&["reduce", name, "--json", "--rule", "clenshaw-curtis"])
            .must_be(0)
            .json();
        let run = &document["runs"][0];
        assert!(
            figure(run, 0, "trp")["value"].as_f64().unwrap().abs() < 1e-9,
            "{name}"
        );
        assert_eq!(
            run["inputs"][0]["sha256"],
            hexadecimal(&Sha256::digest(&bytes)),
            "{name}"
        );
        let said = run["findings"]
            .as_array()
            .unwrap()
            .iter()
            .find(|f| f["code"] == "encoding");
        assert_eq!(said.is_some(), words.is_some(), "{name}");
        if let (Some(said), Some(words)) = (said, words) {
            assert_eq!(said["severity"], "note");
            assert!(
                said["message"].as_str().unwrap().contains(words),
                "{name}: {said}"
            );
        }
        // A person hears it too.
        let look = bench.run(&["look", name]).must_be(0).out;
        assert_eq!(
            look.contains("Latin-1"),
            words == Some("Latin-1"),
            "{name}: {look}"
        );
    }
}

#[test]
fn a_fault_in_a_compressed_file_has_its_line() {
    let bench = Bench::new();
    let text = "theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n0,0,1.5,2\n0,30,1x5,2\n";
    std::fs::write(bench.path().join("bad.csv.gz"), packed(text.as_bytes())).unwrap();
    let ran = bench.run(&["reduce", "bad.csv.gz"]).must_be(3);
    assert!(ran.err.contains("bad.csv.gz:3:6"), "{}", ran.err);
    assert!(ran.err.contains("0,30,1x5,2"), "{}", ran.err);
}

#[test]
fn damaged_compressed_files_exit_with_3() {
    let bench = Bench::new();
    let whole = packed(Pattern::default().csv().as_bytes());
    let files = [
        ("cut.gz", whole[..whole.len() / 2].to_vec(), "cut short"),
        (
            "tail.gz",
            [&whole[..], b"tail"].concat(),
            "something else follows",
        ),
        ("twice.gz", packed(&whole), "compressed twice"),
    ];
    for (name, bytes, words) in files {
        std::fs::write(bench.path().join(name), bytes).unwrap();
        let ran = bench.run(&["reduce", name]).must_be(3);
        assert!(ran.out.is_empty());
        for part in [words, name, "help: "] {
            assert!(ran.err.contains(part), "{part}: {}", ran.err);
        }
    }
}

#[test]
fn a_misspelt_adapter_is_a_wrong_call_with_a_suggestion() {
    let bench = Bench::new();
    bench.write("a.csv", &Pattern::default().csv());
    let ran = bench
        .run(&["reduce", "a.csv", "--adapter", "delimted"])
        .must_be(2);
    assert!(ran.err.contains("did you mean delimited?"), "{}", ran.err);
}
