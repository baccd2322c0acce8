//! Sources in every encoding: text, places, refusals.

#![allow(clippy::unwrap_used)]

#[cfg(feature = "gzip")]
mod gzip;

use super::*;
use crate::error::Group;

fn source(bytes: &[u8]) -> Result<Source> {
    Source::from_bytes("t", bytes.to_vec(), &Limits::small())
}

/// Group, byte, line and column of a refusal; `None` where the bytes are read.
type Refusal = Option<(Group, Option<u64>, Option<u64>, Option<u64>)>;

fn refusal(bytes: &[u8]) -> Refusal {
    let error = source(bytes).err()?;
    assert!(error.advice().is_some(), "{error}");
    let place = error.place().cloned().unwrap_or_default();
    assert_eq!(place.source.as_deref(), Some("t"));
    Some((error.group(), place.byte, place.line, place.column))
}

fn input(byte: u64, line: u64, column: u64) -> Refusal {
    Some((Group::Input, Some(byte), Some(line), Some(column)))
}

/// The bytes of a text, and for each byte of the text that starts a character the byte of the file: by the standard library's
/// encoders, and for Latin-1 by the code point (ISO 8859-1), with 0x80 for € (Windows-1252).
fn encoded(text: &str, encoding: Encoding, mark: bool) -> (Vec<u8>, Vec<(usize, u64)>) {
    let mut bytes = Vec::new();
    let push = |c: char, bytes: &mut Vec<u8>| match encoding {
        Encoding::Utf8 => bytes.extend(c.encode_utf8(&mut [0; 4]).bytes()),
        Encoding::Utf16Le => bytes.extend(
            c.encode_utf16(&mut [0; 2])
                .iter()
                .flat_map(|u| u.to_le_bytes()),
        ),
        Encoding::Utf16Be => bytes.extend(
            c.encode_utf16(&mut [0; 2])
                .iter()
                .flat_map(|u| u.to_be_bytes()),
        ),
        Encoding::Latin1 => bytes.push(match c {
            '€' => 0x80,
            c => u8::try_from(u32::from(c)).unwrap(),
        }),
    };
    if mark {
        push('\u{FEFF}', &mut bytes);
    }
    let mut places = Vec::new();
    for (at, c) in text.char_indices() {
        places.push((at, bytes.len() as u64));
        push(c, &mut bytes);
    }
    (bytes, places)
}

/// All encodings, with and without a byte-order mark, and the signs that they have beyond ASCII.
const WAYS: [(Encoding, bool, &str); 7] = [
    (Encoding::Utf8, false, "°µφ€𝜃"),
    (Encoding::Utf8, true, "°µφ€𝜃"),
    (Encoding::Utf16Le, false, "°µφ€𝜃"),
    (Encoding::Utf16Le, true, "°µφ€𝜃"),
    (Encoding::Utf16Be, false, "°µφ€𝜃"),
    (Encoding::Utf16Be, true, "°µφ€𝜃"),
    (Encoding::Latin1, false, "°µ€²"),
];

#[test]
fn lines_of_every_kind_in_every_encoding() {
    for (encoding, mark, signs) in WAYS {
        let text = format!("heading\r\n{signs}\rb,heading\n\nd");
        let (bytes, _) = encoded(&text, encoding, mark);
        let source = source(&bytes).unwrap();
        assert_eq!(source.text(), text, "{encoding}");
        assert_eq!(source.encoding(), encoding);
        let guessed = !mark && encoding != Encoding::Utf8;
        assert_eq!(source.encoding_is_guessed(), guessed);
        let lines: Vec<(u64, &str)> = source.lines().map(|l| (l.number, l.text)).collect();
        let want = [
            (1, "heading"),
            (2, signs),
            (3, "b,heading"),
            (4, ""),
            (5, "d"),
        ];
        assert_eq!(lines, want);
        let last = source
            .lines()
            .last()
            .map(|l| source.place(l, 0, 1))
            .unwrap();
        let unit = encoding.width('d');
        assert_eq!(last.byte, Some(bytes.len() as u64 - unit), "{encoding}");
        assert_eq!((last.line, last.column), (Some(5), Some(1)));
        assert_eq!(source.name_hint(), "t");
    }
}

