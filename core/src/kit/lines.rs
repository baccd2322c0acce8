//! Lines of raw bytes with their ends.

/// The byte-order mark of UTF-8.
pub(super) const MARK: &[u8] = b"\xEF\xBB\xBF";

/// The bytes behind a byte-order mark.
pub(super) fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(MARK).unwrap_or(bytes)
}

/// Splits bytes into (content, end) pairs: LF, CRLF or CR, and nothing for a last line without one.
pub(super) fn split(bytes: &[u8]) -> Vec<(&[u8], &[u8])> {
    let mut lines = Vec::new();
    let mut rest = bytes;
    while !rest.is_empty() {
        let content = rest
            .iter()
            .position(|b| matches!(b, b'\n' | b'\r'))
            .unwrap_or(rest.len());
        let (line, behind) = rest.split_at(content);
        let end = usize::from(!behind.is_empty()) + usize::from(behind.starts_with(b"\r\n"));
        let (end, next) = behind.split_at(end);
        lines.push((line, end));
        rest = next;
    }
    lines
}

/// Joins pairs again.
pub(super) fn join(lines: &[(&[u8], &[u8])]) -> Vec<u8> {
    lines
        .iter()
        .flat_map(|(line, end)| [*line, *end])
        .flatten()
        .copied()
        .collect()
}

/// True for UTF-8 without NUL: what may be taken apart at its line ends.
pub(super) fn is_plain(bytes: &[u8]) -> bool {
    std::str::from_utf8(bytes).is_ok() && !bytes.contains(&0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_of_every_kind() {
        let bytes = b"a\r\nb\rc\n\n\r\nd";
        let lines = split(bytes);
        let want: [(&[u8], &[u8]); 6] = [
            (b"a", b"\r\n"),
            (b"b", b"\r"),
            (b"c", b"\n"),
            (b"", b"\n"),
            (b"", b"\r\n"),
            (b"d", b""),
        ];
        assert_eq!(lines, want);
        assert_eq!(join(&lines), bytes);
    }
}
