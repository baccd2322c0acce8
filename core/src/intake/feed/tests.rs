use super::*;
use crate::Group;
use crate::intake::source::Line;

fn lines(source: &Source) -> Vec<(u64, String, Option<u64>)> {
    let byte = |line: Line<'_>| source.place(line, 0, 0).byte;
    source
        .lines()
        .map(|l| (l.number, l.text.to_string(), byte(l)))
        .collect()
}

#[test]
fn pieces_have_the_lines_and_bytes_of_the_file() {
    let limits = Limits::small();
    for (end, mark) in [("\n", ""), ("\r\n", ""), ("\n", "\u{FEFF}")] {
        let text: String = (0..50).map(|n| format!("{n} µ{end}")).collect();
        let bytes = format!("{mark}{text}").into_bytes();
        let whole = Source::from_bytes("a", bytes.clone(), &limits).unwrap();
        for size in [2, 3, 10, 64, 200] {
            let open = || Ok(bytes.as_slice());
            let length = Some(bytes.len() as u64);
            let mut feed = Feed::open_by("a", length, open, &limits, size).unwrap();
            assert!(!feed.is_whole());
            let (first, mut pieces) = feed.split().unwrap();
            let mut found = lines(first);
            let mut given = first.text().len() + 3 * usize::from(!mark.is_empty());
            let mut before = first.clone();
            while !pieces.is_done() {
                assert_eq!(pieces.left(), Some((bytes.len() - given) as u64));
                assert!(before.text().ends_with('\n'));
                // The last line is left unread, and comes again.
                let last = before.lines().last().unwrap();
                found.pop();
                let piece = pieces.next(&before.text()[last.at..], last.number);
                let piece = piece.unwrap().unwrap();
                given += piece.text().len() - (before.text().len() - last.at);
                found.extend(lines(&piece));
                before = piece;
            }
            assert_eq!(found, lines(&whole), "{size} {end:?} {mark:?}");
        }
    }
}

#[test]
fn what_cannot_be_cut_is_held_whole() {
    let limits = Limits::small();
    let utf16: Vec<u8> = "a\n"
        .repeat(40)
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    let cases: [(&str, Vec<u8>); 5] = [
        ("short", b"a\nb\n".to_vec()),
        ("UTF-16", utf16),
        ("Latin-1", b"\xB0\n".repeat(40)),
        (
            "blank",
            b"\n".repeat(40).into_iter().chain(*b"a\n").collect(),
        ),
        ("one line", b"a".repeat(200)),
    ];
    for (name, bytes) in cases {
        let feed = Feed::open_by(name, None, || Ok(bytes.as_slice()), &limits, 16).unwrap();
        assert!(feed.is_whole(), "{name}");
        let whole = Source::from_bytes(name, bytes.clone(), &limits).unwrap();
        assert_eq!(feed.source().text(), whole.text(), "{name}");
    }
}

#[test]
fn what_is_no_text_further_down_is_told_whole() {
    let limits = Limits::small();
    for (more, holds) in [(&b"\xB0\n"[..], true), (&b"\0\n"[..], false)] {
        let bytes = [b"a\n".repeat(40), more.to_vec()].concat();
        let mut feed = Feed::open_by("a", None, || Ok(bytes.as_slice()), &limits, 16).unwrap();
        let (_, mut pieces) = feed.split().unwrap();
        let mut cut = false;
        while !pieces.is_done() {
            cut |= pieces.next("", 1).unwrap().is_none();
        }
        assert!(cut);
        drop(pieces);
        assert_eq!(feed.hold(Span::whole(&Unwatched)).is_ok(), holds);
    }
}

