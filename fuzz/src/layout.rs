//! Layouts from any bytes, and files read by them.

use crate::{check_error, read_with};
use spheresum_adapters::layout::{Layout, LayoutAdapter, propose};
use spheresum_core::Limits;
use spheresum_core::intake::Source;

/// What parts the layout from the file that it reads.
const BETWEEN: &[u8] = b"\n=====\n";

/// The bytes in front of the first line `=====` are a layout, those behind it a file. Without such a line, all are both.
///
/// # Panics
/// A layout or a file is taken or refused in a way that breaks the contract; a proposal is no layout.
pub fn layout(data: &[u8]) {
    let at = data.windows(BETWEEN.len()).position(|w| w == BETWEEN);
    let (said, file) = match at {
        Some(at) => (&data[..at + 1], &data[at + BETWEEN.len()..]),
        None => (data, data),
    };
    match Layout::from_bytes("fuzz.toml", said.to_vec()) {
        Ok(layout) => read_with(&LayoutAdapter::new(layout), "fuzz", file),
        Err(error) => {
            check_error(&error);
            assert!(error.advice().is_some_and(|a| !a.is_empty()), "{error}");
        }
    }
    let Ok(source) = Source::from_bytes("fuzz", file.to_vec(), &Limits::small()) else {
        return;
    };
    if let Some(proposal) = propose(&source)
        && let Err(error) = Layout::parse("proposal", &proposal)
    {
        assert!(
            error.message().contains("has to be filled in"),
            "{error}: {proposal}"
        );
    }
}
