//! Names of sections. They part records, and what they say is not read: where they say something, the file is refused.

use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::word::{Word, word};
use spheresum_core::intake::text::{Clip, Unit};
use spheresum_core::{Error, Result};

/// The names of a file's sections.
#[derive(Debug, Default)]
pub(crate) struct Sections {
    /// What the section of the first record is called, without numbers.
    stem: Option<String>,
}

impl Sections {
    /// A record is there: all sections from here on are called as its own.
    pub(crate) fn first_record(&mut self, name: Option<&str>) {
        self.stem = Some(stem(name.unwrap_or_default()));
    }

    /// Checks a name.
    ///
    /// # Errors
    /// Ambiguous: it holds a word with a meaning, or another one than that of the first record.
    pub(crate) fn name(&self, name: &str, line: Line<'_>, source: &Source) -> Result<()> {
        let refuse = |message: String| {
            let start = line.text.find(name).unwrap_or(0);
            Err(Error::ambiguous(message)
                .hint(
                    "a section only parts records: write what it says as a key of each record, such as frequency = 868.3 MHz, \
                     and call the sections [reading 1], [reading 2], …",
                )
                .at(source.place(line, start, start + name.len())))
        };
        if let Some(says) = words(name).find(|w| has_meaning(w)) {
            return refuse(format!(
                "the section {:?} may say something of its records ({})",
                Clip(name),
                Clip(says)
            ));
        }
        match &self.stem {
            Some(first) if !name.is_empty() && stem(name) != *first => refuse(format!(
                "the section {:?} is called otherwise than that of the first record, and may say something",
                Clip(name)
            )),
            _ => Ok(()),
        }
    }
}

fn words(name: &str) -> impl Iterator<Item = &str> {
    name.split(|c: char| !c.is_alphanumeric() && c != '°')
        .filter(|w| !w.is_empty())
}

/// True for a unit or a word of headings, with a number in front or not.
fn has_meaning(text: &str) -> bool {
    let text = text.trim_start_matches(|c: char| c.is_ascii_digit());
    !text.is_empty()
        && (Unit::parse(text).is_some() || word(text).is_some_and(|w| w != Word::Filler))
}

/// A name without its numbers.
fn stem(name: &str) -> String {
    let parts: Vec<String> = words(name)
        .map(|w| w.trim_matches(|c: char| c.is_ascii_digit()).to_lowercase())
        .filter(|w| !w.is_empty())
        .collect();
    parts.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::Limits;

    fn is_fine(first: Option<&str>, name: &str) -> bool {
        let source = Source::from_text("t", &format!("[{name}]\n"), &Limits::small());
        let mut sections = Sections::default();
        if let Some(first) = first {
            sections.first_record(Some(first));
        }
        source.is_ok_and(|s| s.lines().all(|l| sections.name(name, l, &s).is_ok()))
    }

    #[test]
    fn what_a_section_may_be_called() {
        for name in ["reading 12", "reading", "12", "3.1", "site", ""] {
            assert!(is_fine(None, name), "{name}");
        }
        for name in [
            "868.3 MHz",
            "868.3MHz",
            "theta 30",
            "pol H",
            "channel 3",
            "30°",
            "level",
        ] {
            assert!(!is_fine(None, name), "{name}");
        }
        assert!(is_fine(Some("reading 1"), "Reading 2"));
        assert!(is_fine(Some("reading 1"), "reading"));
        assert!(!is_fine(Some("reading 1"), "run 2"));
        assert!(!is_fine(Some(""), "run 2"));
        assert!(is_fine(Some("1"), "2"));
    }
}
