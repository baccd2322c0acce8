//! Compressed sources: what they hold, limits, damage.

#![allow(clippy::panic)]

use super::super::*;
use crate::error::Group;
use flate2::Compression;
use flate2::write::GzEncoder;
use std::error::Error as _;
use std::io::Write;

/// Python 3 (zlib), `gzip.compress("θ [°],φ\n0,1\n".encode(), mtime=0)`.
const BY_ZLIB: [u8; 35] = [
    0x1F, 0x8B, 0x08, 0x00, 0x00, 0x00, 0x00, 0x00, 0x02, 0x03, 0x3B, 0xB7, 0x43, 0x21, 0xFA, 0xD0,
    0x86, 0x58, 0x9D, 0xF3, 0x6D, 0x5C, 0x06, 0x3A, 0x86, 0x5C, 0x00, 0xFC, 0xF6, 0xB8, 0x5E, 0x0F,
    0x00, 0x00, 0x00,
];

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::default());
    encoder.write_all(bytes).unwrap();
    encoder.finish().unwrap()
}

fn source(bytes: &[u8]) -> Result<Source> {
    Source::from_bytes("gauge.csv.gz", bytes.to_vec(), &Limits::small())
}

#[test]
fn it_holds_what_was_compressed() {
    let read = source(&BY_ZLIB).unwrap();
    assert_eq!(read.text(), "θ [°],φ\n0,1\n");
    assert_eq!(
        (read.name(), read.name_hint()),
        ("gauge.csv.gz", "gauge.csv")
    );
    // The byte is that of what the file holds: θ [°],φ and the line end are 11 bytes of UTF-8.
    let place = read.lines().nth(1).map(|l| read.place(l, 2, 3)).unwrap();
    assert_eq!(
        (place.byte, place.line, place.column),
        (Some(13), Some(2), Some(3))
    );
    assert_eq!(place.source.as_deref(), Some("gauge.csv.gz"));
    // The bytes tell, not the name.
    let plain = Source::from_bytes("a.gz", b"theta".to_vec(), &Limits::small()).unwrap();
    assert_eq!(plain.name_hint(), "a.gz");
}

#[test]
fn members_stand_one_after_the_other() {
    let both = [&BY_ZLIB[..], &packed(b""), &packed(b"0,2\n")].concat();
    assert_eq!(source(&both).unwrap().text(), "θ [°],φ\n0,1\n0,2\n");
}

#[test]
fn other_encodings_are_read_within() {
    let read = source(&packed(b"theta [\xB0]\n")).unwrap();
    assert_eq!(
        (read.text(), read.encoding()),
        ("theta [°]\n", Encoding::Latin1)
    );
    assert!(read.encoding_finding().is_some());
    let wide = source(&packed(b"\xFF\xFEa\0\n\0")).unwrap();
    assert_eq!((wide.text(), wide.encoding()), ("a\n", Encoding::Utf16Le));
}

#[test]
fn a_bomb_stops_at_the_limit() {
    let limits = Limits::small();
    let most = usize::try_from(limits.max_bytes).unwrap();
    let read = |bytes: &[u8]| Source::from_bytes("t", bytes.to_vec(), &limits);
    assert_eq!(read(&packed(&vec![b'a'; most])).unwrap().text().len(), most);
    // One byte more, twenty times as much, and as much in small members.
    let twentyfold = packed(&vec![b'a'; 20 * most]);
    assert!(twentyfold.len() < most / 10);
    let small = packed(&vec![b'a'; most / 8 + 1]).repeat(8);
    for bomb in [packed(&vec![b'a'; most + 1]), twentyfold, small] {
        let error = read(&bomb).unwrap_err();
        assert_eq!(error.group(), Group::Limit);
        assert!(error.message().contains("decompressed"), "{error}");
        assert!(error.advice().is_some() && error.place().is_some());
    }
}

#[test]
fn a_cut_is_refused_with_its_byte_and_cause() {
    let whole = packed("theta,phi\n0,1\n".repeat(100).as_bytes());
    for length in 2..whole.len() {
        let error = source(&whole[..length]).unwrap_err();
        assert_eq!(error.group(), Group::Input, "{length}: {error}");
        assert!(error.message().contains("cut short"), "{length}: {error}");
        let place = error.place().cloned().unwrap();
        assert_eq!(place.byte, Some(length as u64));
        assert!(error.source().is_some() && error.advice().is_some());
    }
}

#[test]
fn damage_is_never_read_and_never_a_panic() {
    let mut silent = Vec::new();
    for at in 2..BY_ZLIB.len() {
        for bit in 0..8 {
            let mut changed = BY_ZLIB;
            changed[at] ^= 1 << bit;
            match source(&changed) {
                Ok(read) if read.text() == "θ [°],φ\n0,1\n" => silent.push(at),
                Ok(read) => panic!("byte {at}, bit {bit}: {:?}", read.text()),
                Err(error) => {
                    assert!(
                        matches!(error.group(), Group::Input | Group::Limit),
                        "{error}"
                    );
                    assert!(error.place().is_some_and(|p| p.byte.is_some()), "{error}");
                }
            }
        }
    }
    // RFC 1952: flags of text, time, extra flags and system say nothing of the contents. RFC 1951: nor do the bits between the
    // last code and the end of its byte, here the 27th.
    silent.dedup();
    let idle = |at: &usize| (3..10).contains(at) || *at == 26;
    assert!(silent.iter().all(idle), "{silent:?}");
}

#[test]
fn a_wrong_checksum_has_its_cause() {
    let mut changed = BY_ZLIB;
    changed[28] ^= 1;
    let error = source(&changed).unwrap_err();
    assert!(error.message().contains("damaged"), "{error}");
    assert_eq!(error.place().and_then(|p| p.byte), Some(35));
    assert!(
        error
            .source()
            .is_some_and(|c| c.to_string().contains("checksum"))
    );
}

#[test]
fn what_follows_the_data_is_refused() {
    for tail in [&b"x"[..], b"\0\0\0\0", b"\x1F", b"0,2\n"] {
        let error = source(&[&BY_ZLIB[..], tail].concat()).unwrap_err();
        assert_eq!(error.group(), Group::Input);
        assert!(error.message().contains("end at byte 35"), "{error}");
        assert_eq!(error.place().and_then(|p| p.byte), Some(35));
    }
}

#[test]
fn twice_compressed_is_refused() {
    let error = source(&packed(&BY_ZLIB)).unwrap_err();
    assert_eq!(error.group(), Group::Unsupported);
    assert!(error.message().contains("twice") && error.advice().is_some());
}

#[test]
fn nothing_compressed_is_an_empty_file() {
    let error = source(&packed(b"")).unwrap_err();
    assert!(error.message().contains("empty"), "{error}");
}