#[test]
fn every_place_maps_back_to_its_byte() {
    // Long enough for several checkpoints, by a fixed generator so that a failure repeats.
    let mut state = 868_300_u64;
    let mut below = |n: usize| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % n
    };
    for (encoding, mark, signs) in WAYS {
        let signs: Vec<char> = signs.chars().collect();
        for rarity in [3, 200] {
            // UTF-16 without a mark shows in its first KiB; Latin-1 needs one sign.
            let mut text = "theta,phi\n".repeat(60) + "°\n";
            while text.len() < 3 * 4096 + 100 {
                match below(40) {
                    0 => text.push('\n'),
                    _ if below(rarity) == 0 => text.push(signs[below(signs.len())]),
                    n => text.push(char::from(b'0' + n as u8)),
                }
            }
            let (bytes, places) = encoded(&text, encoding, mark);
            let source = source(&bytes).unwrap();
            assert_eq!(source.encoding(), encoding);
            assert_eq!(source.text(), text);
            let mut places = places.into_iter().peekable();
            for line in source.lines() {
                for (n, (at, _)) in line.text.char_indices().enumerate().step_by(5) {
                    let place = source.place(line, at, at);
                    let want = places.find(|(of, _)| *of == line.at + at).unwrap();
                    assert_eq!(place.byte, Some(want.1), "{encoding} {}:{at}", line.number);
                    assert_eq!(place.column, Some(n as u64 + 1));
                }
            }
        }
    }
}

#[test]
fn a_place_outside_of_the_text_is_no_panic() {
    for (encoding, mark, signs) in WAYS {
        let (bytes, _) = encoded(&format!("theta {signs} phi"), encoding, mark);
        let source = source(&bytes).unwrap();
        let foreign = Line {
            number: 9,
            at: usize::MAX,
            text: "°abc",
        };
        assert_eq!(source.place(foreign, 1, 99).byte, Some(bytes.len() as u64));
        let inside = Line {
            number: 1,
            at: 7,
            text: signs,
        };
        assert!(source.place(inside, usize::MAX, 0).byte.is_some());
    }
}

#[test]
fn ascii_needs_no_checkpoints() {
    for (encoding, mark, _) in WAYS.into_iter().filter(|w| w.0 != Encoding::Latin1) {
        let (bytes, _) = encoded(&"theta,phi\n".repeat(2000), encoding, mark);
        let source = source(&bytes).unwrap();
        assert!(matches!(source.map, Map::Even { .. }), "{encoding}");
    }
}

#[test]
fn a_cut_is_read_or_refused_with_a_place() {
    for (encoding, mark, signs) in WAYS {
        let (bytes, _) = encoded(&format!("heading\r\n{signs}\n0,{signs}"), encoding, mark);
        for length in 0..bytes.len() {
            let Some((group, byte, line, column)) = refusal(&bytes[..length]) else {
                continue;
            };
            assert_eq!(group, Group::Input);
            assert!(byte.is_some_and(|b| b <= length as u64));
            assert!(line.is_some_and(|l| l >= 1) && column.is_some_and(|c| c >= 1));
        }
        // UTF-16 of odd length is never read once it is known for what it is.
        if matches!(encoding, Encoding::Utf16Be | Encoding::Utf16Le) {
            assert!(
                (9..bytes.len())
                    .step_by(2)
                    .all(|n| refusal(&bytes[..n]).is_some())
            );
        }
    }
}