#[test]
fn a_file_beyond_the_limit_is_refused_before_it_is_read() {
    let mut limits = Limits::small();
    limits.max_bytes = 100;
    let endless = || Ok(std::io::repeat(b'a'));
    let error = Feed::open_by("a", None, endless, &limits, 16).unwrap_err();
    assert_eq!(error.group(), Group::Limit);
    // A length that is not true costs nothing.
    let short = Feed::open("a", Some(u64::MAX), || Ok(&b"a\n"[..]), &limits).unwrap();
    assert_eq!(short.source().text(), "a\n");
    let lines = b"a\n".repeat(51);
    let mut feed = Feed::open_by("a", None, || Ok(lines.as_slice()), &limits, 16).unwrap();
    let (_, mut pieces) = feed.split().unwrap();
    let error = loop {
        match pieces.next("", 1) {
            Ok(_) => assert!(!pieces.is_done()),
            Err(error) => break error,
        }
    };
    assert_eq!(error.group(), Group::Limit);
}

#[test]
fn a_file_that_cannot_be_read_says_so() {
    struct Broken;
    impl Read for Broken {
        fn read(&mut self, _: &mut [u8]) -> std::io::Result<usize> {
            Err(std::io::Error::other("broken"))
        }
    }
    let error = Feed::open("a", None, || Ok(Broken), &Limits::small()).unwrap_err();
    assert_eq!(error.group(), Group::Io);
    let refused = || Err::<Broken, _>(Error::usage("not there"));
    let error = Feed::open("a", None, refused, &Limits::small()).unwrap_err();
    assert_eq!(error.group(), Group::Usage);
    // An adapter that leaves more unread than it was given.
    let lines = b"a\n".repeat(51);
    let mut feed = Feed::open_by("a", None, || Ok(lines.as_slice()), &Limits::small(), 16).unwrap();
    let (_, mut pieces) = feed.split().unwrap();
    let error = pieces.next(&"y".repeat(200), 1).unwrap_err();
    assert_eq!(error.group(), Group::Usage);
}

#[cfg(feature = "gzip")]
#[test]
fn compressed_text_is_read_in_pieces_and_damage_is_told_whole() {
    use std::io::Write;
    let limits = Limits::small();
    let text: String = (0..2000).map(|n| format!("{n}\n")).collect();
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(text.as_bytes()).unwrap();
    let packed = packer.finish().unwrap();
    let in_pieces = |bytes: &[u8]| -> Option<String> {
        let mut feed = Feed::open_by("a.csv.gz", None, || Ok(bytes), &limits, 64).unwrap();
        let (first, mut pieces) = feed.split()?;
        assert_eq!(first.name_hint(), "a.csv");
        let mut all = first.text().to_string();
        while !pieces.is_done() {
            all.push_str(pieces.next("", 1).unwrap()?.text());
        }
        Some(all)
    };
    assert_eq!(in_pieces(&packed), Some(text.clone()));
    // Two members, one after the other.
    let twice = [packed.as_slice(), &packed].concat();
    assert_eq!(in_pieces(&twice), Some(text.repeat(2)));
    // Damaged, cut, and with something behind it.
    let mut damaged = packed.clone();
    damaged[packed.len() - 6] ^= 1;
    for bytes in [
        &damaged,
        &packed[..packed.len() - 9],
        &[&packed[..], b"tail"].concat(),
    ] {
        assert_eq!(in_pieces(bytes), None);
        let mut feed = Feed::open_by("a", None, || Ok(bytes), &limits, 64).unwrap();
        let whole = Source::from_bytes("a", bytes.to_vec(), &limits).unwrap_err();
        assert_eq!(
            feed.hold(Span::whole(&Unwatched)).unwrap_err().to_string(),
            whole.to_string()
        );
    }
    // Short when it is unpacked.
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::none());
    packer.write_all(b"a\nb\n").unwrap();
    let bytes = packer.finish().unwrap();
    let feed = Feed::open_by("a", None, || Ok(bytes.as_slice()), &limits, 8).unwrap();
    assert_eq!((feed.is_whole(), feed.source().text()), (true, "a\nb\n"));
}
