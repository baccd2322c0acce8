//! The text of a proposal, written line by line.

/// What is written so far.
#[derive(Debug, Default)]
pub(super) struct Out {
    /// The text.
    pub(super) text: String,
}

impl Out {
    /// A line as it is.
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    /// A comment of its own.
    pub(super) fn note(&mut self, remark: &str) {
        self.line(&format!("# {}", one_line(remark)));
    }

    /// A line with a remark behind it.
    pub(super) fn said(&mut self, line: &str, remark: &str) {
        if remark.is_empty() {
            self.line(line);
        } else {
            self.line(&format!("{line}  # {}", one_line(remark)));
        }
    }

    /// The head of a table.
    pub(super) fn head(&mut self, name: &str) {
        self.line("");
        self.line(&format!("[{name}]"));
    }
}

/// A text without control characters, shortened: for comments.
pub(super) fn one_line(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(400)
        .collect()
}

/// A text in TOML's quotes.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{:04X}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