#[test]
fn refusals_have_a_place() {
    assert_eq!(refusal(b""), input(0, 1, 1));
    assert_eq!(refusal(b" \r\n"), input(0, 1, 1));
    assert_eq!(refusal(b"\xEF\xBB\xBF \n"), input(0, 1, 1));
    assert_eq!(refusal(b"ab\r\rc\x00"), input(5, 3, 2));
    assert_eq!(refusal(b"\xEF\xBB\xBFab\x00"), input(5, 1, 3));
    let long = vec![b'a'; (1 << 20) + 1];
    assert_eq!(refusal(&long).map(|r| r.0), Some(Group::Limit));
    // Not UTF-8 in text that shows to be UTF-8: by its mark, by a character before, by one after.
    assert_eq!(refusal(b"\xEF\xBB\xBFa\nb\xB0,"), input(6, 2, 2));
    assert_eq!(refusal(b"\xC2\xB0\r\nb\xB0,"), input(5, 2, 2));
    assert_eq!(refusal(b"ab\r\nc\xB0,\xC2\xB0"), input(5, 2, 2));
    // Cut inside of °.
    assert_eq!(refusal(b"ab\nc\xC2"), input(4, 2, 2));
    // Not Latin-1 either: 0x81 is undefined in Windows-1252, and 0x1B is no text. A character stands before, on the line above.
    assert_eq!(refusal(b"\xB0\n\xB5\x81"), input(3, 2, 2));
    assert_eq!(refusal(b"\xB0\n\xB5\x1B"), input(3, 2, 2));
}

#[test]
fn refusals_of_utf_16_have_a_place() {
    let le = |text: &str| encoded(text, Encoding::Utf16Le, true).0;
    let be = |text: &str| encoded(text, Encoding::Utf16Be, true).0;
    assert_eq!(refusal(b"\xFF\xFE"), input(0, 1, 1));
    assert_eq!(refusal(b"\xFE\xFF"), input(0, 1, 1));
    // µ is two bytes of text and two of the file; the odd byte is the ninth behind the mark.
    let mut odd = le("a\r\nµ");
    odd.push(b'x');
    assert_eq!(refusal(&odd), input(10, 2, 2));
    // U+1D703 without its second half: at the end, and before another character.
    let whole = be("a\n𝜃");
    assert_eq!(refusal(&whole[..whole.len() - 2]), input(6, 2, 1));
    let mut lone = whole[..whole.len() - 2].to_vec();
    lone.extend(b"\0b");
    assert_eq!(refusal(&lone), input(6, 2, 1));
    // The second half alone.
    let mut second = be("a\n");
    second.extend(&whole[whole.len() - 2..]);
    assert_eq!(refusal(&second), input(6, 2, 1));
    assert_eq!(refusal(&le("ab\rc\0d")), input(10, 2, 2));
}

#[test]
fn what_was_assumed_is_said() {
    let said = |bytes: &[u8]| source(bytes).unwrap().encoding_finding();
    assert_eq!(said("theta °\n".as_bytes()), None);
    assert_eq!(said("\u{FEFF}theta °\n".as_bytes()), None);
    let latin = said(b"theta\nphi \xB0,\xB5\n").unwrap();
    assert_eq!(
        (latin.code.as_str(), latin.severity),
        ("encoding", crate::Severity::Note)
    );
    assert!(latin.message.contains("Latin-1") && latin.advice.is_some());
    let place = latin.place.unwrap();
    assert_eq!(
        (place.byte, place.line, place.column),
        (Some(10), Some(2), Some(5))
    );
    let marked = said(&encoded("theta", Encoding::Utf16Be, true).0).unwrap();
    assert!(marked.message.contains("UTF-16BE") && marked.advice.is_none());
    let bare = said(&encoded("theta", Encoding::Utf16Le, false).0).unwrap();
    assert!(bare.message.contains("UTF-16LE") && bare.message.contains("a guess"));
}

#[test]
fn a_text_is_text_already() {
    let text = "a\0b\0c\0d\0";
    let error = Source::from_text("t", text, &Limits::small()).unwrap_err();
    assert_eq!(error.place().and_then(|p| p.byte), Some(1));
    let marked = Source::from_text("t", "\u{FEFF}a\n", &Limits::small()).unwrap();
    assert_eq!(marked.text(), "a\n");
    let place = marked.lines().next().map(|l| marked.place(l, 0, 1));
    assert_eq!(place.and_then(|p| p.byte), Some(3));
}

#[cfg(not(feature = "gzip"))]
#[test]
fn without_the_feature_gzip_is_refused() {
    let error = source(b"\x1F\x8B\x08\0").unwrap_err();
    assert_eq!(error.group(), Group::Unsupported);
    assert!(error.advice().is_some_and(|a| a.contains("feature gzip")));
}
